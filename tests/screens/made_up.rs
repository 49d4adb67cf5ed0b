//! Glazes without a file of their own: with additions typed behind a name, tiles of
//! saved plans; and tiles kept as glazes.

use super::bench::{Bench, Ran};

const LADDER: [&str; 9] = [
    "blend",
    "series",
    "lamplight clear",
    "--add",
    "silica 0..9 %",
    "--steps",
    "4",
    "--save",
    "ladder",
];

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

/// The example studio with a saved ladder of silica.
fn with_ladder() -> Bench {
    let bench = Bench::example_studio();
    let saved = bench.run_in("studio", &LADDER);
    assert_eq!(saved.code, 0, "{}", saved.stderr);
    bench
}

#[test]
fn a_name_with_additions_is_a_glaze_everywhere() {
    let bench = Bench::example_studio();
    let glaze = "lamplight CLEAR + 3 % tin oxide + rutile 0,5 %";
    let calls: [&[&str]; 9] = [
        &["weigh", glaze, "--dry", "1 kg"],
        &["unity", glaze],
        &["check", glaze],
        &["cost", glaze],
        &["label", glaze],
        &["swap", glaze, "--out", "feldspar A"],
        &["fit", glaze, "--clay", "white earthenware"],
        &["note", glaze, "--crazed", "0/5", "--age", "2d"],
        &["slurry", glaze, "--jar", "500 ml = 735 g"],
    ];
    for call in calls {
        let ran = bench.run_in("studio", call);
        assert!(ran.code < 2, "{call:?}: {}", ran.stderr);
    }
    let notes = json(&bench.run_in("studio", &["notes", glaze, "--format", "json"]));
    assert_eq!(
        notes["notes"][0]["glaze"],
        "Lamplight clear + 3 % tin oxide + 0.5 % rutile"
    );
}

#[test]
fn a_tile_of_a_saved_plan_is_a_glaze_with_the_plans_recipe() {
    let bench = with_ladder();
    let tile = json(&bench.run_in("studio", &["unity", "LADDER/a2", "--format", "json"]));
    let typed = json(&bench.run_in("studio", &["unity", "Lamplight clear + 3 % silica", "--format", "json"]));
    assert_eq!(tile["glaze"], "ladder/A2");
    let silica = |answer: &serde_json::Value| answer["unity"]["SiO2"].as_f64().unwrap();
    assert!((silica(&tile) - silica(&typed)).abs() < 1e-9, "{tile} {typed}");
    insta::assert_snapshot!(bench.run_in("studio", &["weigh", "ladder/A9", "--dry", "1 kg"]).stderr);
}

#[test]
fn what_was_noted_on_a_ladders_tile_counts_for_the_glaze_with_that_addition() {
    let bench = with_ladder();
    let note = ["--clay", "white earthenware", "--crazed", "2/5", "--age", "30d"];
    let noted = bench.run_in("studio", &[&["note", "ladder/A2"], &note[..]].concat());
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    for glaze in ["ladder/A2", "Lamplight clear + 3 % silica"] {
        let call = ["fit", glaze, "--clay", "white earthenware", "--format", "json"];
        let fit = json(&bench.run_in("studio", &call));
        assert_eq!((&fit["pieces"], &fit["crazed"]), (&5.into(), &2.into()), "{glaze}");
        let notes = json(&bench.run_in("studio", &["notes", glaze, "--format", "json"]));
        assert_eq!(notes["notes"][0]["tile"], "ladder/A2", "{glaze}");
    }
    let other = json(&bench.run_in(
        "studio",
        &["fit", "ladder/A3", "--clay", "white earthenware", "--format", "json"],
    ));
    assert_eq!(other["pieces"], 0);
}

#[test]
fn a_glaze_of_the_studio_goes_before_a_file_of_its_name() {
    let bench = Bench::example_studio();
    bench.file("studio/Lamplight clear", "no glaze at all");
    assert_eq!(bench.run_in("studio", &["unity", "Lamplight clear"]).code, 0);
    bench.file(
        "studio/glazes/e.yaml",
        "glaze: E\u{301}mail clair\nparts: { silica: 100 }\n",
    );
    for typed in ["\u{c9}mail clair", "\u{e9}mail  clair", "e\u{301}mail clair"] {
        assert_eq!(
            bench.run_in("studio", &["weigh", typed, "--dry", "1 kg"]).code,
            0,
            "{typed}"
        );
    }
}

#[test]
fn a_tile_is_kept_as_a_glaze() {
    let bench = with_ladder();
    let kept = bench.run_in("studio", &["keep", "ladder/A3", "Clear for cups"]);
    assert_eq!(kept.code, 0, "{}", kept.stderr);
    let file = std::fs::read_to_string(bench.path().join("studio/glazes/clear_for_cups.yaml")).unwrap();
    insta::assert_snapshot!(format!("{}\n{file}", kept.stdout));
    let unity = |glaze: &str| json(&bench.run_in("studio", &["unity", glaze, "--format", "json"]))["unity"].clone();
    assert_eq!(unity("Clear for cups"), unity("ladder/A3"));
    // Never over another.
    let again = bench.run_in("studio", &["keep", "ladder/A2", "clear FOR cups"]);
    assert_eq!(again.code, 2);
    let beside = bench.run_in("studio", &["keep", "ladder/A2", "clear for cups!"]);
    assert_eq!(beside.code, 2, "its file is there");
    let now = std::fs::read_to_string(bench.path().join("studio/glazes/clear_for_cups.yaml")).unwrap();
    assert_eq!(now, file);
}

#[test]
fn a_tile_whose_end_is_gone_is_not_kept() {
    let bench = with_ladder();
    std::fs::remove_file(bench.path().join("studio/glazes/lamplight_clear.yaml")).unwrap();
    let refused = bench.run_in("studio", &["keep", "ladder/A3", "Clear for cups"]);
    assert_eq!(refused.code, 2);
    assert!(!bench.path().join("studio/glazes/clear_for_cups.yaml").exists());
    insta::assert_snapshot!(refused.stderr);
}

/// A tile between two glazes is no step of a ladder; what was noted of it counts for it all the
/// same, and its history tells it.
#[test]
fn what_was_noted_on_a_tile_between_two_glazes_counts_for_it() {
    let bench = Bench::example_studio();
    for call in [
        &[
            "blend",
            "line",
            "Highfell clear",
            "Driftstone satin matt",
            "--save",
            "p",
            "--steps",
            "3",
        ][..],
        &["note", "p/A2", "--crazed", "0/3", "--age", "40d"],
    ] {
        let ran = bench.run_in("studio", call);
        assert_eq!(ran.code, 0, "{call:?}: {}", ran.stderr);
    }
    let json = |call: &[&str]| -> serde_json::Value {
        let ran = bench.run_in("studio", &[call, &["--format", "json"]].concat());
        serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}", ran.stderr))
    };
    let fit = json(&["fit", "p/A2"]);
    assert_eq!((&fit["pieces"], &fit["crazed"]), (&3.into(), &0.into()), "{fit}");
    let history = json(&["history", "p/A2"]);
    assert_eq!(
        history["versions"][0]["notes"].as_array().unwrap().len(),
        1,
        "{history}"
    );
}
