//! Text of any kind put before everything that reads text: nothing panics, and what is
//! refused says why. Seeds are texts that people write; what comes in edits them.
//!
//! `BOLERO_RANDOM_ITERATIONS` says how many of each, `BOLERO_RANDOM_TEST_TIME_MS` how long.

use std::sync::OnceLock;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::read_glaze;
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::oxides::Formula;
use glost_chemistry::quantity::{Date, FiringPeak, Millilitres, parse_number};
use glost_chemistry::read::parse_csv;
use glost_core::evidence::notes::Notes;
use glost_core::intake::bag::{mend, read_label};
use glost_core::intake::notebook::read_page;
use glost_core::recipes::aims::parse_phrase;
use glost_core::studio::read_settings;
use glost_core::tiles::blend::AdditionSteps;
use glost_script::Script;

/// Texts with the pieces that edits put in.
struct Seeds {
    texts: &'static [&'static str],
    pieces: &'static [&'static str],
}

/// What is odd wherever it stands.
const ODD: [&str; 24] = [
    "\0",
    "\u{feff}",
    "\u{202e}",
    "\r",
    "\n",
    "\t",
    " ",
    "'",
    "\"",
    ",",
    ";",
    ":",
    "-",
    "e309",
    "1e-320",
    "NaN",
    "inf",
    "0,5",
    "½",
    "é",
    "釉",
    "٣",
    "%",
    "99999999999999999999",
];

/// One of the seeds, edited as these bytes say.
fn edited(seeds: &Seeds, bytes: &[u8]) -> String {
    let first = bytes.first().copied().map_or(0, usize::from);
    let mut text: Vec<char> = seeds.texts[first % seeds.texts.len()].chars().collect();
    for edit in bytes.get(1..).unwrap_or_default().chunks_exact(3).take(24) {
        let at = (usize::from(edit[1]) * (text.len() + 1)) >> 8;
        let pick = usize::from(edit[2]);
        match edit[0] % 6 {
            0 => {
                let to = (at + 1 + pick % 8).min(text.len());
                text.drain(at..to);
            }
            1 => {
                text.splice(at..at, ODD[pick % ODD.len()].chars());
            }
            2 => {
                text.splice(at..at, seeds.pieces[pick % seeds.pieces.len()].chars());
            }
            3 if at < text.len() => text[at] = char::from(edit[2]),
            4 => {
                let to = (at + pick % 32).min(text.len());
                let again = text[at..to].to_vec();
                text.splice(at..at, again);
            }
            _ => text.truncate(at.max(text.len() / 2)),
        }
    }
    text.into_iter().collect()
}

/// Puts edited texts before a reader; what it refuses has to say something.
fn reads(seeds: Seeds, read: impl Fn(&str) -> Vec<Diagnostic> + std::panic::RefUnwindSafe) {
    for text in seeds.texts {
        assert_eq!(read(text), [], "{text}");
    }
    bolero::check!().with_iterations(400).for_each(|bytes: &[u8]| {
        let text = edited(&seeds, bytes);
        for complaint in read(&text) {
            assert!(!complaint.message.is_empty() && !complaint.code.is_empty(), "{text:?}");
        }
    });
}

fn library() -> &'static Library {
    static SHIPPED: OnceLock<Library> = OnceLock::new();
    SHIPPED.get_or_init(Library::shipped)
}

fn wrong<T>(read: Result<T, Diagnostic>) -> Vec<Diagnostic> {
    read.err().into_iter().collect()
}

#[test]
fn formulas() {
    let seeds = Seeds {
        texts: &[
            "CaCO3",
            "Al2O3·2SiO2·2H2O",
            "KAlSi3O8",
            "Ca(OH)2",
            "Na2B4O7.10H2O",
            "(K0.6Na0.4)AlSi3O8",
        ],
        pieces: &["(", ")", "[", "]", "·", "10", "0.5", "Fe2", "Xx", "H2O", "((((((((("],
    };
    reads(seeds, |text| {
        // Its own error, with a place of its own.
        let _ = Formula::parse(text);
        Vec::new()
    });
}

#[test]
fn glazes() {
    let seeds = Seeds {
        texts: &[
            "glaze: A\ncone: 6\nparts: { potash feldspar: 40, silica: 25, whiting: 20, kaolin: 15 }\nadditions: { tin oxide: 5 }\nuse: tableware\n",
            "glaze: B\npeak: 1240 C\nwater: 900 ml/kg\ndensity: 1.45\nparts:\n  potash feldspar: 40 g\n  silica: 1 kg\n",
        ],
        pieces: &[
            "parts:",
            "{",
            "}",
            "[",
            "]",
            "&a",
            "*a",
            "<<: *a",
            "cone: 99",
            "additions:",
            "- ",
            "? ",
            "|\n",
            "!!x ",
        ],
    };
    reads(seeds, |text| {
        let read = read_glaze(&Source::from_text("g.yaml", text), Millilitres::METRIC_CUP);
        wrong(read.map(|file| file.resolve(library()).map(|_| ())))
    });
}

#[test]
fn materials() {
    let seeds = Seeds {
        texts: &[
            "materials:\n  - name: spar\n    kind: mineral\n    basis: as supplied\n    analysis: { SiO2: 67, Al2O3: 18.5, K2O: 10, Na2O: 4 }\n    loss_on_ignition: 0.5\n    source: sheet\n",
            "materials:\n  - { name: quartz, formula: SiO2, source: stoichiometric, price: 1.2 EUR/kg, stock: 4 kg }\n",
        ],
        pieces: &[
            "analysis:",
            "SiO2: <0.05",
            "trace",
            "formula: ",
            "recipe: { spar: 1 }",
            "tolerance: { SiO2: 1 }",
            "name: spar",
            "101",
            "-3",
        ],
    };
    reads(seeds, |text| {
        let (entries, mut complaints) = read_materials(&Source::from_text("m.yaml", text));
        let mut own = library().clone();
        complaints.extend(own.add_layer(entries, false));
        complaints
    });
}

#[test]
fn pages_of_a_notebook() {
    let seeds = Seeds {
        texts: &[
            "Winter clear, cone 9\npotash feldspar 40\nsilica 25\nwhiting 20\nkaolin 15\n+ tin oxide 5 %\n",
            "potash feldspar 1 1/2 cups\nsilica 3 tbsp\n\nwhiting: 20%\nkaolin - 15 g\n",
        ],
        pieces: &[
            "cups", "1/2", "%", "+ ", "tbsp", "lb", "oz", "cone", "Winter", "= 100", "(", ")", "...",
        ],
    };
    reads(seeds, |text| {
        // What a page says is doubted, not refused, as long as it says anything.
        let _ = read_page(&Source::from_text("page.txt", text), library(), Millilitres::METRIC_CUP);
        Vec::new()
    });
}

#[test]
fn tables() {
    let seeds = Seeds {
        texts: &[
            "glaze,cone,silica\nA,6,25\nB,9,30\n",
            "glaze;silica\r\n\"A;B\";25,5\r\n",
        ],
        pieces: &["\"", ",", ";", "\r\n", "\"\"", "=1+1", "glaze", "\t"],
    };
    reads(seeds, |text| {
        let _ = parse_csv(&Source::from_text("t.csv", text));
        Vec::new()
    });
}

#[test]
fn words_of_a_bag() {
    let seeds = Seeds {
        texts: &[
            "SiO2 67.2 Al2O3 18.1 K2O 10.0 Na2O 4.0 LOI 0.4",
            "SiO2: 67,2 %\nAl2O3: 18,1 %\nFe2O3 <0.05\nloss 0,4\n",
        ],
        pieces: &["SiO2", "5i02", "A1203", "LOI", "%", "trace", "ppm", "Fe2O3 0.1", "="],
    };
    reads(seeds, |text| {
        if let Ok(label) = read_label(text) {
            let _ = mend(&label, library());
        }
        Vec::new()
    });
}

#[test]
fn aims() {
    let seeds = Seeds {
        texts: &[
            "B2O3 >= 0.25",
            "CaO + MgO <= 0.8",
            "whiting <= 15 %",
            "SiO2:Al2O3 in 7..9",
            "raw clay in 10..25 %",
            "hold colour",
            "no talc",
        ],
        pieces: &[
            "<=",
            ">=",
            "in",
            "..",
            "%",
            "SiO2",
            "KNaO",
            ":",
            "+",
            "hold",
            "no",
            "cone 6",
            "fit: buff",
            "melt 1240 C",
        ],
    };
    reads(seeds, |text| {
        let _ = parse_phrase(text, library());
        Vec::new()
    });
}

#[test]
fn studios_and_their_books() {
    let seeds = Seeds {
        texts: &[
            "studio: Ternholm Tiles\nscales: { reads_to: 0.1 g, up_to: 2 kg }\ncup: 250 ml\nfluxes: [Na2O, K2O, CaO, MgO]\nscripts: { check/settling-risk: off }\n",
        ],
        pieces: &[
            "studio:",
            "iron: FeO",
            "fluxes: []",
            "scripts:",
            "cup: 0",
            "fit:",
            "reads_to: -1 g",
        ],
    };
    reads(seeds, |text| {
        wrong(read_settings(&Source::from_text("studio.yaml", text)))
    });
    let lines = Seeds {
        texts: &[
            "{\"id\":\"gqibq75r\",\"on\":\"2026-11-20\",\"glaze\":\"A\",\"clay\":\"buff\",\"pieces\":3,\"crazed\":0}\n{\"void\":\"gqibq75r\",\"on\":\"2026-11-21\"}\n",
        ],
        pieces: &[
            "<<<<<<< ",
            "=======\n",
            ">>>>>>> ",
            "{",
            "}",
            "\"pieces\":9e9",
            "\"void\":1",
            "null",
            "[[[[[[[[",
        ],
    };
    reads(lines, |text| {
        let _ = Notes::read(&Source::from_text("notes.jsonl", text));
        Vec::new()
    });
}

#[test]
fn scripts() {
    let seeds = Seeds {
        texts: &[
            "const ABOUT = #{\n    api: 1, kind: \"check\", title: \"One\", source: \"own\",\n    options: #{ most: #{ value: 0.3, unit: \"mol\", min: 0.0, max: 1.0, help: \"most\" } },\n};\nfn check(glaze, option) {\n    let u = glaze.unity;\n    if u.K2O > option.most { glaze.caution(\"K2O\", `potash ${fixed(u.K2O, 2)}`); }\n}\nfn test_one(t) { t.expect(t.check(#{ K2O: 0.6, CaO: 0.4, SiO2: 3 }), \"K2O\"); }\n",
            "const ABOUT = #{ api: 1, kind: \"limits\", title: \"Two\", source: \"own\", cones: \"04..3\" };\nfn limits(glaze, option) { #{ SiO2: 2.0..3.5, B2O3: [0.1, 0.6] } }\nfn test_two(t) { t.expect_nothing(t.limits(#{ SiO2: 3 })); }\n",
        ],
        pieces: &[
            "fn ",
            "(",
            ")",
            "{",
            "}",
            "#{",
            "/*",
            "`",
            "${",
            "|x|",
            "import \"lib/a\" as a;",
            "while true {}",
            "kind: \"fault\"",
            "api: 9",
            ".call(",
            "==",
            "=>",
            "switch",
            "const ABOUT",
            "0x",
            "1e400",
        ],
    };
    reads(seeds, |text| {
        Script::load_or_mistakes("check/one", Source::from_text("scripts/check/one.rhai", text))
            .err()
            .unwrap_or_default()
    });
}

#[test]
fn amounts_and_days() {
    let seeds = Seeds {
        texts: &["1.5", "1 1/2", "2026-11-25", "cone 04", "1240 C", "+ 0, 2, 4 % rutile"],
        pieces: &["1/0", "e9", "-", "½", "cone", "C", "F", "13", "02-30", ",", "%"],
    };
    reads(seeds, |text| {
        let _ = (parse_number(text), Date::parse(text), FiringPeak::parse(text));
        let _ = AdditionSteps::parse(text, library());
        Vec::new()
    });
}
