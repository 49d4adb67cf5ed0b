//! What tiles teach, and tables that can't teach anything.

use super::bench::Bench;

/// The worked example of NIST/SEMATECH e-Handbook 5.5.4.2 (J. A. Cornell, 2002).
const YARN: &str = include_str!("../data/yarn.csv");
/// An invented plan: a simplex centroid of a clear with two colours, graded for gloss.
const CENTROID: &str = "code,clear,iron,rutile,gloss,crazed\n\
    A1,1,0,0,2,4/5\n\
    B1,.5,.5,0,4,1/5\n\
    B2,.5,0,.5,3,2/5\n\
    C1,0,1,0,1,0/5\n\
    C2,0,.5,.5,3.5,0/5\n\
    C3,0,0,1,2,1/5\n\
    D1,.333,.333,.333,4.5,0/5\n";
/// An invented ladder of silica on a bought powder, with one tile more in another firing.
const LADDER: &str = "code,p,silica,crazed,fired\n\
    A1,1,0,5/5,may\nA2,.97,.03,3/5,may\nA3,.94,.06,0/5,may\nA4,.91,.09,0/5,may\nB1,.94,.06,0/5,june\n";
const LINE: &str = "a,b,gloss\n1,0,2\n0.75,0.25,3\n0.5,0.5,3.5\n0.25,0.75,2.5\n0,1,1\n";

/// A screen of `glost results` on a table.
fn screen(name: &str, table: &str, exit: i32, more: &[&str]) {
    let bench = Bench::empty();
    bench.file("tiles.csv", table);
    let mut words = vec!["results", "--data", "tiles.csv"];
    words.extend(more);
    let screen = bench.screen(&words);
    assert!(screen.ends_with(&format!("--- exit {exit}\n")), "{screen}");
    insta::assert_snapshot!(name, screen);
}

macro_rules! results {
    ($($name:ident: $table:expr, $exit:literal, [$($word:expr),* $(,)?];)+) => {
        $(#[test]
        fn $name() {
            screen(stringify!($name), &$table, $exit, &[$($word),*]);
        })+
    };
}

const COLOURS: &str = "clear,iron,rutile";

results! {
    results_published: YARN, 0, ["--shares", "polyethylene,polystyrene,polypropylene", "--value", "elongation", "--details"];
    results_most: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss"];
    results_least: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "least", "--model", "linear"];
    results_a_value: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "3", "--next", "1"];
    results_beyond_reach: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "9"];
    results_none_to_spare: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--model", "special-cubic"];
    results_counts: CENTROID, 0, ["--shares", COLOURS, "--value", "crazed"];
    results_counts_in_detail: CENTROID, 0, ["--shares", COLOURS, "--value", "crazed", "--details", "--next", "0"];
    results_of_a_ladder: LADDER, 0, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica", "--fired-together", "fired"];
    results_of_a_ladder_as_json: LADDER, 0, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica", "--firing", "fired", "--format", "json"];
    results_of_a_ladder_too_short: "p,silica,crazed\n1,0,3/3\n.97,.03,3/3\n.94,.06,3/3\n", 0, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica"];
    results_of_a_ladder_none_crazed: "p,silica,crazed\n1,0,0/3\n.97,.03,0/3\n.94,.06,0/3\n", 0, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica"];
    results_as_json: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--format", "json", "--next", "1"];
    results_counts_as_json: CENTROID, 0, ["--shares", COLOURS, "--value", "crazed", "--goal", "min", "--format", "json", "--next", "1"];
    results_of_a_line: LINE, 0, ["--shares", "a,b", "--value", "gloss"];
    results_beyond_the_tiles: "a,b,gloss\n0.8,0.2,1\n0.6,0.4,2.1\n0.7,0.3,1.4\n0.6,0.4,1.9\n", 0, ["--shares", "a,b", "--value", "gloss"];
    results_yes_and_no: "a,b,runs\n1,0,0\n0.75,0.25,0\n0.5,0.5,1\n0.25,0.75,1\n0,1,1\n", 0, ["--shares", "a,b", "--value", "runs", "--goal", "min"];
    results_in_per_cent: "a;b;gloss\n100;0;2\n75;25;3,1\n50;50;3,5\n25;75;\n0;100;1\n0;100;1,5\n", 0, ["--shares", "a,b", "--value", "gloss"];

    results_of_an_empty_file: "", 2, ["--shares", "a,b", "--value", "gloss"];
    results_without_rows: "a,b,gloss\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_of_a_missing_column: LINE, 2, ["--shares", "a,b", "--value", "glos"];
    results_of_a_missing_end: LINE, 2, ["--shares", "a,q", "--value", "gloss"];
    results_of_one_end: LINE, 2, ["--shares", "a", "--value", "gloss"];
    results_of_an_end_twice: LINE, 2, ["--shares", "a,A", "--value", "gloss"];
    results_of_a_share: LINE, 2, ["--shares", "a,b", "--value", "b"];
    results_of_a_column_twice: "a,a,gloss\n1,0,2\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_that_do_not_sum: "a,b,gloss\n1,0,2\n0.5,0.4,3\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_less_than_nothing: "a,b,gloss\n1.2,-0.2,2\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_in_words: "a,b,gloss\n1,0,shiny\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_of_a_bad_count: "a,b,crazed\n1,0,7/5\n", 2, ["--shares", "a,b", "--value", "crazed"];
    results_mixed: "a,b,crazed\n1,0,2/5\n0,1,3\n", 2, ["--shares", "a,b", "--value", "crazed"];
    results_all_alike: "a,b,gloss\n1,0,3\n0.5,0.5,3\n0,1,3\n", 0, ["--shares", "a,b", "--value", "gloss"];
    results_all_yes: "a,b,crazed\n1,0,yes\n0.5,0.5,yes\n0,1,yes\n", 0, ["--shares", "a,b", "--value", "crazed"];
    results_all_no: "a,b,crazed\n1,0,0/5\n0.5,0.5,0/5\n0,1,0/5\n", 0, ["--shares", "a,b", "--value", "crazed"];
    results_of_one_tile: "a,b,gloss\n1,0,3\n", 0, ["--shares", "a,b", "--value", "gloss"];
    results_of_too_few: CENTROID, 2, ["--shares", COLOURS, "--value", "gloss", "--model", "special-cubic", "--goal", "much"];
    results_that_cannot_tell: "a,b,c,gloss\n1,0,0,2\n0,1,0,3\n0,0,1,4\n.5,.5,0,3\n.25,.75,0,3.5\n.75,.25,0,2.5\n", 2, ["--shares", "a,b,c", "--value", "gloss", "--model", "quadratic"];
    results_too_bent: LINE, 2, ["--shares", "a,b", "--value", "gloss", "--model", "special-cubic"];
    results_bent_yes: CENTROID, 2, ["--shares", COLOURS, "--value", "crazed", "--model", "special-cubic"];
    results_of_a_crowd: LINE, 2, ["--shares", "a,b,c,d,e,f,g,h,i", "--value", "gloss"];
    results_no_tile_has: "a,b,gloss\n1,0,1e200\n0,1,3\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_of_no_chance: CENTROID, 2, ["--shares", COLOURS, "--value", "crazed", "--goal", "20"];
    results_lowers_no_end: LADDER, 2, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silca"];
    results_lowers_of_three: CENTROID, 2, ["--shares", COLOURS, "--value", "crazed", "--lowers", "iron"];
    results_lowers_a_grade: LINE, 2, ["--shares", "a,b", "--value", "gloss", "--lowers", "b", "--goal", "least"];
    results_lowers_the_most: LADDER, 2, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica", "--goal", "max"];
    results_lowers_by_a_model: LADDER, 2, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica", "--model", "linear"];
    results_fired_nowhere: LADDER, 2, ["--shares", "p,silica", "--value", "crazed", "--lowers", "silica", "--fired-together", "fird"];
    results_with_all_next: LINE, 2, ["--shares", "a,b", "--value", "gloss", "--next", "500"];
}

#[test]
fn a_table_of_more_tiles_than_can_be_is_refused() {
    let mut table = String::from("a,b,gloss\n");
    for tile in 0..10_001 {
        table.push_str(if tile % 2 == 0 { "1,0,2\n" } else { "0,1,3\n" });
    }
    screen(
        "results_of_too_many",
        &table,
        2,
        &["--shares", "a,b", "--value", "gloss"],
    );
}

/// A plan as `glost blend` saves it: a clear with nothing, iron and rutile on top.
const PLAN: &str = r#"{"on": "2026-11-01", "call": "glost blend centroid ...", "kind": "centroid", "shape": "triangle",
"ends": ["Lamplight clear", "Lamplight clear + 6 % red iron oxide", "Lamplight clear + 5 % rutile"], "rows": [7],
"tiles": [
{"code": "A1", "shares": [1, 0, 0], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}},
{"code": "A2", "shares": [0.5, 0.5, 0], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"red iron oxide": 3}},
{"code": "A3", "shares": [0.5, 0, 0.5], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"rutile": 2.5}},
{"code": "A4", "shares": [0, 1, 0], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"red iron oxide": 6}},
{"code": "A5", "shares": [0, 0.5, 0.5], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"red iron oxide": 3, "rutile": 2.5}},
{"code": "A6", "shares": [0, 0, 1], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"rutile": 5}},
{"code": "A7", "shares": [0.3333333333333333, 0.3333333333333333, 0.3333333333333333], "parts": {"silica": 40, "whiting": 20, "kaolin": 40}, "additions": {"red iron oxide": 2, "rutile": 1.6666666666666667}}
]}"#;
const BOOK: &str = r#"{"on": "2026-11-20", "tile": "A1", "grades": {"gloss": 4.5}, "crazed": 3, "pieces": 3}
{"on": "2026-11-20", "tile": "A2", "grades": {"gloss": 3}, "crazed": 1, "pieces": 3}
{"on": "2026-11-20", "tile": "A3", "grades": {"gloss": 2.5}}
{"on": "2026-11-20", "tile": "A4", "grades": {"gloss": 1}}
{"on": "2026-11-20", "tile": "A5", "grades": {"gloss": 3.5}}
{"on": "2026-11-20", "tile": "A6", "grades": {"gloss": 2}}
{"on": "2026-11-20", "tile": "A7", "grades": {"gloss": 4}}
{"on": "2026-12-20", "tile": "A4", "grades": {"gloss": 1.5}}
"#;

fn studio() -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/plans/iron and rutile.json", PLAN);
    bench.file("studio/notes.jsonl", BOOK);
    bench
}

macro_rules! planned {
    ($($name:ident: $exit:literal, [$($word:expr),* $(,)?];)+) => {
        $(#[test]
        fn $name() {
            let screen = studio().screen(&["results", "--studio", "studio", $($word),*]);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

planned! {
    results_of_a_plan: 0, ["iron and rutile", "--grade", "gloss", "--dry", "500 g"];
    results_of_a_plan_as_json: 0, ["iron and rutile", "--grade", "gloss", "--next", "0", "--format", "json"];
    results_of_a_plan_by_counts: 0, ["iron and rutile", "--grade", "crazed", "--goal", "min", "--next", "1"];
    results_of_which_property: 2, ["iron and rutile"];
    results_of_an_unnoted_property: 2, ["iron and rutile", "--grade", "glos"];
    results_of_an_unknown_plan: 2, ["iron and rutil", "--grade", "gloss"];
    results_of_nothing: 2, [];
    results_of_a_plan_and_a_table: 2, ["iron and rutile", "--data", "x.csv", "--shares", "a,b", "--value", "y"];
}

/// Two saved ladders of silica on a bought powder: the second holds the tiles that the
/// first one's results advised.
const SILICA: &str = r#"{"on": "2025-01-02", "kind": "series", "ends": ["bought clear", "bought clear + 9 % silica"], "tiles": [
{"code": "A1", "shares": [1, 0], "parts": {"bought clear": 100}},
{"code": "A2", "shares": [0.6666666666666667, 0.3333333333333333], "parts": {"bought clear": 100}, "additions": {"silica": 3}},
{"code": "A3", "shares": [0.3333333333333333, 0.6666666666666667], "parts": {"bought clear": 100}, "additions": {"silica": 6}},
{"code": "A4", "shares": [0, 1], "parts": {"bought clear": 100}, "additions": {"silica": 9}}]}"#;
const MORE_SILICA: &str = r#"{"on": "2025-03-02", "kind": "series", "ends": ["bought clear + 5 % silica", "bought clear + 12 % silica"], "tiles": [
{"code": "A1", "shares": [1, 0], "parts": {"bought clear": 100}, "additions": {"silica": 5}},
{"code": "A2", "shares": [0, 1], "parts": {"bought clear": 100}, "additions": {"silica": 12}}]}"#;
const POWDER: &str = "materials:\n  - { name: bought clear, kind: powder, analysis: unknown, source: bag }\n";

/// Notes of the first ladder at an age, of the second where `more`.
fn silica(age_days: u32, more: bool) -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/materials/bought.yaml", POWDER);
    bench.file("studio/plans/silica.json", SILICA);
    bench.file("studio/plans/more silica.json", MORE_SILICA);
    let note = |tile: &str, crazed: u32, on: &str| {
        format!(
            r#"{{"on": "{on}", "tile": "{tile}", "clay": "buff stoneware", "age_days": {age_days}, "pieces": 5, "crazed": {crazed}}}"#
        )
    };
    let mut notes: Vec<String> = [("silica/A1", 5), ("silica/A2", 3), ("silica/A3", 0), ("silica/A4", 0)]
        .iter()
        .map(|(tile, crazed)| note(tile, *crazed, "2026-02-01"))
        .collect();
    if more {
        notes.push(note("more silica/A1", 0, "2026-03-01"));
        notes.push(note("more silica/A2", 0, "2026-03-01"));
    }
    bench.file("studio/notes.jsonl", &(notes.join("\n") + "\n"));
    bench
}

macro_rules! ladders {
    ($($name:ident: $age:literal, $more:literal, $exit:literal, [$($word:expr),* $(,)?];)+) => {
        $(#[test]
        fn $name() {
            let screen = silica($age, $more).screen(&["results", "--studio", "studio", $($word),*]);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

ladders! {
    ladder_looked_at_early: 30, false, 0, ["silica", "--grade", "crazed"];
    ladder_looked_at_late: 400, false, 0, ["silica", "--grade", "crazed"];
    ladder_of_two_plans: 400, true, 0, ["silica", "more silica", "--grade", "crazed"];
    ladder_by_its_addition: 400, false, 0, ["silica", "--grade", "crazed", "--lowers", "silica", "--next", "0", "--format", "json"];
    ladder_whose_plan_is_gone: 400, false, 2, ["kaolin", "--grade", "crazed"];
}

#[test]
fn a_ladder_of_two_materials_at_once_says_so() {
    let bench = silica(400, false);
    let both = SILICA
        .replace("\"silica\": 3}", "\"silica\": 3, \"kaolin\": 1}")
        .replace("\"silica\": 6}", "\"silica\": 6, \"kaolin\": 2}")
        .replace("\"silica\": 9}", "\"silica\": 9, \"kaolin\": 3}");
    bench.file("studio/plans/silica.json", &both);
    let screen = bench.screen(&[
        "results", "--studio", "studio", "silica", "--grade", "crazed", "--next", "1",
    ]);
    insta::assert_snapshot!("ladder_of_two_materials", screen);
}

#[test]
fn a_map_of_the_result_is_drawn() {
    let bench = Bench::empty();
    bench.file("tiles.csv", CENTROID);
    bench.file("line.csv", LINE);
    let page = |file: &str, table: &str, shares: &str| {
        let ran = bench.run(&[
            "results", "--data", table, "--shares", shares, "--value", "gloss", "--page", file,
        ]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        assert!(ran.stdout.ends_with(&format!("Map: {file}.\n")), "{}", ran.stdout);
        std::fs::read_to_string(bench.path().join(file)).unwrap()
    };
    let triangle = page("map.svg", "tiles.csv", COLOURS);
    assert!(triangle.contains(">D1 4.5</text>") && triangle.contains(">next 1</text>"));
    assert!(triangle.matches("<line").count() > 200 && !triangle.contains("NaN"));
    let curve = page("line.html", "line.csv", "a,b");
    assert!(curve.contains("<polyline") && curve.contains("grey: its 90 % band"));
    let words = [
        "results",
        "--data",
        "tiles.csv",
        "--shares",
        COLOURS,
        "--value",
        "gloss",
        "--page",
    ];
    for (file, code) in [("map.svg", 2), ("map.pdf", 2)] {
        let mut words = words.to_vec();
        words.push(file);
        assert_eq!(bench.run(&words).code, code);
    }
    assert!(!bench.path().join("map.pdf").exists());
}
