//! What a maker sees from a folder: own materials over shipped ones, glazes
//! and clays by name or path, and what is said when a file is no good.

mod support;

use std::fs;
use std::path::Path;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis, NoAnalysis};
use glost_studio::{Origin, Workplace, init};
use support::Studio;

fn refused<T>(result: Result<T, Vec<Diagnostic>>) -> Vec<Diagnostic> {
    match result {
        Ok(_) => panic!("it was taken"),
        Err(errors) => {
            assert!(!errors.is_empty());
            errors
        }
    }
}

fn first<T>(result: Result<T, Vec<Diagnostic>>) -> Diagnostic {
    refused(result).swap_remove(0)
}

fn place(error: &Diagnostic) -> String {
    error.place.as_ref().map_or("nowhere".to_owned(), |place| {
        format!("{}:{}:{}", place.file, place.mark.line, place.mark.column)
    })
}

const CLEAR: &str = "glaze: Tide clear\nparts: { silica: 30, whiting: 20, potash feldspar: 50 }\n";
const OWN_SILICA: &str =
    "materials:\n  - { name: Silica, formula: SiO2, lot: '7', stock: 3 kg, source: bag of 2026-02 }\n";

#[test]
fn the_example_studio_loads_and_all_its_glazes_but_the_bought_one_have_a_unity_formula() {
    let nowhere = Studio::bare().open();
    let (glazes, complaints) = nowhere.all_glazes();
    assert_eq!(complaints, []);
    assert_eq!(glazes.len(), 8);
    for found in &glazes {
        assert_eq!(found.origin, Origin::Example);
        assert_eq!(found.settings.name, "Quillbeck Pottery");
        let clay = found.file.about.clay.as_deref().unwrap_or_default();
        assert!(nowhere.clay(clay).is_ok(), "{clay}");
        match Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In) {
            Ok(analysis) => assert!(analysis.unity.is_some(), "{}", found.glaze.name),
            Err(NoAnalysis::Unknown(_)) => assert_eq!(found.glaze.name, "bought clear"),
            Err(other) => panic!("{}: {other:?}", found.glaze.name),
        }
    }
    let (clays, complaints) = nowhere.all_clays();
    assert_eq!((clays.len(), complaints), (3, vec![]));
    let (studio, complaints) = nowhere.studio();
    assert_eq!((studio.glazes.len(), studio.clays.len(), complaints), (8, 3, vec![]));
}

#[test]
fn without_a_studio_the_examples_lots_serve_its_own_glazes_only() {
    let nowhere = Studio::bare();
    nowhere.write("mine.yaml", "glaze: Mine\nparts: { feldspar A: 60, silica: 40 }\n");
    nowhere.write("clear.yaml", CLEAR);
    let workplace = nowhere.open();
    assert!(
        workplace
            .notice()
            .is_some_and(|notice| notice.contains("example studio"))
    );
    assert!(workplace.library().find("feldspar A").is_none());
    assert_eq!(first(workplace.glaze("mine.yaml")).code, "unknown-material");
    let own = workplace
        .glaze("clear.yaml")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    assert_eq!(own.origin, Origin::Shipped);
    let example = workplace
        .glaze("LAMPLIGHT clear")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    assert!(example.library.find("feldspar A").is_some());
    let error = first(workplace.glaze("Lamplite clear"));
    assert_eq!(
        error.message,
        "no glaze in the example studio is called `Lamplite clear`"
    );
    assert_eq!(error.help.as_deref(), Some("did you mean `Lamplight clear`?"));
}

#[test]
fn extra_materials_lie_on_top_of_the_example_too() {
    let nowhere = Studio::bare();
    nowhere.write("extra.yaml", OWN_SILICA);
    let workplace = nowhere
        .try_open(&["extra.yaml"])
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    let lot = |library: &glost_chemistry::material::Library| library.find("flint").and_then(|found| found.lot.clone());
    assert_eq!(lot(workplace.library()).as_deref(), Some("7"));
    let found = workplace
        .glaze("Lamplight clear")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    assert_eq!(lot(&found.library).as_deref(), Some("7"));
}

#[test]
fn own_materials_override_shipped_ones_by_name_and_by_their_other_names() {
    let studio = Studio::with(&[
        ("materials/own.yaml", OWN_SILICA),
        // The shipped whiting is also called calcium carbonate, the shipped silica quartz and flint.
        (
            "materials/shells.yaml",
            "materials:\n  - { name: oyster shell, other_names: [calcium carbonate], formula: CaCO3, lot: shore, source: own }\n  - { name: quartz, formula: SiO2, lot: vein, source: own }\n",
        ),
        (
            "glazes/a.yaml",
            "glaze: A\nparts: { flint: 30, calcium carbonate: 20, feldspar: 50 }\n",
        ),
        (
            "glazes/b.yaml",
            "glaze: B\nparts: { flint: 30, calcium carbonate: 20, quartz: 5 }\n",
        ),
    ]);
    let workplace = studio.open();
    assert_eq!(workplace.notice(), None);
    assert_eq!(workplace.studio_dir(), Some(studio.path()));
    let b = workplace.glaze("b").unwrap_or_else(|errors| panic!("{errors:?}"));
    assert_eq!(b.origin, Origin::Studio(studio.path().to_owned()));
    let lots: Vec<_> = b
        .glaze
        .base
        .iter()
        .map(|portion| portion.material.lot.as_deref())
        .collect();
    assert_eq!(lots, [Some("7"), Some("shore"), Some("vein")]);
    let error = first(workplace.glaze("a"));
    assert_eq!(
        (error.code, place(&error).as_str()),
        ("unknown-material", "glazes/a.yaml:2:44")
    );
}

#[test]
fn extra_materials_override_the_studios_and_must_be_whole() {
    let studio = Studio::with(&[("materials/own.yaml", OWN_SILICA), ("glazes/a.yaml", CLEAR)]);
    studio.write("call.yaml", OWN_SILICA.replace("'7'", "'8'"));
    let workplace = studio
        .try_open(&["call.yaml"])
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    let lot = workplace.library().find("SILICA").and_then(|found| found.lot.clone());
    assert_eq!(lot.as_deref(), Some("8"));

    studio.write("broken.yaml", "materials:\n  - { name: x, formula: Qq2, source: y }\n");
    let error = first(studio.try_open(&["broken.yaml"]));
    assert_eq!(place(&error), "broken.yaml:2:25");
    let error = first(studio.try_open(&["cal.yaml"]));
    assert_eq!(error.help.as_deref(), Some("did you mean `call.yaml`?"));
}

#[test]
fn two_files_that_give_one_material_are_both_named() {
    let studio = Studio::with(&[
        ("materials/a.yaml", OWN_SILICA),
        ("materials/b.yaml", &OWN_SILICA.to_lowercase().replace("sio2", "SiO2")),
    ]);
    let workplace = studio.open();
    let [error] = workplace.broken_sheets() else {
        panic!("{:?}", workplace.broken_sheets());
    };
    assert_eq!(error.code, "name-taken");
    assert!(error.message.contains("materials/a.yaml"), "{}", error.message);
    assert_eq!(place(error), "materials/b.yaml:2:13");
    assert!(workplace.library().find("silica").is_none(), "which of the two?");
}

#[test]
fn a_broken_glaze_stops_only_whoever_asks_for_it() {
    let studio = Studio::with(&[
        ("glazes/clear.yaml", CLEAR),
        (
            "glazes/amber.yaml",
            "glaze: \"Sorrel amber\"  # not done\nparts: { silica: -3 }\n",
        ),
        ("glazes/torn.yaml", "parts: { silica: 3"),
    ]);
    studio.write("glazes/latin.yaml", b"glaze: caf\xe9\n");
    assert!(fs::create_dir(studio.path().join("glazes/folder.yaml")).is_ok());
    let workplace = studio.open();
    assert!(workplace.glaze("tide CLEAR").is_ok());
    let error = first(workplace.glaze("sorrel amber"));
    assert_eq!(
        (error.code, place(&error).as_str()),
        ("out-of-range", "glazes/amber.yaml:2:18")
    );
    assert_eq!(first(workplace.glaze("torn")).code, "not-yaml");
    let (glazes, complaints) = workplace.all_glazes();
    assert_eq!(glazes.len(), 1);
    let codes: Vec<_> = complaints.iter().map(|complaint| complaint.code).collect();
    assert_eq!(codes, ["out-of-range", "is-a-folder", "not-utf8", "not-yaml"]);
    // A name unlike any other may stand in a file that can't be read.
    let codes: Vec<_> = refused(workplace.glaze("zzz")).iter().map(|error| error.code).collect();
    assert_eq!(
        codes,
        ["unknown-glaze", "out-of-range", "is-a-folder", "not-utf8", "not-yaml"]
    );
}

#[test]
fn two_glazes_of_one_name_are_an_error_that_names_both_files() {
    let studio = Studio::with(&[
        ("glazes/a.yaml", CLEAR),
        ("glazes/b.yaml", &CLEAR.replace("Tide clear", "tide  CLEAR")),
        ("glazes/c.yaml", &CLEAR.replace("Tide", "Other")),
    ]);
    let workplace = studio.open();
    let error = first(workplace.glaze("Tide clear"));
    assert_eq!(error.code, "name-given-twice");
    assert!(error.message.contains("`glazes/a.yaml`") && error.message.contains("`glazes/b.yaml`"));
    assert_eq!(place(&error), "glazes/b.yaml:1:8");
    assert!(workplace.glaze("Other clear").is_ok());
    assert!(workplace.glaze("glazes/a.yaml").is_ok(), "a path is never in doubt");
    let codes: Vec<_> = workplace.all_glazes().1.iter().map(|error| error.code).collect();
    assert_eq!(codes, ["name-given-twice"]);
}

#[test]
fn names_and_paths_are_told_apart() {
    let studio = Studio::with(&[
        ("glazes/a.yaml", CLEAR),
        ("glazes/b.yaml", &CLEAR.replace("Tide clear", "red/green")),
        ("glazes/c.yaml", &CLEAR.replace("Tide clear", "glazes")),
        ("tests/d", &CLEAR.replace("Tide clear", "D")),
    ]);
    let workplace = studio.open();
    let name = |wanted: &str| {
        workplace
            .glaze(wanted)
            .map(|found| found.glaze.name)
            .map_err(|errors| errors[0].code)
    };
    assert_eq!(name("glazes/a.yaml").as_deref(), Ok("Tide clear"));
    assert_eq!(name("red/green").as_deref(), Ok("red/green"));
    assert_eq!(
        name("glazes").as_deref(),
        Ok("glazes"),
        "a glaze's name before a folder"
    );
    assert_eq!(name("tests/d").as_deref(), Ok("D"));
    assert_eq!(name("tests"), Err("is-a-folder"));
    assert_eq!(name("gone.yaml"), Err("no-such-file"));
    assert_eq!(name("gone/a"), Err("no-such-file"));
    assert_eq!(name("nothing like it"), Err("unknown-glaze"));
    assert_eq!(name(" "), Err("no-name"));
    assert_eq!(name(&"x".repeat(100_000)), Err("unknown-glaze"));
    assert_eq!(name("a\0b"), Err("unknown-glaze"));
    assert_eq!(name("a\0b.yaml"), Err("cannot-read"));
}

#[test]
fn a_file_of_another_studio_is_pointed_out() {
    let (here, other) = (
        Studio::bare(),
        Studio::with(&[
            (
                "materials/a.yaml",
                "materials:\n  - { name: sand of mine, formula: SiO2, source: own }\n",
            ),
            ("glazes/a.yaml", "glaze: A\nparts: { sand of mine: 1 }\n"),
        ]),
    );
    let path = other.path().join("glazes/a.yaml");
    let error = first(here.open().glaze(&path.to_string_lossy()));
    let hint = format!("--studio \"{}\"", other.path().display());
    assert!(
        error.help.as_ref().is_some_and(|help| help.contains(&hint)),
        "{error:?}"
    );
    let there = Workplace::open(Some(other.path()), &[], here.path());
    assert!(there.is_ok_and(|there| there.glaze("A").is_ok()));
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_accepted() {
    let dressed = |text: &str| format!("\u{FEFF}{}", text.replace('\n', "\r\n"));
    let studio = Studio::with(&[
        ("studio.yaml", &dressed("studio: Ternholm Tiles\ncup: 240 ml\n")),
        ("materials/own.yaml", &dressed(OWN_SILICA)),
        (
            "glazes/a.yaml",
            &dressed("glaze: Tide clear\ncone: 04\nparts: { silica: 1, whiting: 1 }\n"),
        ),
        ("clays/a.yaml", &dressed("clay: red clay\ncone: 04\nsource: own\n")),
    ]);
    let workplace = studio.open();
    assert_eq!(workplace.settings().name, "Ternholm Tiles");
    let found = workplace
        .glaze("Tide clear")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    assert_eq!(found.glaze.about.cone.as_deref(), Some("04"));
    assert!(workplace.clay("red clay").is_ok());
}

#[test]
fn broken_settings_matter_to_everyone_a_broken_sheet_to_whoever_needs_it() {
    let studio = Studio::with(&[("glazes/a.yaml", CLEAR)]);
    studio.write("studio.yaml", "studio: x\nscale: { reads_to: 1 g }\n");
    studio.write("materials/a.yaml", "materials:\n  - { name: silica }\n");
    let errors = refused(studio.try_open(&[]));
    assert_eq!(errors.iter().map(place).collect::<Vec<_>>(), ["studio.yaml:2:1"]);
    studio.write("studio.yaml", "studio: x\n");
    let workplace = studio.open();
    assert_eq!(
        workplace.broken_sheets().iter().map(place).collect::<Vec<_>>(),
        ["materials/a.yaml:2:5"]
    );
    // The shipped silica doesn't stand in for it.
    assert!(workplace.library().find("silica").is_none() && workplace.library().find("whiting").is_some());
    assert_eq!(place(&first(workplace.glaze("glazes/a.yaml"))), "materials/a.yaml:2:5");
    studio.write("studio.yaml", vec![b' '; 5_000_000]);
    assert_eq!(first(studio.try_open(&[])).code, "file-too-large");
}

#[test]
fn the_folder_named_for_the_studio_must_be_one() {
    let studio = Studio::with(&[("glazes/a.yaml", CLEAR)]);
    let open = |dir: &str| Workplace::open(Some(Path::new(dir)), &[], studio.path());
    assert!(open(".").is_ok());
    let error = first(open("glazes"));
    assert_eq!(error.code, "no-studio-file");
    assert!(error.help.is_some_and(|help| help.contains("the studio above it")));
    assert_eq!(first(open("studio.yaml")).code, "not-a-folder");
    assert_eq!(first(open("glaze")).help.as_deref(), Some("did you mean `glazes`?"));
}

#[test]
fn clays_are_found_by_name_and_path_and_their_complaints_wait() {
    let studio = Studio::with(&[
        ("clays/a.yaml", "clay: buff body\nsource: bag\n"),
        ("clays/b.yaml", "body: red body\nabsorbtion: 3\n"),
    ]);
    let workplace = studio.open();
    assert!(workplace.clay("BUFF body").is_ok() && workplace.clay("clays/a.yaml").is_ok());
    let error = first(workplace.clay("red body"));
    assert_eq!(error.help.as_deref(), Some("did you mean `absorption`?"));
    assert_eq!(first(workplace.clay("grey")).code, "unknown-clay");
}

#[test]
fn a_new_studio_and_a_copy_of_the_example_work_at_once() {
    let outer = Studio::bare();
    for example in [false, true] {
        let dir = outer.path().join(if example { "example" } else { "new" });
        assert!(init(&dir, example).is_ok());
        let workplace = Workplace::open(None, &[], &dir).unwrap_or_else(|errors| panic!("{errors:?}"));
        let (glazes, complaints) = workplace.all_glazes();
        assert_eq!(complaints, []);
        assert_eq!(workplace.all_clays().1, []);
        assert_eq!(glazes.len(), if example { 8 } else { 1 });
        assert!(workplace.scripts().is_empty());
    }
}

#[test]
fn the_entries_to_uncomment_in_a_new_studios_materials_can_be_used() {
    let text = glost_studio::STARTER
        .iter()
        .find(|file| file.path == "materials/own.yaml")
        .map(|file| file.text.replace("\n  #", "\n  ").replace("\n    #", "\n    "))
        .unwrap_or_default();
    let studio = Studio::with(&[("materials/own.yaml", &text)]);
    let workplace = studio.open();
    assert!(
        workplace
            .library()
            .find("bought clear")
            .is_some_and(|found| found.fired.is_none())
    );
}
