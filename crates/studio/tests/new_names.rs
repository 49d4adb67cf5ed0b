//! New names: each goes to its place, and never over what is there.

mod support;

use std::path::Path;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_studio::Workplace;
use support::Studio;

const TIDE: &str = "glaze: Tide clear\nparts: { silica: 30, whiting: 20, Dune sand: 50 }\n";
const RED: &str = "clay: Harbour red\ncone: \"6\"\n";
const OWN: &str = "materials:\n  - name: Dune sand\n    other_names: [beach sand]\n    formula: SiO2\n    source: bag\n  - name: whiting\n    formula: CaCO3\n    source: bag\n";
const PLAN: &str = "{\"ends\": [\"Tide clear\", \"Ebb clear\"], \"tiles\": [{\"code\": \"A1\", \"shares\": [1, 0]}, {\"code\": \"A2\", \"shares\": [0, 1]}]}";

fn studio() -> Studio {
    Studio::with(&[
        ("glazes/tide.yaml", TIDE),
        ("glazes/torn.yaml", "glaze: Torn white\nparts: none\n"),
        ("clays/red.yaml", RED),
        ("clays/torn.yaml", "clay: Torn buff\nabsorption: much\n"),
        ("materials/own.yaml", OWN),
    ])
}

/// A place below the studio's folder, or the codes of what is wrong.
fn below<T: AsRef<Path>>(studio: &Studio, place: Result<T, Vec<Diagnostic>>) -> Result<String, Vec<&'static str>> {
    let below = |path: T| {
        let below = path.as_ref().strip_prefix(studio.path());
        below.unwrap_or_else(|error| panic!("{error}")).display().to_string()
    };
    place
        .map(below)
        .map_err(|errors| errors.iter().map(|error| error.code).collect())
}

#[test]
fn a_new_glaze_and_a_new_clay_go_to_files_of_their_own() {
    let studio = studio();
    let glaze = |name: &str| below(&studio, studio.open().place_for_glaze(name));
    assert_eq!(glaze("Sea  green"), Ok("glazes/sea_green.yaml".to_owned()));
    assert_eq!(glaze("tide Clear"), Err(vec!["already-there"]));
    assert_eq!(glaze("a/b"), Err(vec!["bad-name"]));
    let clay = |name: &str| below(&studio, studio.open().place_for_clay(name));
    assert_eq!(clay("Loft buff"), Ok("clays/loft_buff.yaml".to_owned()));
    assert_eq!(clay("harbour red"), Err(vec!["already-there"]));
    assert_eq!(clay("a/b"), Err(vec!["bad-name"]));
    // A file that can't be read may be the one: what is wrong with it is told.
    assert!(glaze("Torn white").is_err_and(|codes| codes != ["already-there"] && !codes.is_empty()));
    assert!(clay("Torn buff").is_err_and(|codes| codes != ["already-there"] && !codes.is_empty()));
}

/// A shipped material, and another name of it, may get a sheet of the studio's own.
#[test]
fn a_new_material_takes_no_name_that_the_studios_own_sheets_give() {
    let studio = studio();
    let material = |name: &str| below(&studio, studio.open().place_for_material(name));
    for taken in ["Dune sand", "beach sand", "Whiting"] {
        assert_eq!(material(taken), Err(vec!["already-there"]), "{taken}");
    }
    for (free, file) in [
        ("harbour silt", "harbour_silt"),
        ("silica", "silica"),
        ("flint", "flint"),
        ("chalk", "chalk"),
    ] {
        assert_eq!(material(free), Ok(format!("materials/{file}.yaml")), "{free}");
    }
}

#[test]
fn without_a_studio_there_is_no_place() {
    let bare = Studio::bare();
    let there = bare.open();
    let code = |errors: Vec<Diagnostic>| errors.first().map(|error| error.code);
    assert_eq!(there.place_for_glaze("Sea green").map_err(code), Err(Some("no-studio")));
    assert_eq!(there.place_for_clay("Loft buff").map_err(code), Err(Some("no-studio")));
    assert_eq!(there.place_for_material("silt").map_err(code), Err(Some("no-studio")));
    assert_eq!(
        there.place_for_plan("clears").map_err(|error| error.code),
        Err("no-studio")
    );
    assert_eq!(there.kept_in().map_err(|error| error.code), Err("no-studio"));
}

#[test]
fn a_file_is_made_with_its_folder_and_never_over_another() {
    let studio = studio();
    let make = |text: &str| {
        let place = studio.path().join("tests/of may/a.yaml");
        studio.open().create_in_studio(&place, text).map_err(|error| error.code)
    };
    assert_eq!(make("first"), Ok(()));
    assert_eq!(make("second"), Err("already-there"));
    assert_eq!(studio.read("tests/of may/a.yaml"), "first");
}

#[test]
fn a_plan_is_saved_once_and_read_back() {
    let studio = studio();
    let saved = studio.open().save_plan("clears", PLAN);
    assert_eq!(saved, Ok(studio.path().join("plans/clears.json")));
    assert_eq!(studio.read("plans/clears.json"), PLAN);
    studio.write("plans/torn.json", "{\"ends\": [");
    let there = studio.open();
    let (plans, complaints) = there.plans();
    let names: Vec<&str> = plans.iter().map(|plan| plan.name.as_str()).collect();
    assert_eq!((names, complaints.len()), (vec!["clears"], 1));
    assert_eq!(there.plan_files().len(), 1);
    for (name, code) in [
        ("clears", "already-there"),
        ("Clears", "already-there"),
        ("a/b", "bad-plan-name"),
    ] {
        assert_eq!(there.save_plan(name, "{}").map_err(|error| error.code), Err(code));
    }
    assert_eq!(
        there.place_for_plan("whites"),
        Ok(studio.path().join("plans/whites.json"))
    );
    assert_eq!(studio.read("plans/clears.json"), PLAN);
}

/// What somebody goes by already is nobody else's new name; its own may be written otherwise.
#[test]
fn a_new_name_is_nobody_elses() {
    let studio = studio();
    studio.write("glazes/ebb.yaml", TIDE.replace("Tide", "Ebb"));
    studio.write("clays/buff.yaml", RED.replace("Harbour red", "Loft buff"));
    std::fs::remove_file(studio.path().join("clays/torn.yaml")).unwrap_or_else(|error| panic!("{error}"));
    let on = Date::parse("2026-11-20").unwrap_or_else(|error| panic!("{error:?}"));
    let rename = |there: &Workplace, from: &str, to: &str| {
        let found = there.editables(from).unwrap_or_else(|errors| panic!("{errors:?}"));
        let done = there.rename(&found[0], to, on);
        done.map(|done| done.rename.to).map_err(|errors| errors[0].code)
    };
    let there = studio.open();
    for (from, to, code) in [
        ("Tide clear", "Ebb clear", "already-there"),
        ("Tide clear", "Tide clear", "same-name"),
        ("Harbour red", "Loft buff", "already-there"),
        ("Dune sand", "whiting", "already-there"),
        ("Dune sand", "silica", "already-there"),
    ] {
        assert_eq!(rename(&there, from, to), Err(code), "{from} to {to}");
    }
    assert_eq!(studio.read("glazes/tide.yaml"), TIDE);
    assert_eq!(rename(&there, "Tide clear", "Tide Clear"), Ok("Tide Clear".to_owned()));
    assert_eq!(
        studio.read("glazes/tide.yaml"),
        TIDE.replace("Tide clear", "Tide Clear")
    );
}
