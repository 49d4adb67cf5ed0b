//! The notebook of results: pieces noted, found, looked at again.

use super::bench::{Bench, Ran};

fn json(ran: &Ran) -> serde_json::Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{error}: {}{}", ran.stdout, ran.stderr))
}

/// The example studio, with a notebook where `book` is something.
fn studio(book: &str) -> Bench {
    let bench = Bench::example_studio();
    if !book.is_empty() {
        bench.file("studio/notes.jsonl", book);
    }
    bench
}

fn screen(bench: &Bench, arguments: &[&str]) -> String {
    bench.screen(&[&["--studio", "studio"], arguments].concat())
}

/// What must go well.
fn note(bench: &Bench, arguments: &[&str]) {
    let ran = bench.run_in("studio", &[&["note"], arguments].concat());
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}

fn text(bench: &Bench, file: &str) -> String {
    std::fs::read_to_string(bench.path().join("studio").join(file)).unwrap_or_default()
}

/// A season: three sets of pieces, looked at again, one taken back.
fn season() -> Bench {
    let bench = studio("");
    note(&bench, &["bought clear", "--made", "2025-03", "--crazed", "5/20"]);
    let first = ["--cone", "6", "--batch", "3", "--on", "2026-10-25", "--age", "1d"];
    let seen = [
        "--crazed",
        "0/5",
        "--shivered",
        "0/5",
        "--grade",
        "gloss=4",
        "--thickness",
        "0.4 mm",
    ];
    note(&bench, &[&["Lamplight clear"][..], &first, &seen].concat());
    note(&bench, &["--again", "2", "--on", "2026-11-24", "--crazed", "2/5"]);
    note(
        &bench,
        &[
            "Highfell clear",
            "--age",
            "fresh",
            "--crazed",
            "0/5",
            "--on",
            "2026-08-01",
            "--text",
            "the red kiln, top shelf",
        ],
    );
    note(
        &bench,
        &[
            "Highfell clear",
            "--clay",
            "red earthenware",
            "--age",
            "fresh",
            "--crazed",
            "0/5",
        ],
    );
    note(&bench, &["--void", "5", "--text", "was buff"]);
    bench
}

#[test]
fn pieces_from_the_cupboard() {
    let bench = studio("");
    let call = [
        "note",
        "bought clear",
        "--clay",
        "white earthenware",
        "--made",
        "2025-03",
        "--crazed",
        "5/20",
    ];
    insta::assert_snapshot!(screen(&bench, &call));
    assert_eq!(
        text(&bench, "notes.jsonl"),
        "{\"on\":\"2026-11-25\",\"glaze\":\"bought clear\",\"version\":\"v1\",\"clay\":\"white earthenware\",\"made\":\"2025-03\",\"age_days\":620,\"pieces\":20,\"crazed\":5,\"id\":\"u33ng2wa\"}\n"
    );
}

#[test]
fn a_note_and_a_later_look() {
    let bench = studio("");
    let first = [
        "note",
        "Lamplight clear",
        "--body",
        "buff stoneware",
        "--cone",
        "cone 6",
        "--on",
        "2026-10-25",
        "--age",
        "1d",
        "--crazed",
        "0/5",
        "--shivered",
        "0/5",
        "--grade",
        "gloss=4",
    ];
    insta::assert_snapshot!("a_first_note", screen(&bench, &first));
    insta::assert_snapshot!(
        "a_later_look",
        screen(&bench, &["note", "--again", "1", "--on", "2026-11-24", "--crazed", "2"])
    );
    insta::assert_snapshot!(
        "a_note_as_json",
        screen(&bench, &["note", "--again", "2", "--crazed", "3/5", "--format", "json"])
    );
    // Later looks name the first by its id; nothing is written again.
    let found = json(&bench.run_in("studio", &["notes", "--format", "json"]));
    assert_eq!(found["stories"][0]["lines"], serde_json::json!([1, 2, 3]));
    assert_eq!(found["stories"].as_array().unwrap().len(), 1);
}

#[test]
fn slivers_and_reports_and_tiles() {
    let bench = studio("");
    insta::assert_snapshot!(
        "shivered",
        screen(&bench, &["note", "Highfell clear", "--age", "1d", "--shivered", "1/5"])
    );
    insta::assert_snapshot!(
        "a_tile_without_a_plan",
        screen(
            &bench,
            &["note", "--tile", "A1", "--grade", "gloss=2", "--grade", "pinholes=4"]
        )
    );
    bench.file(
        "studio/plans/blend.json",
        r#"{"tiles": [{"code": "A1"}, {"code": "A2"}]}"#,
    );
    insta::assert_snapshot!(
        "a_tile_that_no_plan_has",
        screen(&bench, &["note", "--tile", "A7", "--grade", "gloss=2"])
    );
    insta::assert_snapshot!(
        "a_tile_of_a_plan",
        screen(&bench, &["note", "--tile", "a2", "--grade", "gloss=2"])
    );
    note(&bench, &["--tile", "Z9", "--unlisted", "--grade", "gloss=2"]);
}

#[test]
fn a_recipe_that_changes_gets_its_next_version() {
    let bench = studio("");
    note(
        &bench,
        &[
            "Lamplight clear",
            "--crazed",
            "0/5",
            "--age",
            "1d",
            "--on",
            "2026-03-01",
        ],
    );
    let file = text(&bench, "glazes/lamplight_clear.yaml");
    bench.file(
        "studio/glazes/lamplight_clear.yaml",
        file.replace("silica: 26", "silica: 28"),
    );
    insta::assert_snapshot!(
        "a_changed_recipe",
        screen(&bench, &["note", "Lamplight clear", "--crazed", "0/5", "--age", "1d"])
    );
    insta::assert_snapshot!("notes_of_two_versions", screen(&bench, &["notes", "Lamplight clear"]));
    // The old recipe again is the old version again.
    bench.file("studio/glazes/lamplight_clear.yaml", &file);
    let third = json(&bench.run_in(
        "studio",
        &["note", "Lamplight clear", "--crazed", "0/5", "--format", "json"],
    ));
    assert_eq!(
        (third["version"].as_str(), third["recorded_version"].as_str()),
        (Some("v1"), None)
    );
    // Named, an older version stays what it was.
    let named = json(&bench.run_in(
        "studio",
        &["note", "Lamplight clear", "--version", "v2", "--format", "json"],
    ));
    assert_eq!(named["version"], "v2");
    assert_eq!(text(&bench, "versions.jsonl").lines().count(), 2);
    // A name of one's own for a recipe that has none yet.
    let own = json(&bench.run_in(
        "studio",
        &["note", "Highfell clear", "--version", "spring", "--format", "json"],
    ));
    assert_eq!(
        (own["version"].as_str(), own["recorded_version"].as_str()),
        (Some("spring"), Some("spring"))
    );
    insta::assert_snapshot!(
        "an_unknown_version",
        screen(&bench, &["note", "Highfell clear", "--version", "v7"])
    );
}

#[test]
fn what_a_version_was_is_kept_with_its_materials() {
    let bench = season();
    let versions: Vec<serde_json::Value> = text(&bench, "versions.jsonl")
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(versions[0]["materials"]["bought clear, lot 4"]["analysis"], "unknown");
    let spar = &versions[1]["materials"]["feldspar A"];
    assert_eq!(
        (spar["analysis"]["SiO2"].as_f64(), spar["loss_on_ignition"].as_f64()),
        (Some(67.0), Some(0.4))
    );
    assert_eq!(versions[1]["parts"]["silica"], 26);
}

#[test]
fn notes_are_found() {
    let bench = season();
    insta::assert_snapshot!("all_notes", screen(&bench, &["notes"]));
    insta::assert_snapshot!(
        "notes_that_held",
        screen(&bench, &["notes", "--clay", "buff stoneware", "--held", "3 months"])
    );
    insta::assert_snapshot!("no_notes_found", screen(&bench, &["notes", "Mothwing tin white"]));
    let lines = |further: &[&str]| -> Vec<u64> {
        let found = json(&bench.run_in("studio", &[&["notes", "--format", "json"], further].concat()));
        let notes = found["notes"].as_array().unwrap().clone();
        notes.iter().map(|note| note["line"].as_u64().unwrap()).collect()
    };
    assert_eq!(lines(&[]), [1, 2, 3, 4]);
    assert_eq!(lines(&["--crazed"]), [1, 2, 3]);
    assert_eq!(lines(&["lamplight CLEAR", "--cone", "cone 6"]), [2, 3]);
    assert_eq!(lines(&["--property", "gloss >= 4"]), [2, 3]);
    assert_eq!(lines(&["--property", "gloss <= 3"]), [] as [u64; 0]);
    assert_eq!(lines(&["--since", "2026-11-25"]), [1]);
    assert_eq!(lines(&["--until", "2026-08-31", "--text", "RED kiln"]), [4]);
    insta::assert_snapshot!(
        "notes_of_an_unknown_firing",
        screen(&bench, &["notes", "--firing", "sprng"])
    );
    assert_eq!(lines(&["--tile", "A1"]), [] as [u64; 0]);
    insta::assert_snapshot!(
        "notes_as_json",
        screen(&bench, &["notes", "bought clear", "--format", "json"])
    );
    insta::assert_snapshot!(
        "notes_of_an_unknown_glaze",
        screen(&bench, &["notes", "Lamplite clear"])
    );
}

#[test]
fn nothing_noted_yet() {
    let bench = studio("");
    insta::assert_snapshot!("no_notes_yet", screen(&bench, &["notes"]));
    insta::assert_snapshot!("nothing_due_yet", screen(&bench, &["due"]));
    insta::assert_snapshot!(
        "no_studio_to_note_in",
        Bench::empty().screen(&["note", "bought clear", "--crazed", "0/5"])
    );
    assert_eq!(Bench::empty().run(&["notes"]).code, 0);
    assert_eq!(Bench::empty().run(&["due"]).code, 0);
}

#[test]
fn what_is_due() {
    let bench = season();
    insta::assert_snapshot!("due", screen(&bench, &["due"]));
    note(
        &bench,
        &["Lamplight clear", "--lab", "leach test of 2026-05", "--batch", "cups"],
    );
    let feldspars = text(&bench, "materials/feldspars.yaml");
    bench.file(
        "studio/materials/feldspars.yaml",
        feldspars.replacen("lot: \"11\"", "lot: \"12\"", 1),
    );
    let powder = text(&bench, "glazes/bought_clear.yaml");
    bench.file("studio/glazes/bought_clear.yaml", powder.replace("lot 4", "lot 3"));
    insta::assert_snapshot!("due_after_new_lots", screen(&bench, &["due"]));
    insta::assert_snapshot!("due_as_json", screen(&bench, &["due", "--format", "json"]));
    // Noted once more, the new lots are known.
    note(&bench, &["Lamplight clear", "--crazed", "0/5", "--age", "1d"]);
    note(&bench, &["bought clear", "--crazed", "0/5", "--age", "1d"]);
    let due = json(&bench.run_in("studio", &["due", "--format", "json"]));
    let kinds: Vec<&str> = due["due"]
        .as_array()
        .unwrap()
        .iter()
        .map(|due| due["kind"].as_str().unwrap())
        .collect();
    assert!(
        !kinds.contains(&"new lot") && kinds.contains(&"lab report"),
        "{kinds:?}"
    );
}

#[test]
fn lines_are_taken_back() {
    let bench = season();
    insta::assert_snapshot!(
        "taken_back",
        screen(&bench, &["note", "--void", "1", "--text", "other clay"])
    );
    insta::assert_snapshot!("taken_back_twice", screen(&bench, &["note", "--void", "1"]));
    insta::assert_snapshot!("a_void_taken_back", screen(&bench, &["note", "--void", "7"]));
    insta::assert_snapshot!("a_line_that_is_not_there", screen(&bench, &["note", "--void", "70"]));
    insta::assert_snapshot!(
        "again_what_was_taken_back",
        screen(&bench, &["note", "--again", "5", "--crazed", "0/5"])
    );
    let found = json(&bench.run_in("studio", &["notes", "bought clear", "--format", "json"]));
    assert_eq!(found["notes"][0]["line"], 1);
}

const SHEET: &str = "on,glaze,clay,batch,age_days,crazed,shivered,grade gloss,text
2026-11-24,Lamplight clear,buff stoneware,7,30,0/5,0/5,4,
2026-11-24,highfell clear,Buff stoneware,8,6 months,1/6,,3,\"left shelf, \"\"hot\"\"\"
";

#[test]
fn a_sheet_is_typed_in_whole_or_not_at_all() {
    let bench = studio("");
    bench.file("sheet.csv", SHEET);
    insta::assert_snapshot!("a_sheet", screen(&bench, &["note", "--sheet", "sheet.csv"]));
    let book = text(&bench, "notes.jsonl");
    assert_eq!(book.lines().count(), 2);
    assert!(book.contains(r#""text":"left shelf, \"hot\"""#), "{book}");
    insta::assert_snapshot!("a_sheet_typed_twice", screen(&bench, &["note", "--sheet", "sheet.csv"]));
    note(&bench, &["--sheet", "../sheet.csv", "--twice"]);
    for (name, sheet) in [
        ("a_sheet_with_more_crazed_than_pieces", SHEET.replace("1/6", "7/6")),
        ("a_sheet_with_an_unknown_glaze", SHEET.replace("highfell", "heighfell")),
        ("a_sheet_with_an_unknown_clay", SHEET.replace("Buff", "Bluff")),
        ("a_sheet_with_an_unknown_heading", SHEET.replace("crazed,", "crased,")),
        ("a_sheet_with_a_grade_of_seven", SHEET.replace(",4,", ",7,")),
        (
            "a_sheet_with_a_day_to_come",
            SHEET.replace("2026-11-24,h", "2026-12-24,h"),
        ),
        ("a_sheet_without_a_day", SHEET.replace("2026-11-24,h", ",h")),
        ("a_sheet_without_rows", "on,glaze\n".to_owned()),
    ] {
        bench.file("wrong.csv", sheet);
        let before = text(&bench, "notes.jsonl");
        let shown = screen(&bench, &["note", "--sheet", "wrong.csv"]);
        assert!(shown.ends_with("--- exit 2\n"), "{shown}");
        assert_eq!(text(&bench, "notes.jsonl"), before, "{name}");
        insta::assert_snapshot!(name, shown);
    }
    // What the call says holds for rows that don't say it.
    bench.file("short.csv", "glaze;crazed\nLamplight clear;0/5\n");
    note(
        &bench,
        &[
            "--sheet",
            "../short.csv",
            "--on",
            "2026-11-20",
            "--clay",
            "red earthenware",
            "--age",
            "1d",
        ],
    );
    let last: serde_json::Value = serde_json::from_str(text(&bench, "notes.jsonl").lines().last().unwrap()).unwrap();
    assert_eq!(
        (last["clay"].as_str(), last["age_days"].as_f64()),
        (Some("red earthenware"), Some(1.0))
    );
}

#[test]
fn blank_sheets() {
    let bench = studio("");
    insta::assert_snapshot!("a_blank_sheet", bench.screen(&["note", "--blank", "sheet.csv"]));
    let blank = std::fs::read_to_string(bench.path().join("sheet.csv")).unwrap();
    insta::assert_snapshot!("a_blank_sheet_as_written", blank);
    // Filled in, it can be typed in.
    bench.file(
        "studio/sheet.csv",
        format!("{blank}2026-11-24,Lamplight clear,,,,6,,30,5,0,0,4,0.4,,\n"),
    );
    note(&bench, &["--sheet", "sheet.csv"]);
    assert_eq!(bench.run(&["note", "Lamplight clear", "--blank", "sheet.html"]).code, 0);
    let page = std::fs::read_to_string(bench.path().join("sheet.html")).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("Lamplight clear") && page.contains("seconds"));
    assert!(!page.contains("<script") && !page.contains("src=") && !page.contains("href="));
    insta::assert_snapshot!(
        "a_blank_sheet_over_another",
        bench.screen(&["note", "--blank", "sheet.csv"])
    );
    insta::assert_snapshot!(
        "a_blank_sheet_of_no_sort",
        bench.screen(&["note", "--blank", "sheet.txt"])
    );
}

#[test]
fn a_notebook_cut_off_in_the_middle_is_read_and_added_to() {
    let book = "{\"on\": \"2026-10-25\", \"glaze\": \"Lamplight clear\", \"clay\": \"buff stoneware\", \"age_days\": 1, \"pieces\": 5, \"crazed\": 0}\n\
                {\"on\": \"2026-10-26\", \"glaze\": \"Lamplight clear\", \"pieces\": 5, \"craz";
    let bench = studio(book);
    insta::assert_snapshot!("a_torn_notebook", screen(&bench, &["notes"]));
    insta::assert_snapshot!(
        "a_torn_notebook_as_json",
        screen(&bench, &["notes", "--format", "json"])
    );
    assert_eq!(text(&bench, "notes.jsonl"), book, "reading rewrites nothing");
    note(&bench, &["Highfell clear", "--crazed", "0/5"]);
    assert!(text(&bench, "notes.jsonl").starts_with(&format!("{book}\n{{\"on\":\"2026-11-25\"")));
    note(&bench, &["--void", "2"]);
    let ran = bench.run_in("studio", &["notes", "--format", "json"]);
    assert_eq!(
        (json(&ran)["unread"].as_array().map(Vec::len), ran.stderr.as_str()),
        (Some(0), "")
    );
}

#[test]
fn a_notebook_written_by_hand() {
    let book = "{\"on\": \"2026-10-25\", \"glaze\": \"Lamplight clear\", \"version\": \"v3\", \"pieces\": 5, \"crazed\": 2, \"batch\": \"3\", \"age_days\": 30, \"kiln\": \"small\"}\n\
                {\"on\": \"2026-11-20\", \"glaze\": \"Lamplight clear\", \"pieces\": 5, \"crazed\": 0, \"batch\": \"3\", \"age_days\": 56}\n\
                {\"on\": \"2026-11-20\", \"glaze\": \"Lamplight clear\", \"pieces\": 5, \"crased\": 1}\n\
                {\"on\": \"2026-11-20\", \"glaze\": \"Lamplight clear\", \"pieces\": 5, \"crazed\": 9}\n\
                {\"on\": \"2026-11-20\", \"glaze\": \"Old blue\", \"pieces\": 5, \"crazed\": 0}\n";
    let bench = studio(book);
    insta::assert_snapshot!("a_notebook_with_slips", screen(&bench, &["notes"]));
    let found = json(&bench.run_in("studio", &["notes", "--format", "json"]));
    assert_eq!(found["notes"][0]["kiln"], "small");
}

macro_rules! refused {
    ($($name:ident: $arguments:expr;)+) => {
        $(#[test]
        fn $name() {
            let bench = studio("");
            let shown = screen(&bench, &[&["note"][..], &$arguments].concat());
            assert!(shown.ends_with("--- exit 2\n"), "{shown}");
            assert_eq!((text(&bench, "notes.jsonl"), text(&bench, "versions.jsonl")), (String::new(), String::new()));
            insta::assert_snapshot!(stringify!($name), shown);
        })+
    };
}

refused! {
    note_nothing: ["--crazed", "0/5"];
    note_an_unknown_glaze: ["Lamplite clear", "--crazed", "0/5"];
    note_on_an_unknown_clay: ["Lamplight clear", "--clay", "buf stoneware", "--crazed", "0/5"];
    note_more_crazed_than_pieces: ["Lamplight clear", "--crazed", "5/2"];
    note_crazed_of_how_many: ["Lamplight clear", "--crazed", "2"];
    note_a_grade_of_seven: ["Lamplight clear", "--grade", "gloss=7"];
    note_a_grade_of_nothing: ["Lamplight clear", "--grade", "gloss"];
    note_a_day_to_come: ["Lamplight clear", "--on", "2026-11-26", "--crazed", "0/5"];
    note_a_day_that_is_none: ["Lamplight clear", "--on", "2026-02-30"];
    note_an_age_of_what: ["Lamplight clear", "--age", "30", "--crazed", "0/5"];
    note_made_after_it_was_seen: ["Lamplight clear", "--made", "2027-03"];
    note_counts_that_differ: ["Lamplight clear", "--crazed", "0/5", "--shivered", "0/4"];
    note_a_thickness_of_what: ["Lamplight clear", "--thickness", "0.4"];
    note_a_cone_that_is_none: ["Lamplight clear", "--cone", "hot"];
    note_again_nothing: ["--again", "3", "--crazed", "0/5"];
    note_the_placeholder: ["Lamplight clear", "--crazed", "_/5"];
    note_an_age_twice: ["Lamplight clear", "--age", "30d", "--made", "2025-03"];
}

#[test]
fn a_glaze_without_a_file_is_noted_when_it_is_meant() {
    let bench = studio("");
    insta::assert_snapshot!(
        "an_unlisted_glaze",
        screen(
            &bench,
            &[
                "note",
                "Old blue",
                "--clay",
                "brick",
                "--unlisted",
                "--crazed",
                "0/3",
                "--made",
                "2024"
            ]
        )
    );
}

#[test]
fn a_second_look_without_a_batch_is_asked_about() {
    let bench = studio("");
    note(
        &bench,
        &[
            "Lamplight clear",
            "--crazed",
            "0/5",
            "--age",
            "30d",
            "--on",
            "2026-05-01",
        ],
    );
    insta::assert_snapshot!(
        "maybe_the_same_pieces",
        screen(
            &bench,
            &[
                "note",
                "Lamplight clear",
                "--crazed",
                "0/5",
                "--age",
                "6 months",
                "--on",
                "2026-10-01"
            ]
        )
    );
}

#[test]
fn crazes_that_heal_are_said() {
    let bench = studio("");
    note(
        &bench,
        &[
            "Lamplight clear",
            "--batch",
            "3",
            "--crazed",
            "2/5",
            "--age",
            "30d",
            "--on",
            "2026-05-01",
        ],
    );
    insta::assert_snapshot!(
        "a_contradiction",
        screen(&bench, &["note", "--again", "1", "--crazed", "0/5"])
    );
}

#[test]
fn files_that_cannot_hold_notes() {
    let bench = studio("");
    bench.file("studio/plans/torn.json", "{\"tiles\": [{\"code\": ");
    bench.file("studio/plans/other.json", "{}");
    insta::assert_snapshot!(
        "plans_that_cannot_be_read",
        screen(&bench, &["note", "--tile", "A1", "--grade", "gloss=2"])
    );
    std::fs::remove_file(bench.path().join("studio/notes.jsonl")).unwrap();
    std::fs::create_dir(bench.path().join("studio/notes.jsonl")).unwrap();
    insta::assert_snapshot!("a_notebook_that_is_a_folder", screen(&bench, &["notes"]));
    let ran = bench.run_in("studio", &["note", "bought clear", "--crazed", "0/5"]);
    assert_eq!(ran.code, 2, "{}", ran.stderr);
}

#[test]
fn versions_that_cannot_be_read() {
    let bench = studio("");
    note(&bench, &["bought clear", "--crazed", "0/5"]);
    let line = text(&bench, "versions.jsonl");
    let other = line.replace(
        "\"bought clear, lot 4\":100",
        "\"bought clear, lot 4\":50,\"silica\":50",
    );
    bench.file("studio/versions.jsonl", format!("{line}{other}{}", &line[..60]));
    insta::assert_snapshot!(screen(&bench, &["notes"]));
}

/// The same note typed twice counted twice, and so did one whose answer could not be printed.
#[test]
fn the_same_note_is_seen() {
    let bench = studio("");
    let call = ["note", "Highfell clear", "--age", "30d", "--crazed", "0/5"];
    screen(&bench, &call);
    insta::assert_snapshot!("a_note_that_stands_already", screen(&bench, &call));
    let again = json(&bench.run_in("studio", &[&call[..], &["--format", "json"]].concat()));
    assert_eq!(
        (again["already"].as_bool(), again["line"].as_u64()),
        (Some(true), Some(1))
    );
    assert_eq!(text(&bench, "notes.jsonl").lines().count(), 1);
    let twice = json(&bench.run_in("studio", &[&call[..], &["--twice", "--format", "json"]].concat()));
    assert_eq!(
        (twice["already"].as_bool(), twice["copy"].as_u64()),
        (Some(false), Some(2))
    );
}

#[test]
fn a_look_before_the_firing_is_refused() {
    let bench = studio("");
    screen(
        &bench,
        &[
            "note",
            "Highfell clear",
            "--on",
            "2026-11-01",
            "--age",
            "1d",
            "--crazed",
            "0/5",
        ],
    );
    insta::assert_snapshot!(
        "a_look_before_the_firing",
        screen(
            &bench,
            &["note", "--again", "1", "--on", "2026-10-30", "--crazed", "1/5"]
        )
    );
}

/// Two clones each add a note and one takes its own back; the file is merged by keeping both
/// sides' lines, in either order.
#[test]
fn a_merge_of_two_clones_keeps_what_each_meant() {
    let bench = studio("");
    screen(&bench, &["note", "Highfell clear", "--age", "30d", "--crazed", "0/5"]);
    let common = text(&bench, "notes.jsonl");
    screen(&bench, &["note", "Lamplight clear", "--age", "30d", "--crazed", "5/5"]);
    screen(&bench, &["note", "--void", "2", "--text", "wrong shelf"]);
    let mine = text(&bench, "notes.jsonl").replace(&common, "");
    bench.file("studio/notes.jsonl", &common);
    screen(&bench, &["note", "bought clear", "--age", "30d", "--crazed", "2/5"]);
    let theirs = text(&bench, "notes.jsonl").replace(&common, "");
    for merged in [format!("{common}{mine}{theirs}"), format!("{common}{theirs}{mine}")] {
        bench.file("studio/notes.jsonl", &merged);
        let found = json(&bench.run_in("studio", &["notes", "--format", "json"]));
        let mut left: Vec<&str> = found["notes"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|note| note["glaze"].as_str())
            .collect();
        left.sort_unstable();
        assert_eq!(left, ["Highfell clear", "bought clear"]);
    }
    bench.file(
        "studio/notes.jsonl",
        format!("{common}<<<<<<< HEAD\n{mine}=======\n{theirs}>>>>>>> other\n"),
    );
    insta::assert_snapshot!("notes_with_marks_of_a_conflict", screen(&bench, &["notes"]));
    insta::assert_snapshot!(
        "no_note_among_marks_of_a_conflict",
        screen(&bench, &["note", "Highfell clear", "--age", "60d", "--crazed", "0/5"])
    );
}
