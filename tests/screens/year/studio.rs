//! A small studio's year, invented: firings, batches and looks at their pieces, from a seed.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::bench::Bench;

/// How much was done.
#[derive(Debug, Clone, Copy)]
pub struct Work {
    pub firings: usize,
    pub batches: usize,
    pub notes: usize,
    /// Materials beside the example's: at least six where there are more glazes.
    pub more_materials: usize,
    /// Glazes of those, of which nothing was made yet.
    pub more_glazes: usize,
}

/// A small studio's year.
pub const YEAR: Work = Work {
    firings: 60,
    batches: 400,
    notes: 4_000,
    more_glazes: 0,
    more_materials: 0,
};
/// Oxides with their shares, wt %.
type Sheet = [(&'static str, f64); 4];
/// Analyses to draw further materials from, wt %, each of its four oxides within a tenth.
const KINDS: [(&str, Sheet, f64); 6] = [
    (
        "feldspar",
        [("SiO2", 66.0), ("Al2O3", 18.5), ("K2O", 10.0), ("Na2O", 3.5)],
        0.5,
    ),
    (
        "frit",
        [("SiO2", 50.0), ("B2O3", 20.0), ("CaO", 15.0), ("Na2O", 12.0)],
        0.0,
    ),
    (
        "clay",
        [("SiO2", 50.0), ("Al2O3", 33.0), ("Fe2O3", 1.2), ("K2O", 1.5)],
        12.0,
    ),
    (
        "lime",
        [("CaO", 53.0), ("MgO", 1.5), ("SiO2", 1.0), ("Al2O3", 0.4)],
        42.5,
    ),
    (
        "talc",
        [("MgO", 31.0), ("SiO2", 61.0), ("CaO", 0.7), ("Al2O3", 0.9)],
        5.5,
    ),
    (
        "sand",
        [("SiO2", 97.5), ("Al2O3", 0.8), ("Fe2O3", 0.1), ("TiO2", 0.1)],
        0.3,
    ),
];
const SEED: u64 = 20_261_125;
/// Glazes of the example with the clay that they go on here.
const GLAZES: [(&str, &str); 6] = [
    ("Lamplight clear", "buff stoneware"),
    ("Millpond copper green", "buff stoneware"),
    ("Driftstone satin matt", "buff stoneware"),
    ("Highfell clear", "buff stoneware"),
    ("Mothwing tin white", "red earthenware"),
    ("bought clear", "white earthenware"),
];
/// The ages at which pieces are looked at, days.
const AGES: [i64; 6] = [0, 1, 30, 90, 180, 330];

/// What the year holds, to hold answers against.
pub struct Year {
    pub bench: Bench,
    /// Each batch's number with its glaze.
    pub batches: BTreeMap<String, String>,
    /// Each firing's id with its batches.
    pub firings: BTreeMap<String, Vec<String>>,
    /// Notes, without those that are taken back.
    pub notes: usize,
    /// Notes of each glaze.
    pub of_glaze: BTreeMap<String, usize>,
    /// Batches that hold the lot which came in the middle of the year.
    pub of_new_lot: Vec<String>,
    /// Pieces that a later look is due for: batch and firing of those that never crazed.
    pub uncrazed: usize,
}

/// Numbers that look like chance and are the same each time (an LCG of Knuth's).
pub struct Chance(u64);

impl Chance {
    pub fn of(seed: u64) -> Chance {
        Chance(seed)
    }

    /// From 0 to below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % end as u64) as usize
    }
}

/// An id of eight letters, as lines have them.
fn id(of: char, number: usize) -> String {
    let mut rest = number;
    let mut letters = String::from(of);
    for _ in 0..7 {
        letters.push(char::from(b'a' + (rest % 26) as u8));
        rest /= 26;
    }
    letters
}

/// The day so many days after 25 November 2025.
fn day(after: i64) -> String {
    const LENGTHS: [i64; 13] = [30, 31, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30];
    let (mut month, mut left) = (0, after + 24);
    while left >= LENGTHS[month] {
        left -= LENGTHS[month];
        month += 1;
    }
    let (year, month) = ((2025 + (month + 10) / 12), (month + 10) % 12 + 1);
    format!("{year}-{month:02}-{:02}", left + 1)
}

fn done(bench: &Bench, call: &[&str]) -> String {
    let ran = bench.run_in("studio", call);
    assert!(ran.code < 2, "{call:?}: {}{}", ran.stdout, ran.stderr);
    ran.stdout
}

/// The booking that `glost` itself writes for each glaze.
fn bookings(bench: &Bench) -> Vec<Value> {
    for (index, (glaze, clay)) in GLAZES.iter().enumerate() {
        let number = format!("m{index}");
        let weigh = ["weigh", glaze, "--dry", "100 g", "--batch", &number];
        done(bench, &[&weigh[..], &["--commit", "--on", "2025-11-25"]].concat());
        let note = ["note", "--batch", &number, "--clay", clay, "--grade", "gloss=4"];
        done(bench, &[&note[..], &["--on", "2025-11-25"]].concat());
    }
    let book = bench.path().join("studio/batches.jsonl");
    let lines = fs::read_to_string(&book).unwrap();
    let read = lines.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let made = read.filter(|line| line.get("lines").is_some()).collect();
    for written in ["batches.jsonl", "notes.jsonl"] {
        fs::remove_file(bench.path().join("studio").join(written)).unwrap();
    }
    made
}

fn append(lines: &mut String, line: &Value) {
    lines.push_str(&line.to_string());
    lines.push('\n');
}

/// Writes the year into a copy of the example studio.
pub fn lived(work: Work) -> Year {
    let bench = Bench::example_studio();
    let templates = bookings(&bench);
    let mut year = Year {
        bench,
        batches: BTreeMap::new(),
        firings: BTreeMap::new(),
        notes: 0,
        of_glaze: BTreeMap::new(),
        of_new_lot: Vec::new(),
        uncrazed: 0,
    };
    let mut chance = Chance::of(SEED);
    year.widen(work, &mut chance);
    year.book(work, &templates, &mut chance);
    year.fire(work, &mut chance);
    year.look(work, &mut chance);
    let ladder = [
        "blend",
        "series",
        "Lamplight clear",
        "--add",
        "silica 0..9 %",
        "--steps",
        "4",
        "--save",
        "ladder",
    ];
    done(&year.bench, &ladder);
    year
}

impl Year {
    fn file(&self, name: &str, text: &str) {
        self.bench.file(&format!("studio/{name}"), text);
    }

    /// Further sheets of materials, and glazes made of them.
    fn widen(&self, work: Work, chance: &mut Chance) {
        let mut sheets = String::from("materials:\n");
        for number in 0..work.more_materials {
            let (kind, oxides, loss) = KINDS[number % KINDS.len()];
            let drawn = oxides.map(|(oxide, usual)| {
                let share = usual * (0.95 + 0.1 * chance.below(1000) as f64 / 1000.0);
                format!("{oxide}: {share:.2}")
            });
            sheets.push_str(&format!(
                "  - {{ name: {kind} no {number}, analysis: {{ {} }}, loss_on_ignition: {loss}, basis: as supplied, take_as_is: true, price: 1.{:02} EUR/kg, source: invented }}\n",
                drawn.join(", "),
                chance.below(100),
            ));
        }
        if work.more_materials > 0 {
            self.file("materials/more.yaml", &sheets);
        }
        for number in 0..work.more_glazes {
            // Every sixth material is of one kind.
            let of_kind = |kind: usize, chance: &mut Chance| {
                let many = work.more_materials.saturating_sub(kind).div_ceil(KINDS.len());
                kind + KINDS.len() * chance.below(many)
            };
            let parts: Vec<String> = [(0, 30), (1, 10), (2, 12), (3, 14), (5, 22)]
                .iter()
                .map(|(kind, share)| {
                    let material = of_kind(*kind, chance);
                    format!("{} no {material}: {}", KINDS[*kind].0, share + chance.below(8))
                })
                .collect();
            let text = format!(
                "glaze: glaze no {number}\ncone: 6\natmosphere: oxidation\nclay: buff stoneware\nuse: tableware\nparts: {{ {} }}\n",
                parts.join(", "),
            );
            self.file(&format!("glazes/no {number}.yaml"), &text);
        }
    }

    fn book(&mut self, work: Work, templates: &[Value], chance: &mut Chance) {
        let mut lines = String::new();
        for number in 1..=work.batches {
            let template = chance.below(templates.len());
            let mut booking = templates[template].clone();
            let on = (number * 330 / work.batches) as i64;
            booking["batch"] = json!(number.to_string());
            booking["on"] = json!(day(on));
            booking["id"] = json!(id('b', number));
            booking["stock"] = json!([]);
            for line in booking["lines"].as_array_mut().unwrap() {
                if line["material"] == "silica" && number * 2 > work.batches {
                    line["lot"] = json!("312");
                    self.of_new_lot.push(number.to_string());
                }
            }
            append(&mut lines, &booking);
            append(
                &mut lines,
                &json!({ "booked": number.to_string(), "of": id('b', number) }),
            );
            self.batches.insert(number.to_string(), GLAZES[template].0.to_owned());
        }
        self.file("batches.jsonl", &lines);
    }

    /// Each batch goes into the firing after it was mixed.
    fn fire(&mut self, work: Work, chance: &mut Chance) {
        let mut lines = String::new();
        let each = work.batches.div_ceil(work.firings);
        for firing in 0..work.firings {
            let numbers: Vec<usize> = (1 + firing * each..=(firing + 1) * each)
                .filter(|number| *number <= work.batches)
                .collect();
            let Some(last) = numbers.last() else { break };
            let loaded = (last * 330 / work.batches) as i64;
            let load: Vec<Value> = numbers
                .iter()
                .map(|number| {
                    let number = number.to_string();
                    let clay = clay_of(&self.batches[&number]);
                    json!({ "batch": number, "booking": id('b', number.parse().unwrap()), "clay": clay, "pieces": pieces_of(&number), "shelf": (1 + chance.below(5)).to_string() })
                })
                .collect();
            append(
                &mut lines,
                &json!({ "on": day(loaded), "firing": format!("glost {firing}"), "kind": "glost", "cone_meant": "6", "load": load, "id": id('f', firing) }),
            );
            append(
                &mut lines,
                &json!({ "on": day(loaded + 1), "opened": id('f', firing), "cone_bent": "6", "peak_c": 1222, "id": id('o', firing) }),
            );
            self.firings
                .insert(id('f', firing), numbers.iter().map(ToString::to_string).collect());
        }
        self.file("firings.jsonl", &lines);
    }

    /// Looks at the pieces of every batch, in the order of their ages.
    fn look(&mut self, work: Work, chance: &mut Chance) {
        let mut lines = String::new();
        let firings: Vec<(String, Vec<String>)> = self.firings.clone().into_iter().collect();
        let looks = work.notes.div_ceil(work.batches);
        let mut written = 0;
        for (firing, (id_of_firing, batches)) in firings.iter().enumerate() {
            let opened = (batches.last().unwrap().parse::<usize>().unwrap() * 330 / work.batches) as i64 + 1;
            for batch in batches {
                let glaze = self.batches[batch].clone();
                let (pieces, mut crazed) = (pieces_of(batch), 0);
                let prone = chance.below(4) == 0;
                for look in 0..looks.min(work.notes - written) {
                    // Several looks of one day are told apart by what was written.
                    let age = AGES[(look * AGES.len() / looks).min(AGES.len() - 1)].min(364 - opened);
                    if prone && look > looks / 2 {
                        crazed = (crazed + chance.below(2)).min(pieces);
                    }
                    written += 1;
                    append(
                        &mut lines,
                        &json!({
                            "on": day(opened + age), "glaze": glaze, "version": "v1", "clay": clay_of(&glaze),
                            "firing": format!("glost {firing}"), "cone": "6", "batch": batch, "age_days": age,
                            "looked": (["ink", "loupe", "eye"][chance.below(3)]), "pieces": pieces, "crazed": crazed,
                            "grades": { "gloss": 1 + chance.below(5) }, "text": format!("look {written}: {}", WORDS[chance.below(WORDS.len())]),
                            "firing_id": id_of_firing, "id": id('n', written),
                        }),
                    );
                    *self.of_glaze.entry(glaze.clone()).or_default() += 1;
                }
                self.uncrazed += usize::from(crazed == 0);
            }
        }
        self.notes = written;
        self.file("notes.jsonl", &lines);
    }

    /// Where it lies.
    pub fn folder(&self) -> &Path {
        self.bench.path()
    }
}

const WORDS: [&str; 5] = [
    "even, bright, no pinholes",
    "thin at the rim",
    "runs a little where it is thick",
    "pools in the throwing lines",
    "a pinhole on the foot, else good",
];

fn clay_of(glaze: &str) -> &'static str {
    GLAZES.iter().find(|known| known.0 == glaze).unwrap().1
}

fn pieces_of(batch: &str) -> usize {
    4 + batch.parse::<usize>().unwrap() % 5
}
