//! New names: everything that named the old one names the new one, and nothing else changes.

mod support;

use glost_chemistry::quantity::Date;
use glost_studio::{OfWhat, RenameDone};
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

fn day() -> Date {
    Date::parse("2026-11-20").unwrap_or_else(|error| panic!("{error:?}"))
}

fn renamed(studio: &Studio, from: &str, to: &str) -> RenameDone {
    let workplace = studio.open();
    let done = workplace
        .editables(from)
        .and_then(|found| workplace.rename(&found[0], to, day()));
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

/// The end of a plan is the material, unless a glaze goes by the same name.
#[test]
fn an_end_of_a_plan_is_called_anew_with_what_it_is_of() {
    const PLAN: &str =
        "{\"ends\": [\"Dune sand\", \"Tide clear\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}]}";
    let own = "materials:\n  - name: Dune sand\n    formula: SiO2\n    source: bag\n";
    let powder = "glaze: Dune sand\nparts: { Dune sand: 100 }\n";
    for (glaze, end) in [(None, "Bay sand"), (Some(powder), "Dune sand")] {
        let studio = studio();
        studio.write("materials/own.yaml", own);
        studio.write("plans/sands.json", PLAN);
        if let Some(glaze) = glaze {
            studio.write("glazes/powder.yaml", glaze);
        }
        let workplace = studio.open();
        let found = workplace
            .editables("Dune sand")
            .unwrap_or_else(|errors| panic!("{errors:?}"));
        let sand = found.iter().find(|found| found.of == OfWhat::Material);
        let sand = sand.unwrap_or_else(|| panic!("no material"));
        let done = workplace.rename(sand, "Bay sand", day());
        assert!(done.is_ok_and(|done| done.moved_to.is_none()));
        let (plans, complaints) = studio.open().plans();
        assert_eq!(complaints, []);
        let ends: Vec<String> = plans.iter().flat_map(|plan| plan.ends.clone()).collect();
        assert_eq!(ends, [end, "Tide clear"]);
        assert!(studio.read("materials/own.yaml").contains("name: Bay sand\n"));
        if glaze.is_some() {
            assert_eq!(studio.read("glazes/powder.yaml"), powder.replace("{ Dune", "{ Bay"));
        }
    }
}

/// In recipes, in what is mixed from others, and as the subject of an accepted finding.
#[test]
fn a_material_is_renamed_wherever_it_is_used() {
    let own = "materials:\n  - name: Dune sand\n    formula: SiO2\n    source: bag\n  \
               - name: pre-mix\n    recipe: { Dune sand: 1, whiting: 1 }\n    source: own\n";
    let glaze = "glaze: Sand clear\nparts: { dune sand: 30, whiting: 20, potash feldspar: 50 }\n\
                 additions: { Dune sand: 2 }\nnotes: Dune sand is coarse\n\
                 accepted:\n  - finding: check/recipe Dune sand\n    because: seen\n";
    let studio = Studio::with(&[("materials/own.yaml", own), ("glazes/sand.yaml", glaze)]);
    let done = renamed(&studio, "Dune sand", "Bay sand");
    assert_eq!(done.moved_to, None);
    assert_eq!(studio.read("materials/own.yaml"), own.replace("Dune sand", "Bay sand"));
    let after = glaze.replace("dune sand", "Bay sand").replace("Dune sand", "Bay sand");
    assert_eq!(
        studio.read("glazes/sand.yaml"),
        after.replace("Bay sand is", "Dune sand is")
    );
}

#[test]
fn a_clay_is_renamed_in_a_list_of_clays() {
    let studio = studio();
    let listed = format!("{QUAY}recommended: [Loft buff, harbour RED]\n");
    studio.write("glazes/second.yaml", &listed);
    renamed(&studio, "Harbour red", "Harbour brown");
    assert_eq!(
        studio.read("glazes/second.yaml"),
        listed.replace("harbour RED", "Harbour brown")
    );
}

/// What somebody tore is theirs to mend, unless it may speak of what is renamed.
#[test]
fn a_torn_file_is_in_the_way_only_if_it_names_the_old_name() {
    for (torn, is_in_the_way) in [
        ("glaze: Torn\nparts: { silica", false),
        ("glaze: Torn\nclay: harbour RED\nparts: { silica", true),
    ] {
        let studio = studio();
        studio.write("glazes/torn.yaml", torn);
        let workplace = studio.open();
        let found = workplace
            .editables("Harbour red")
            .unwrap_or_else(|errors| panic!("{errors:?}"));
        let done = workplace.rename(&found[0], "Harbour brown", day());
        let places = done.err().unwrap_or_default().into_iter().filter_map(|why| why.place);
        let places: Vec<String> = places.map(|place| place.file.to_string()).collect();
        assert_eq!(places.len(), usize::from(is_in_the_way));
        assert!(places.iter().all(|file| file.ends_with("glazes/torn.yaml")));
        assert_eq!(studio.read("glazes/torn.yaml"), torn);
        assert_eq!(studio.read("glazes/tide_clear.yaml") == TIDE, is_in_the_way);
    }
}

/// A file follows its name where that place is free, and it was named after it so far.
#[test]
fn a_file_never_takes_anothers_place() {
    let studio = studio();
    studio.write("glazes/ebb_clear.yaml", QUAY.replace("Quay", "Loft"));
    let done = renamed(&studio, "Tide clear", "Ebb clear");
    assert_eq!(done.moved_to, None);
    assert_eq!(studio.read("glazes/tide_clear.yaml"), TIDE.replace("Tide", "Ebb"));
    assert_eq!(studio.read("glazes/ebb_clear.yaml"), QUAY.replace("Quay", "Loft"));
    // The same letters are the same file.
    let done = renamed(&studio, "Loft white", "Loft (white)");
    assert_eq!(done.moved_to, None);
    let twice = Studio::with(&[("glazes/tide_clear.old.yaml", TIDE)]);
    twice.write("clays/harbour_red.yaml", RED);
    assert_eq!(renamed(&twice, "Tide clear", "Ebb clear").moved_to, None);
    assert_eq!(renamed(&twice, "Harbour red", "Harbour (red)").moved_to, None);
}

/// A script is never changed: whoever wrote it is told where the old name stands.
#[test]
fn a_script_that_names_the_old_name_is_pointed_at() {
    let studio = studio();
    studio.write(
        "scripts/check/own.rhai",
        "// of Tide\nlet a = \"tide clear\";\nlet b = 1; // Tide clear\n",
    );
    studio.write("scripts/check/other.rhai", "// Quay\n");
    let done = renamed(&studio, "Tide clear", "Ebb clear");
    let told: Vec<(bool, usize)> = done
        .named_in
        .iter()
        .map(|named| (named.file.ends_with("check/own.rhai"), named.line))
        .collect();
    assert_eq!(told, [(true, 2), (true, 3)]);
}
