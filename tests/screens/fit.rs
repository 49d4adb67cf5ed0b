//! Does this glaze fit my clay? What a maker reads, from no notes at all to notes that
//! contradict each other.

use super::bench::Bench;

const POWDER: &str = r#"{"on": "2025-09-20", "glaze": "bought clear", "clay": "white earthenware", "batch": "3", "age_days": 180, "pieces": 20, "crazed": 1}
{"on": "2026-05-24", "glaze": "bought clear", "clay": "white earthenware", "batch": "3", "age_days": 426, "pieces": 20, "crazed": 2}
{"on": "2026-11-24", "glaze": "bought clear", "clay": "white earthenware", "age_days": 30, "pieces": 10, "crazed": 0}
"#;

const SERIES: &str = r#"{"on": "2026-05-20", "glaze": "Driftstone satin matt", "clay": "buff stoneware", "cone": "6", "batch": "3", "age_days": 180, "pieces": 10, "crazed": 0, "shivered": 0}
{"on": "2026-05-20", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "age_days": 426, "pieces": 20, "crazed": 2, "thickness_mm": 0.4}
{"on": "2026-05-20", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "age_days": 426, "pieces": 20, "crazed": 9, "thickness_mm": 1.4}
{"on": "2026-05-20", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "age_days": 30, "pieces": 4, "crazed": 0, "thickness_mm": 0.5}
{"on": "2026-05-20", "glaze": "Millpond copper green", "clay": "buff stoneware", "cone": "6", "age_days": 21, "pieces": 5, "crazed": 5}
{"on": "2026-05-20", "glaze": "Lamplight clear", "clay": "buff stoneware", "cone": "9", "age_days": 21, "pieces": 5, "crazed": 0}
{"on": "2026-05-21", "glaze": "a glaze that is gone", "clay": "buff stoneware", "cone": "6", "age_days": 21, "pieces": 5, "crazed": 0}
{"on": "2026-05-22", "glaze": "Honeyjar amber", "clay": "buff stoneware", "cone": "6", "pieces": 5, "crazed": 5, "test": "boil and ice"}
"#;

fn studio(notes: &str) -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/notes.jsonl", notes);
    bench
}

fn fit(notes: &str, further: &[&str]) -> String {
    studio(notes).screen(&[&["fit"], further, &["--studio", "studio"]].concat())
}

#[test]
fn a_powder_by_its_pieces_alone() {
    insta::assert_snapshot!(fit(POWDER, &["bought clear", "--clay", "white earthenware"]));
}

/// Nothing printed on the bag, nothing in it told.
#[test]
fn a_powder_of_which_nobody_tells_anything() {
    let bench = studio(POWDER);
    bench.file(
        "bag.yaml",
        "materials:\n  - { name: 'bought clear, lot 4', kind: powder, analysis: unknown, source: bag }\n",
    );
    let call = [
        "fit",
        "bought clear",
        "--clay",
        "white earthenware",
        "--studio",
        "studio",
        "--materials",
        "bag.yaml",
    ];
    insta::assert_snapshot!(bench.screen(&call));
    let ran = bench.run(&[&call[..], &["--format", "json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert!(json["expansion"].is_null() && json["rests_on_counts_alone"] == true);
}

#[test]
fn a_glaze_that_held_beside_others() {
    insta::assert_snapshot!(fit(SERIES, &["Driftstone satin matt"]));
}

/// A studio of forty glazes on one clay: the picture holds those nearest to this one.
#[test]
fn of_many_glazes_the_nearest_are_pictured() {
    let mut notes = String::new();
    let bench = studio("");
    for number in 1..=40 {
        let spar = 30 + number;
        let glaze = format!(
            "glaze: clear {number}\ncone: 6\nclay: buff stoneware\nparts: {{ feldspar A: {spar}, silica: {}, whiting: 18, kaolin: 10 }}\n",
            72 - spar
        );
        bench.file(&format!("studio/glazes/clear-{number}.yaml"), &glaze);
        notes.push_str(&format!(
            "{{\"on\": \"2026-05-20\", \"glaze\": \"clear {number}\", \"clay\": \"buff stoneware\", \"cone\": \"6\", \"age_days\": 180, \"pieces\": 5, \"crazed\": 0}}\n"
        ));
    }
    bench.file("studio/notes.jsonl", &notes);
    let screen = bench.screen(&["fit", "clear 1", "--studio", "studio"]);
    let pictured = |number: usize| screen.lines().any(|line| line.starts_with(&format!("clear {number} ")));
    assert_eq!((1..=40).filter(|number| pictured(*number)).count(), 32, "{screen}");
    assert!(pictured(2) && !pictured(40), "{screen}");
    assert!(screen.contains("8 more glazes lie further off"), "{screen}");
}

#[test]
fn a_glaze_that_crazes_is_a_no() {
    let screen = fit(SERIES, &["Millpond copper green", "--body", "buff stoneware"]);
    assert!(screen.ends_with("--- exit 1\n"));
    insta::assert_snapshot!(screen);
}

#[test]
fn fit_as_json() {
    insta::assert_snapshot!(fit(SERIES, &["Honeyjar amber", "--format", "json"]));
}

#[test]
fn fit_without_a_single_note() {
    insta::assert_snapshot!(fit("", &["Hearthside clear", "--firing", "slow glost"]));
}

#[test]
fn fit_on_a_clay_known_from_notes_alone() {
    let notes = r#"{"on": "2026-11-24", "glaze": "Hearthside clear", "clay": "Somebody's red", "age_days": 200, "pieces": 30, "crazed": 0}
"#;
    insta::assert_snapshot!(fit(notes, &["Hearthside clear", "--clay", "somebody's red"]));
}

#[test]
fn notes_that_contradict_each_other() {
    let notes = r#"{"on": "2026-05-20", "glaze": "Mothwing tin white", "clay": "red earthenware", "cone": "04", "batch": "1", "age_days": 30, "pieces": 5, "crazed": 4}
{"on": "2026-11-20", "glaze": "Mothwing tin white", "clay": "red earthenware", "cone": "04", "batch": "1", "age_days": 214, "pieces": 5, "crazed": 1}
{"on": "2026-11-20", "glaze": "Honeyjar amber", "clay": "red earthenware", "cone": "04", "age_days": 400, "pieces": 5, "crazed": 5, "shivered": 3}
{"on": "2026-11-20", "glaze": "Millpond copper green", "clay": "red earthenware", "cone": "04", "pieces": 10, "crazed": 0}
"#;
    insta::assert_snapshot!(fit(notes, &["Mothwing tin white"]));
}

#[test]
fn shivering_is_a_stop() {
    let notes = r#"{"on": "2026-11-20", "glaze": "Hearthside clear", "clay": "white earthenware", "cone": "04", "age_days": 1, "pieces": 6, "crazed": 0, "shivered": 5}
"#;
    let screen = fit(notes, &["Hearthside clear"]);
    assert!(screen.contains("Stop: expect shivering") && screen.ends_with("--- exit 1\n"));
    insta::assert_snapshot!(screen);
}

#[test]
fn a_studio_may_believe_otherwise() {
    let bench = studio(SERIES);
    bench.file(
        "studio/studio.yaml",
        "studio: S\nfit:\n  craze_threshold: 7.0 +/- 0.9\n  below_clay: 0.5 ± 0.4\n  dense_up_to: 2\n  \
         fallen_by: { 0: 0, 365: 1 }\n  tested: 10 pieces for 365 days\n",
    );
    let screen = bench.screen(&["fit", "Driftstone satin matt", "--studio", "studio"]);
    insta::assert_snapshot!(screen);
}

#[test]
fn the_picture_is_a_drawing_or_a_page_and_never_over_another() {
    let bench = studio(SERIES);
    let call = |file: &str| bench.run(&["fit", "Honeyjar amber", "--studio", "studio", "--page", file]);
    assert_eq!(call("fit.svg").code, 1, "two of them crazed");
    let drawing = std::fs::read_to_string(bench.path().join("fit.svg")).unwrap();
    assert!(drawing.starts_with("<?xml") && drawing.contains("Driftstone satin matt"));
    assert!(drawing.contains("2 of 24, 14 months"), "{drawing}");
    assert_eq!(call("fit.html").code, 1);
    let page = std::fs::read_to_string(bench.path().join("fit.html")).unwrap();
    assert!(page.contains("<svg ") && page.contains("2 of 24 pieces crazed"));
    assert_eq!(call("fit.svg").code, 2);
}

macro_rules! refused {
    ($($name:ident: $screen:expr;)+) => {
        $(#[test]
        fn $name() {
            let screen = $screen;
            assert!(screen.ends_with("--- exit 2\n"), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

fn settings(fit: &str) -> String {
    let bench = studio("");
    bench.file("studio/studio.yaml", format!("studio: S\nfit:\n{fit}\n"));
    bench.screen(&["fit", "Hearthside clear", "--studio", "studio"])
}

refused! {
    fit_on_no_clay: {
        let bench = Bench::empty();
        bench.file("g.yaml", "glaze: A\nparts: { silica: 1 }\n");
        bench.screen(&["fit", "g.yaml"])
    };
    fit_on_a_clay_nobody_knows: fit("", &["Hearthside clear", "--clay", "whyte earthenware"]);
    fit_on_paper_that_is_none: fit("", &["Hearthside clear", "--page", "fit.pdf"]);
    fit_belief_without_a_deviation: settings("  craze_threshold: 6.5");
    fit_belief_out_of_reach: settings("  craze_threshold: 6.5 +/- 0.001");
    fit_belief_misspelt: settings("  craze_treshold: 6.5 +/- 1.2");
    fit_ageing_that_falls: settings("  fallen_by: { 0: 0.5, 30: 0.4 }");
    fit_tested_unclear: settings("  tested: often");
    fit_levels_crossed: settings("  held_below: 0.6");
}
