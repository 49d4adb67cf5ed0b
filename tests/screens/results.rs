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
    results_published: YARN, 0, ["--shares", "polyethylene,polystyrene,polypropylene", "--value", "elongation"];
    results_most: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss"];
    results_least: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "min", "--model", "linear"];
    results_a_value: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "3", "--next", "1"];
    results_beyond_reach: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--goal", "9"];
    results_none_to_spare: CENTROID, 0, ["--shares", COLOURS, "--value", "gloss", "--model", "special-cubic"];
    results_counts: CENTROID, 0, ["--shares", COLOURS, "--value", "crazed", "--goal", "min"];
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
    results_all_alike: "a,b,gloss\n1,0,3\n0.5,0.5,3\n0,1,3\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_all_yes: "a,b,crazed\n1,0,yes\n0.5,0.5,yes\n0,1,yes\n", 2, ["--shares", "a,b", "--value", "crazed"];
    results_of_one_tile: "a,b,gloss\n1,0,3\n", 2, ["--shares", "a,b", "--value", "gloss"];
    results_of_too_few: CENTROID, 2, ["--shares", COLOURS, "--value", "gloss", "--model", "special-cubic", "--goal", "much"];
    results_that_cannot_tell: "a,b,c,gloss\n1,0,0,2\n0,1,0,3\n0,0,1,4\n.5,.5,0,3\n.25,.75,0,3.5\n.75,.25,0,2.5\n", 2, ["--shares", "a,b,c", "--value", "gloss", "--model", "quadratic"];
    results_too_bent: LINE, 2, ["--shares", "a,b", "--value", "gloss", "--model", "special-cubic"];
    results_bent_yes: CENTROID, 2, ["--shares", COLOURS, "--value", "crazed", "--model", "special-cubic"];
    results_of_a_crowd: LINE, 2, ["--shares", "a,b,c,d,e,f,g,h,i", "--value", "gloss"];
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
