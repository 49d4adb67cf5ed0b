//! Scripts that look at the studio's pieces.

use super::bench::Bench;

const NOTES: &str = r#"{"on": "2026-05-20", "glaze": "Lamplight clear", "clay": "buff stoneware", "cone": "9", "age_days": 600, "pieces": 20, "crazed": 5}
{"on": "2026-05-20", "glaze": "Highfell clear", "clay": "buff stoneware", "cone": "10", "age_days": 600, "pieces": 20, "crazed": 20}
"#;

fn studio() -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/notes.jsonl", NOTES);
    bench
}

/// What a `run` script with this body answers.
fn asked(bench: &Bench, body: &str) -> String {
    bench.file(
        "mine.rhai",
        format!("const ABOUT = #{{ api: 1, kind: \"run\", title: \"t\" }};\nfn run(studio, option) {{\n{body}\n}}\n"),
    );
    bench.screen(&["run", "mine.rhai", "--studio", "studio"])
}

#[test]
fn bounds_of_each_clay_and_glazes_in_the_grey_zone() {
    insta::assert_snapshot!(studio().screen(&["run", "craze-window", "--studio", "studio"]));
}

#[test]
fn a_check_with_pieces() {
    insta::assert_snapshot!(studio().screen(&["check", "Lamplight clear", "--studio", "studio"]));
}

/// The window says no: exit 1, as `glost fit` does.
#[test]
fn a_check_of_a_glaze_that_crazed() {
    let call = [
        "check",
        "Highfell clear",
        "--script",
        "check/fit-on-clay",
        "--studio",
        "studio",
        "--clay",
        "buff stoneware",
    ];
    insta::assert_snapshot!(studio().screen(&call));
}

/// Without pieces every check goes on as before; asked for by name, it is not checked.
#[test]
fn a_check_without_pieces() {
    let bench = Bench::example_studio();
    let all = bench.run(&["check", "Lamplight clear", "--studio", "studio"]);
    assert_eq!(all.code, 0);
    assert!(!all.stdout.contains("fit-on-clay"), "{}", all.stdout);
    let named = [
        "check",
        "Lamplight clear",
        "--script",
        "check/fit-on-clay",
        "--studio",
        "studio",
    ];
    insta::assert_snapshot!(bench.screen(&named));
}

/// Pieces of other firings don't speak for this one.
#[test]
fn pieces_of_other_firings_change_no_exit_code() {
    let bench = Bench::example_studio();
    let elsewhere = NOTES.replace("Highfell", "Lamplight").replace("\"9\"", "\"6\"");
    bench.file("studio/notes.jsonl", elsewhere);
    let ran = bench.run(&["check", "Lamplight clear", "--studio", "studio"]);
    assert_eq!(ran.code, 0);
    assert!(!ran.stdout.contains("fit-on-clay"), "{}", ran.stdout);
}

/// `materials.solve` and `glost adjust` stop at the same expansion.
#[test]
fn the_optimiser_aims_at_the_same_window() {
    let bench = studio();
    let said = asked(
        &bench,
        "let glaze = studio.glaze(\"Lamplight clear\");
         let found = materials.solve(#{ match: glaze, aims: [\"fit: buff stoneware\"] });
         say(`${fixed(found[0].glaze.expansion, 4)}`);",
    );
    let call = [
        "adjust",
        "Lamplight clear",
        "fit: buff stoneware",
        "--studio",
        "studio",
        "--format",
        "json",
    ];
    let json: serde_json::Value = serde_json::from_str(&bench.run(&call).stdout).unwrap();
    let wanted = json["expansion"].as_f64().unwrap();
    assert!(said.contains(&format!("{wanted:.4}")), "{said} {wanted}");
}

#[test]
fn misspelt_names_of_notes_and_windows() {
    let bench = studio();
    insta::assert_snapshot!(asked(&bench, "say(studio.notes[0].crased);"));
    insta::assert_snapshot!(asked(
        &bench,
        "say(studio.glazes[0].fit(\"buff stonware\").zone_craze);"
    ));
    insta::assert_snapshot!(asked(
        &bench,
        "say(studio.glazes[0].fit(\"buff stoneware\").zone_crazing);"
    ));
    insta::assert_snapshot!(asked(&bench, "say(studio.glazes[0].fit(3).zone_craze);"));
}

#[test]
fn a_script_that_needs_what_there_is_not() {
    let bench = studio();
    bench.file(
        "mine.rhai",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\", needs: [\"piece\"] };\nfn check(glaze, option) { }\n",
    );
    insta::assert_snapshot!(bench.screen(&[
        "check",
        "Lamplight clear",
        "--script",
        "mine.rhai",
        "--studio",
        "studio"
    ]));
}
