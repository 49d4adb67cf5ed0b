//! New names: everything that named the old one names the new one, and nothing else changes.

mod support;

use glost_chemistry::quantity::Date;
use glost_studio::RenameDone;
use support::Studio;

const TIDE: &str = "glaze: Tide clear  # the thin one\n\
    parts: { silica: 30, whiting: 20, potash feldspar: 50 }\n\
    clay: Harbour red\n\
    notes: Harbour red shows through\n";
const QUAY: &str = "glaze: Quay white\n\
    parts: { silica: 25, whiting: 25, potash feldspar: 50 }\n\
    clay: Loft buff\n";
const RED: &str = "clay: Harbour red\ncone: \"6\"\nabsorption: 2\n";
const BUFF: &str = "clay: Loft buff\ncone: \"6\"\nabsorption: 3\n";

fn studio() -> Studio {
    Studio::with(&[
        ("glazes/tide_clear.yaml", TIDE),
        ("glazes/second.yaml", QUAY),
        ("clays/harbour_red.yaml", RED),
        ("clays/buff.yaml", BUFF),
    ])
}

fn renamed(studio: &Studio, from: &str, to: &str) -> RenameDone {
    let on = Date::parse("2026-11-20").unwrap_or_else(|error| panic!("{error:?}"));
    let workplace = studio.open();
    let done = workplace
        .editables(from)
        .and_then(|found| workplace.rename(&found[0], to, on));
    done.unwrap_or_else(|errors| panic!("{errors:?}"))
}

#[test]
fn a_clay_is_renamed_where_it_is_named_and_nowhere_else() {
    let studio = studio();
    let done = renamed(&studio, "harbour red", "Harbour brown");
    assert_eq!(done.moved_to.as_deref(), Some("clays/harbour_brown.yaml"));
    let mut files = done.files.clone();
    files.sort();
    assert_eq!(files, ["clays/harbour_red.yaml", "glazes/tide_clear.yaml"]);
    // The remark speaks of what was.
    let tide = TIDE.replace("clay: Harbour red", "clay: Harbour brown");
    assert_eq!(studio.read("glazes/tide_clear.yaml"), tide);
    assert_eq!(
        studio.read("clays/harbour_brown.yaml"),
        RED.replace("Harbour red", "Harbour brown")
    );
    assert!(!studio.path().join("clays/harbour_red.yaml").exists());
    assert_eq!(studio.read("glazes/second.yaml"), QUAY);
    assert_eq!(studio.read("clays/buff.yaml"), BUFF);
    let left: Vec<_> = std::fs::read_dir(studio.path())
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.file_name())
        .filter(|name| name.to_string_lossy().starts_with(".glost"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
    assert!(studio.open().clay("Harbour brown").is_ok());
}

/// A file that is called something else keeps its place.
#[test]
fn only_a_file_that_had_the_old_name_is_moved() {
    let studio = studio();
    let done = renamed(&studio, "Quay white", "Quay ivory");
    assert_eq!(done.moved_to, None);
    assert_eq!(
        studio.read("glazes/second.yaml"),
        QUAY.replace("Quay white", "Quay ivory")
    );
}

#[test]
fn several_new_names_of_a_day_stay_in_their_order() {
    let studio = studio();
    let turns: Vec<u64> = [
        ("Tide clear", "Ebb clear"),
        ("Ebb clear", "Tide clear"),
        ("Tide clear", "Flood clear"),
    ]
    .iter()
    .map(|(from, to)| renamed(&studio, from, to).rename.turn)
    .collect();
    assert!(turns.windows(2).all(|pair| pair[0] < pair[1]), "{turns:?}");
    assert_eq!(studio.read("notes.jsonl").lines().count(), 3);
    assert_eq!(
        studio.read("glazes/flood_clear.yaml"),
        TIDE.replace("Tide clear", "Flood clear")
    );
}

#[test]
fn a_mark_stays_at_the_beginning() {
    let studio = studio();
    studio.write("glazes/second.yaml", format!("\u{feff}{QUAY}"));
    renamed(&studio, "Quay white", "Quay ivory");
    let after = format!("\u{feff}{}", QUAY.replace("Quay white", "Quay ivory"));
    assert_eq!(studio.read("glazes/second.yaml"), after);
}
