//! Booking batches: the shelf, the book, where a lot went, what differs; and
//! real kills at random moments.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::bench::{Bench, Ran};

const CLEAR: [&str; 4] = ["weigh", "Lamplight clear", "--dry", "5 kg"];
const GREEN: [&str; 4] = ["weigh", "Millpond copper green", "--dry", "2 kg"];
const DAY: &str = "2026-11-24";

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

/// The example studio with three batches booked: a clear, a green, a clear from
/// another lot of silica, with a slip at the scales and more water.
fn three_batches() -> Bench {
    let bench = Bench::example_studio();
    booked(
        &bench,
        &[&CLEAR[..], &["--on", "2026-11-20", "--by", "Ada", "--batch", "14"]].concat(),
    );
    booked(&bench, &[&GREEN[..], &["--on", DAY]].concat());
    edit(&bench, "materials/clay_and_silica.yaml", "lot: \"305\"", "lot: \"306\"");
    edit(&bench, "glazes/lamplight_clear.yaml", "whiting: 18", "whiting: 21");
    let third = ["--on", DAY, "--by", "Jo", "--water", "1 l/kg"];
    booked(&bench, &[&CLEAR[..], &third].concat());
    bench
}

fn booked(bench: &Bench, call: &[&str]) -> Ran {
    let ran = bench.run_in("studio", &[call, &["--commit"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    ran
}

fn edit(bench: &Bench, file: &str, from: &str, to: &str) {
    let path = format!("studio/{file}");
    let text = std::fs::read_to_string(bench.path().join(&path)).unwrap();
    assert!(text.contains(from), "{file} has no `{from}`");
    bench.file(&path, text.replace(from, to));
}

fn screen(bench: &Bench, call: &[&str], code: u8) -> String {
    let screen = bench.screen(&[call, &["--studio", "studio"]].concat());
    assert!(screen.ends_with(&format!("--- exit {code}\n")), "{screen}");
    screen
}

macro_rules! pinned {
    ($($name:ident: $exit:literal, $bench:expr, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), screen(&$bench, &[$($word),+], $exit));
        })+
    };
}

pinned! {
    a_ticket_that_is_short: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "90 kg", "--scales", "1 g to 40 kg"];
    a_batch_is_booked: 0, Bench::example_studio(), ["weigh", "Millpond copper green", "--dry", "2 kg", "--commit", "--on", DAY, "--by", "Ada"];
    a_batch_is_booked_over_a_wrong_count: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "5 kg", "--commit", "--on", DAY, "--batch", "14b"];
    a_batch_as_json: 0, Bench::example_studio(), ["weigh", "Lamplight clear", "--dry", "1 kg", "--commit", "--on", DAY, "--format", "json"];
    a_ticket_with_its_number: 0, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--batch", "14"];
    a_label_with_its_number: 0, Bench::example_studio(), ["label", "Highfell clear", "--batch", "14"];
    the_same_ticket_twice: 2, three_batches(), ["weigh", "Lamplight clear", "--dry", "5 kg", "--commit", "--on", DAY];
    the_same_number_twice: 2, three_batches(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--batch", "14"];
    a_number_too_long_for_a_bucket: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--batch", "the one that we mixed in May"];
    a_day_in_another_order: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--on", "24.11.2026"];
    a_day_that_never_was: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--commit", "--on", "2026-02-29"];
    a_day_without_booking: 2, Bench::example_studio(), ["weigh", "Highfell clear", "--dry", "1 kg", "--on", DAY];
    no_batch_yet: 0, Bench::example_studio(), ["batches"];
    all_batches: 0, three_batches(), ["batches"];
    which_buckets_hold_this_lot: 0, three_batches(), ["batches", "--material", "flint", "--lot", "305"];
    which_buckets_hold_this_lot_as_json: 0, three_batches(), ["batches", "--material", "feldspar C", "--lot", "207", "--format", "json"];
    a_lot_that_was_never_booked: 0, three_batches(), ["batches", "--material", "silica", "--lot", "7"];
    a_material_through_all_lots: 0, three_batches(), ["batches", "--material", "silica"];
    batches_of_a_glaze: 0, three_batches(), ["batches", "--glaze", "lamplight clear"];
    one_batch_in_full: 0, three_batches(), ["batches", "14"];
    what_changed: 0, three_batches(), ["batches", "diff", "14", "16"];
    what_changed_as_json: 0, three_batches(), ["batches", "14", "--against", "16", "--format", "json"];
    a_batch_against_itself: 2, three_batches(), ["batches", "diff", "14", "14"];
    a_material_misspelt: 2, three_batches(), ["batches", "--material", "silca"];
    a_glaze_misspelt: 2, three_batches(), ["batches", "--glaze", "Lamplite clear"];
    a_batch_that_is_not_there: 2, three_batches(), ["batches", "41"];
    a_difference_of_one: 2, three_batches(), ["batches", "diff", "14"];
    two_batches_at_once: 2, three_batches(), ["batches", "14", "15"];
    a_booking_is_taken_back: 0, three_batches(), ["batches", "--void", "15", "--on", "2026-11-25", "--text", "never mixed"];
    taken_back_that_is_not_there: 2, three_batches(), ["batches", "--void", "41"];
}

#[test]
fn without_a_studio_nothing_is_booked() {
    let bench = Bench::empty();
    let book = bench.screen(&[&CLEAR[..], &["--commit"]].concat());
    assert!(book.ends_with("--- exit 2\n"), "{book}");
    insta::assert_snapshot!("booking_without_a_studio", book);
    insta::assert_snapshot!("batches_without_a_studio", bench.screen(&["batches"]));
    assert_eq!(std::fs::read_dir(bench.path()).unwrap().count(), 0);
}

#[test]
fn what_was_taken_back_is_marked_and_taken_back_once() {
    let bench = three_batches();
    let back = ["batches", "--void", "14", "--on", "2026-11-25"];
    assert_eq!(bench.run_in("studio", &back).code, 0);
    insta::assert_snapshot!("taken_back_twice", screen(&bench, &back, 2));
    insta::assert_snapshot!("a_list_with_one_taken_back", screen(&bench, &["batches"], 0));
    insta::assert_snapshot!("one_batch_taken_back", screen(&bench, &["batches", "14"], 0));
}

#[test]
fn a_torn_line_and_a_booking_broken_off_are_told() {
    let bench = three_batches();
    let path = bench.path().join("studio/batches.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    // The completion of 15 is gone, and a booking was torn in the middle of an ä.
    let mut broken = [lines[0], lines[1], lines[2], lines[4], lines[5]]
        .join("\n")
        .into_bytes();
    broken.extend_from_slice(b"\n{\"batch\":\"17\",\"on\":\"2026-11-24\",\"by\":\"K\xc3");
    std::fs::write(&path, broken).unwrap();
    insta::assert_snapshot!("a_book_that_was_torn", screen(&bench, &["batches"], 0));
    let next = booked(
        &bench,
        &[
            "weigh",
            "Highfell clear",
            "--dry",
            "1 kg",
            "--format",
            "json",
            "--on",
            DAY,
        ],
    );
    assert_eq!(json(&next)["batch"], "17");
}

#[test]
fn a_ticket_counts_on_the_shelf_as_it_is_once_all_is_finished() {
    let bench = Bench::example_studio();
    let shelf = std::fs::read_to_string(bench.path().join("studio/materials/clay_and_silica.yaml")).unwrap();
    booked(&bench, &[&CLEAR[..], &["--on", DAY]].concat());
    let path = bench.path().join("studio/batches.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.lines().next().unwrap()).unwrap();
    bench.file("studio/materials/clay_and_silica.yaml", shelf);
    let ticket = bench.run_in("studio", &[&CLEAR[..], &["--format", "json"]].concat());
    assert!(ticket.stderr.contains("batch 1 was being booked"), "{}", ticket.stderr);
    assert_eq!(json(&ticket)["stock"][1]["before_grams"], 20_700.0);
}

#[test]
fn a_mix_may_hold_the_lot() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/mixes.yaml",
        "materials:\n  - { name: blue pre-mix, recipe: { silica: 97, cobalt carbonate: 3 }, lot: May, stock: 500 g, source: own }\n",
    );
    bench.file(
        "studio/glazes/blue.yaml",
        "glaze: Quay blue\nwater: 0.9 l/kg\nparts: { frit X: 60, kaolin: 40 }\nadditions: { blue pre-mix: 5 }\n",
    );
    booked(&bench, &["weigh", "Quay blue", "--dry", "1 kg", "--on", DAY]);
    let lot = ["batches", "--material", "silica", "--lot", "305"];
    insta::assert_snapshot!(screen(&bench, &lot, 0));
}

#[test]
fn a_stock_that_cannot_be_changed_in_place() {
    let bench = Bench::example_studio();
    edit(
        &bench,
        "materials/clay_and_silica.yaml",
        "stock: 22 kg",
        "stock: 22\n      kg",
    );
    let screen = screen(&bench, &[&CLEAR[..], &["--commit", "--on", DAY]].concat(), 2);
    insta::assert_snapshot!(screen);
    assert!(!bench.path().join("studio/batches.jsonl").exists());
}

#[test]
fn a_page_that_is_there_already_stops_the_booking() {
    let bench = Bench::example_studio();
    bench.file("ticket.html", "mine");
    let call = [&CLEAR[..], &["--commit", "--on", DAY, "--page", "ticket.html"]].concat();
    insta::assert_snapshot!(screen(&bench, &call, 2));
    assert!(!bench.path().join("studio/batches.jsonl").exists());
    let call = [
        &CLEAR[..],
        &[
            "--commit", "--on", DAY, "--by", "Ada", "--page", "14.html", "--batch", "14",
        ],
    ]
    .concat();
    screen(&bench, &call, 0);
    let page = std::fs::read_to_string(bench.path().join("14.html")).unwrap();
    assert!(page.contains("Batch 14 (booked), mixed 2026-11-24 by Ada"), "{page}");
}

/// The stocks of all materials files in grams, and the files without them.
fn shelf(bench: &Bench) -> (BTreeMap<String, f64>, Vec<String>) {
    let mut stocks = BTreeMap::new();
    let mut rest = Vec::new();
    let folder = bench.path().join("studio/materials");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    for file in files
        .iter()
        .filter(|file| file.extension().is_some_and(|ending| ending == "yaml"))
    {
        let mut name = String::new();
        for line in std::fs::read_to_string(file).unwrap().split_inclusive('\n') {
            if let Some(new) = line.trim().strip_prefix("- name: ") {
                name = new.to_owned();
            }
            match line.trim().strip_prefix("stock: ") {
                None => rest.push(line.to_owned()),
                Some(stock) => {
                    let (number, unit) = stock.split_once(' ').unwrap();
                    let factor = if unit == "kg" { 1000.0 } else { 1.0 };
                    stocks.insert(name.clone(), factor * number.parse::<f64>().unwrap());
                    rest.push("stock\n".to_owned());
                }
            }
        }
    }
    (stocks, rest)
}

/// Grams booked of each material, what was taken back aside.
fn booked_grams(bench: &Bench) -> BTreeMap<String, f64> {
    let mut grams = BTreeMap::new();
    let list = json(&bench.run_in("studio", &["batches", "--format", "json"]));
    for batch in list["batches"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|batch| batch["void"].is_null())
    {
        for line in batch["lines"].as_array().unwrap() {
            let name = line["material"].as_str().unwrap().to_owned();
            *grams.entry(name).or_insert(0.0) += line["grams"].as_f64().unwrap();
        }
    }
    grams
}

#[track_caller]
fn consistent(bench: &Bench, start: &(BTreeMap<String, f64>, Vec<String>)) {
    let booked = booked_grams(bench);
    let (stocks, rest) = shelf(bench);
    assert_eq!(rest, start.1, "another byte than a stock's has changed");
    for (name, before) in &start.0 {
        let gone = booked.get(name).copied().unwrap_or(0.0);
        let left = stocks[name];
        assert!(
            (before - gone - left).abs() < 0.01,
            "{name}: {before} less {gone} is {left}"
        );
    }
}

#[test]
fn nothing_changed_but_the_size() {
    let bench = three_batches();
    let more = ["weigh", "Millpond copper green", "--dry", "5 kg", "--on", DAY];
    booked(&bench, &more);
    edit(&bench, "materials/clay_and_silica.yaml", "lot: \"306\"", "lot: \"305\"");
    booked(&bench, &[&more[..], &["--batch", "18"]].concat());
    booked(&bench, &[&GREEN[..], &["--batch", "19", "--on", DAY]].concat());
    insta::assert_snapshot!(screen(&bench, &["batches", "diff", "18", "19"], 0));
}

/// When to kill.
#[derive(Clone, Copy)]
enum Moment {
    /// So long after its start.
    SinceStart(Duration),
    /// So long after it first wrote into the book.
    SinceFirstLine(Duration),
}

/// How far a killed process had come.
#[derive(Debug, Default)]
struct Moments {
    nothing_written: usize,
    line_torn: usize,
    begun: usize,
    done: usize,
}

fn killed(bench: &Bench, call: &[&str], moment: Moment, moments: &mut Moments) {
    let path = bench.path().join("studio/batches.jsonl");
    let before = std::fs::read_to_string(&path).unwrap_or_default();
    let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(call)
        .current_dir(bench.path().join("studio"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let delay = match moment {
        Moment::SinceStart(delay) => delay,
        Moment::SinceFirstLine(delay) => {
            let length = || std::fs::metadata(&path).map_or(0, |file| file.len());
            while length() == before.len() as u64 && child.try_wait().unwrap().is_none() {}
            delay
        }
    };
    let start = Instant::now();
    while start.elapsed() < delay {
        std::hint::spin_loop();
    }
    // SIGKILL on Unix: nothing in the process can catch it.
    child.kill().unwrap();
    child.wait().unwrap();
    let after = std::fs::read_to_string(&path).unwrap_or_default();
    let new = &after[before.len()..];
    match new.matches('\n').count() {
        0 if new.is_empty() => moments.nothing_written += 1,
        0 => moments.line_torn += 1,
        1 => moments.begun += 1,
        _ => moments.done += 1,
    }
}

/// Kills of one run of the tests; `GLOST_KILLS=1000` tries more.
fn kills() -> usize {
    let more = std::env::var("GLOST_KILLS").ok();
    more.and_then(|text| text.parse().ok()).unwrap_or(100)
}

#[test]
fn killed_at_random_moments_the_shelf_and_the_book_agree() {
    let bench = Bench::example_studio();
    // Whatever the shelf is said to hold, it suffices.
    for (file, from) in [
        ("feldspars", "stock: 0 kg"),
        ("feldspars", "stock: 6 kg"),
        ("frits", "stock: 7 kg"),
    ] {
        edit(&bench, &format!("materials/{file}.yaml"), from, "stock: 100 kg");
    }
    let start = shelf(&bench);
    let clock = Instant::now();
    booked(&bench, &["weigh", "Lamplight clear", "--dry", "10 g", "--on", DAY]);
    let whole = clock.elapsed();
    let mut random: u64 = 20_261_124;
    let mut moments = Moments::default();
    for round in 0..kills() {
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = (random >> 40) as f64 / (1u64 << 24) as f64;
        // Every other kill falls between the first line and the end, where it hurts.
        let moment = match round % 2 {
            0 => Moment::SinceFirstLine(whole.mul_f64(0.1 * share)),
            _ => Moment::SinceStart(whole.mul_f64(1.2 * share)),
        };
        let number = format!("k{round}");
        let glaze = if round % 3 == 0 {
            "Lamplight clear"
        } else {
            "Millpond copper green"
        };
        let booking = [
            "weigh", glaze, "--dry", "10 g", "--on", DAY, "--commit", "--batch", &number,
        ];
        let earlier = format!("k{}", round - round.min(1));
        let void = ["batches", "--void", &earlier];
        killed(
            &bench,
            if round % 5 == 4 { &void } else { &booking },
            moment,
            &mut moments,
        );
        if round % 4 == 0 {
            // The one that finishes is killed too.
            killed(&bench, &["batches"], moment, &mut Moments::default());
        }
        consistent(&bench, &start);
    }
    eprintln!("{} kills of a booking that takes {whole:?}: {moments:?}", kills());
    assert!(moments.done > 0 && moments.nothing_written > 0, "{moments:?}");
    let left = std::fs::read_dir(bench.path().join("studio/materials")).unwrap();
    let temporary = left.filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().starts_with('.'));
    assert!(temporary.count() <= 6, "what kills leave behind is taken away");
}
