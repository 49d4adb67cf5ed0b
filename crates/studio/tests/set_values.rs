//! Values set in a studio's own files: what was asked stands there, nothing else changes.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::Accepted;
use glost_studio::{Changed, OfWhat, Setting, Workplace};
use support::Studio;
use support::watched::Watched;

const TIDE: &str = "# sieved twice\n\
    glaze: Tide clear\n\
    parts:\n  silica: 30\n  Whiting: 20  # the coarse one\n  potash feldspar: 50\n\
    cone: \"6\"\n\
    density: 1.45\n\
    notes: thin\n";
const TIDE_FILE: &str = "glazes/tide.yaml";
const OWN: &str = "materials:\n  - name: Dune sand\n    formula: SiO2\n    source: bag of 2026-02\n";
const OWN_FILE: &str = "materials/own.yaml";

fn studio() -> Studio {
    Studio::with(&[(TIDE_FILE, TIDE), (OWN_FILE, OWN)])
}

fn set(studio: &Studio, name: &str, typed: &[&str]) -> Result<Changed, Vec<Diagnostic>> {
    let settings: Result<Vec<Setting>, Diagnostic> = typed.iter().map(|typed| Setting::parse(typed)).collect();
    let workplace = studio.open();
    let found = workplace.editables(name)?;
    assert_eq!(found.len(), 1);
    workplace.set_values(&found[0], &settings.map_err(|why| vec![why])?)
}

fn done(studio: &Studio, name: &str, typed: &[&str]) -> Changed {
    set(studio, name, typed).unwrap_or_else(|errors| panic!("{typed:?}: {errors:?}"))
}

/// The lines of a file that aren't those of another.
fn new_lines(before: &str, after: &str) -> Vec<String> {
    let stood: Vec<&str> = before.lines().collect();
    let new = after.lines().filter(|line| !stood.contains(line));
    new.map(str::to_owned).collect()
}

#[test]
fn a_value_is_set_in_its_line_and_no_other_changes() {
    let studio = studio();
    let changed = done(&studio, "tide clear", &["parts.whiting=21"]);
    assert!(changed.written);
    let after = studio.read(TIDE_FILE);
    // The name as the file has it, the number without quotes, the remark left alone.
    assert_eq!(new_lines(TIDE, &after), ["  Whiting: 21  # the coarse one"]);
    assert_eq!(after.lines().count(), TIDE.lines().count());
    assert_eq!(changed.changes[0].before.as_deref(), Some("20"));
    let again = done(&studio, "Tide clear", &["parts.whiting=21"]);
    assert!(!again.written, "it stood there already");
    assert_eq!(studio.read(TIDE_FILE), after);
}

/// Keys stand in an order of their own, so that the second one moves the first one's line.
#[test]
fn each_change_is_told_by_the_line_it_stands_in() {
    let studio = studio();
    let changed = done(
        &studio,
        "Tide clear",
        &["sieve=80 mesh", "use=tableware", "notes=thick"],
    );
    let after = studio.read(TIDE_FILE);
    assert_eq!(changed.changes.len(), 3);
    for change in &changed.changes {
        let line = after.lines().nth(change.line - 1).unwrap_or_default();
        assert!(line.starts_with(&format!("{}: ", change.key)), "{change:?}: {line}");
        assert!(line.contains(&change.after), "{change:?}: {line}");
    }
}

/// The density above goes with other water, so that what stands below it moves up.
#[test]
fn a_line_that_goes_moves_those_below_up() {
    let studio = Studio::with(&[(TIDE_FILE, &format!("{TIDE}water: 900 ml/kg\n"))]);
    let changed = done(&studio, "Tide clear", &["notes=thick", "water=950 ml/kg"]);
    let after = studio.read(TIDE_FILE);
    assert!(!after.contains("density"), "{after}");
    let stand = changed.changes.iter().filter(|change| change.key != "density");
    assert_eq!(stand.clone().count(), 2);
    for change in stand {
        let line = after.lines().nth(change.line - 1).unwrap_or_default();
        assert!(line.starts_with(&format!("{}: ", change.key)), "{change:?}: {line}");
    }
}

#[test]
fn more_water_takes_away_the_density_that_was_measured_without_it() {
    let cone = studio();
    done(&cone, "Tide clear", &["cone=7"]);
    assert!(cone.read(TIDE_FILE).contains("density: 1.45\n"));
    let water = studio();
    let changed = done(&water, "Tide clear", &["water=800 ml/kg"]);
    assert!(!water.read(TIDE_FILE).contains("density"));
    assert_eq!(changed.changes[1].before.as_deref(), Some("1.45"));
    let both = studio();
    done(&both, "Tide clear", &["water=800 ml/kg", "density=1.5"]);
    assert!(both.read(TIDE_FILE).contains("density: 1.5"));
    let other = studio();
    done(&other, "Dune sand", &["notes=water=none"]);
    assert_eq!(other.read(TIDE_FILE), TIDE);
}

#[test]
fn what_could_not_be_read_again_is_not_written() {
    for (name, file, before, typed) in [
        ("Tide clear", TIDE_FILE, TIDE, "cone=hot"),
        ("Tide clear", TIDE_FILE, TIDE, "clay=nowhere clay"),
        ("Tide clear", TIDE_FILE, TIDE, "parts.silica=much"),
        ("Dune sand", OWN_FILE, OWN, "formula=SiO2 and more"),
        ("Dune sand", OWN_FILE, OWN, "hazards=dust, fumes"),
    ] {
        let studio = studio();
        let refused = set(&studio, name, &["notes=first", typed]);
        assert!(refused.is_err(), "{typed}");
        assert_eq!(studio.read(file), before, "{typed}");
    }
}

#[test]
fn a_material_of_the_studios_own_takes_words_as_words_and_answers_as_answers() {
    let studio = studio();
    done(&studio, "dune sand", &["source=bag, 2026-05", "buyable=No"]);
    let after = studio.read(OWN_FILE);
    let new = new_lines(OWN, &after);
    assert!(new.contains(&"    buyable: false".to_owned()), "{new:?}");
    assert!(
        new.iter()
            .any(|line| line.contains("source:") && line.contains("bag, 2026-05"))
    );
    done(&studio, "Dune sand", &["buyable=yes"]);
    assert!(studio.read(OWN_FILE).contains("    buyable: true\n"));
    let found = studio.open().editables("Dune sand").map(|found| found[0].of);
    assert_eq!(found, Ok(OfWhat::Material));
}

#[test]
fn a_mark_and_windows_line_ends_stay() {
    let marked = format!("\u{feff}{}", TIDE.replace('\n', "\r\n"));
    let studio = Studio::with(&[(TIDE_FILE, &marked)]);
    done(&studio, "Tide clear", &["sieve=80 mesh", "cone=7"]);
    let after = studio.read(TIDE_FILE);
    assert!(after.starts_with('\u{feff}'));
    assert_eq!(after.matches('\n').count(), after.matches("\r\n").count());
    assert_eq!(after.lines().count(), TIDE.lines().count() + 1);
}

/// Accepted anew, a finding keeps its entry; its reason is the new one.
#[test]
fn a_finding_is_accepted_once() {
    let studio = studio();
    let mut entry = Accepted {
        script: "check/recipe".to_owned(),
        subject: "Tide clear".to_owned(),
        because: "only on tiles".to_owned(),
        until: None,
        of: None,
    };
    for because in ["only on tiles", "seen by the kiln's owner", "seen by the kiln's owner"] {
        because.clone_into(&mut entry.because);
        let before = studio.read(TIDE_FILE);
        let workplace = studio.open();
        let found = workplace
            .glaze("Tide clear")
            .unwrap_or_else(|errors| panic!("{errors:?}"));
        let accepted = workplace.accept_finding(&found, &entry);
        let accepted = accepted.unwrap_or_else(|error| panic!("{error:?}"));
        let after = studio.read(TIDE_FILE);
        assert_eq!(accepted.entries, std::slice::from_ref(&entry));
        assert_eq!(accepted.written, after != before);
        assert_eq!(after.matches("because").count(), 1);
        assert!(after.starts_with(TIDE), "{after}");
        let line = after.lines().nth(accepted.line - 1).unwrap_or_default();
        assert!(line.contains("check/recipe") || line.contains(because), "{line}");
    }
}

/// A glaze that is reckoned from another, or that came in with a package, has no file to
/// write a finding into.
#[test]
fn a_finding_is_accepted_only_in_a_glazes_own_file() {
    let studio = studio();
    let packed = "glaze: Harbour clear\nparts: { silica: 1 }\n";
    studio.write(
        "pack/package.yaml",
        "name: harbour\nversion: 1\nauthor: a\nlicence: MIT\napi: 1\n",
    );
    studio.write("pack/glazes/clear.yaml", packed);
    let taken = studio
        .open()
        .incoming("pack")
        .and_then(|incoming| studio.open().take_in(&incoming, "pack", false));
    assert_eq!(taken, Ok(()));
    let entry = Accepted {
        script: "check/recipe".to_owned(),
        subject: "Tide clear".to_owned(),
        because: "only on tiles".to_owned(),
        until: None,
        of: None,
    };
    let workplace = studio.open();
    for name in ["Tide clear + 4 % tin oxide", "Harbour clear"] {
        let found = workplace.glaze(name).unwrap_or_else(|errors| panic!("{errors:?}"));
        let refused = workplace.accept_finding(&found, &entry);
        assert_eq!(refused.map_err(|why| why.code), Err("no-own-file"), "{name}");
    }
    let refused = workplace.editables("Harbour clear").map(|found| found.len());
    assert_eq!(refused.map_err(|errors| errors[0].code), Err("not-your-own"));
    assert_eq!(studio.read(TIDE_FILE), TIDE);
    assert_eq!(studio.read("scripts/from/harbour/glazes/clear.yaml"), packed);
}

/// Of several open lots one is meant, and no other changes.
#[test]
fn a_stock_is_set_of_the_lot_that_is_named() {
    let lots = format!("{OWN}    lots:\n      - {{ lot: K7, stock: 3 kg }}\n      - {{ lot: K8, stock: 5 kg }}\n");
    let studio = Studio::with(&[(OWN_FILE, &lots)]);
    for typed in ["stock=1 kg", "lot=K9"] {
        let refused = set(&studio, "Dune sand", &[typed]).err().unwrap_or_default();
        let help = refused[0].help.clone().unwrap_or_default();
        assert_eq!(refused[0].code, "several-values");
        assert_eq!(help, format!("say of which: \"lots.K7.{typed}\""));
    }
    assert_eq!(studio.read(OWN_FILE), lots);
    done(&studio, "Dune sand", &["lots.k8.stock=2 kg"]);
    assert_eq!(studio.read(OWN_FILE), lots.replace("5 kg", "2 kg"));
    let refused = set(&studio, "Dune sand", &["lots.K9.stock=1 kg"])
        .err()
        .unwrap_or_default();
    assert_eq!(refused[0].code, "unknown-lot");
    assert!(
        refused[0]
            .help
            .as_ref()
            .is_some_and(|help| help.starts_with("open: K7, K8;"))
    );
    done(&studio, "Dune sand", &["notes=coarse"]);
    let bare = self::studio();
    let refused = set(&bare, "Dune sand", &["lots.K9.stock=1 kg"])
        .err()
        .unwrap_or_default();
    assert!(
        refused[0]
            .help
            .as_ref()
            .is_some_and(|help| help.starts_with("its file lists no lots"))
    );
}

/// A new line of a map goes to its end, a new map to its usual place.
#[test]
fn new_lines_and_new_maps_go_where_they_are_looked_for() {
    let named = "  - name: iron\n    formula: Fe2O3\n    source: bag\n  - name: clay\n    formula: Al2Si2O5(OH)4\n    source: bag\n";
    let studio = Studio::with(&[(TIDE_FILE, TIDE), (OWN_FILE, &format!("{OWN}{named}"))]);
    // Materials may be called as keys are.
    done(
        &studio,
        "Tide clear",
        &["parts.clay=5", "parts.iron=2", "additions.tin oxide=4"],
    );
    let added = "  potash feldspar: 50\n  clay: 5\n  iron: 2\nadditions: { tin oxide: 4 }\ncone";
    assert_eq!(
        studio.read(TIDE_FILE),
        TIDE.replace("  potash feldspar: 50\ncone", added)
    );
}

#[test]
fn what_a_script_weighs_stands_beside_its_options() {
    for (scripts, after) in [
        ("scripts:\n  check/own: off\n", "scripts:\n  check/own: note\n"),
        (
            "scripts:\n  check/own: { level: off, most: 3 }\n",
            "scripts:\n  check/own: { level: note, most: 3 }\n",
        ),
    ] {
        let studio = studio();
        let settings = format!("studio: Ternholm Tiles\n{scripts}");
        studio.write("studio.yaml", &settings);
        done(&studio, "studio", &["scripts.check/own=note"]);
        assert_eq!(studio.read("studio.yaml"), settings.replace(scripts, after));
    }
}

/// Scales are typed in one piece and stand in two.
#[test]
fn scales_are_set_as_they_are_said() {
    for (typed, lines) in [
        ("scales=0.1 g up to 2 kg", ["reads_to: 0.1 g", "up_to: 2 kg"]),
        ("scales=1 g up to 999 g", ["reads_to: 1 g", "up_to: 999 g"]),
        ("scales=1 g up to 1000 g", ["reads_to: 1 g", "up_to: 1 kg"]),
        ("scales.up_to=3 kg", ["reads_to: 0.5 g", "up_to: 3 kg"]),
        ("scales.reads_to=0.2 g", ["reads_to: 0.2 g", "up_to: 5 kg"]),
    ] {
        let studio = studio();
        let before = "studio: Ternholm Tiles\nscales: { reads_to: 0.5 g, up_to: 5 kg }\n";
        studio.write("studio.yaml", before);
        done(&studio, "studio", &[typed]);
        let after = format!("studio: Ternholm Tiles\nscales: {{ {} }}\n", lines.join(", "));
        assert_eq!(studio.read("studio.yaml"), after, "{typed}");
    }
    let refused = set(&studio(), "studio", &["scales=fine ones"])
        .err()
        .unwrap_or_default();
    assert_eq!(refused[0].code, "not-a-quantity");
    assert!(refused[0].message.starts_with("scales: "));
}

/// A sheet is read by its formula or by its analysis, never by both.
#[test]
fn an_analysis_is_not_set_beside_a_formula() {
    let studio = studio();
    for typed in ["analysis.SiO2=99", "tolerance.SiO2=0.5"] {
        let refused = set(&studio, "Dune sand", &[typed]).err().unwrap_or_default();
        assert_eq!(refused[0].code, "not-in-place", "{typed}");
        assert!(refused[0].message.contains("counts by its formula"), "{typed}");
    }
    assert_eq!(studio.read(OWN_FILE), OWN);
    let sheet = OWN.replace(
        "formula: SiO2",
        "basis: as supplied\n    analysis: { SiO2: 99.0, Al2O3: 1.0 }",
    );
    studio.write(OWN_FILE, &sheet);
    done(&studio, "Dune sand", &["analysis.SiO2=98.5"]);
    assert_eq!(studio.read(OWN_FILE), sheet.replace("99.0", "98.5"));
}

#[test]
fn water_is_set_where_no_density_was_measured() {
    let dry = TIDE.replace("density: 1.45\n", "");
    let studio = Studio::with(&[(TIDE_FILE, &dry)]);
    let changed = done(&studio, "Tide clear", &["water=800 ml/kg"]);
    assert_eq!(changed.changes.len(), 1);
    assert_eq!(new_lines(&dry, &studio.read(TIDE_FILE)), ["water: 800 ml/kg"]);
}

/// What was refused is told with what was typed; the line is in no file.
#[test]
fn a_refusal_says_what_was_typed() {
    let studio = studio();
    let refused = set(&studio, "Tide clear", &["use=soup"]).err().unwrap_or_default();
    assert!(refused[0].message.starts_with("use=soup: "), "{refused:?}");
    assert_eq!(refused[0].place, None);
}

/// A new file's text takes values as a file does.
#[test]
fn a_new_text_takes_values_before_it_is_a_file() {
    let studio = studio();
    let with = |of: OfWhat, text: &str, typed: &[&str]| {
        let settings: Vec<Setting> = typed.iter().filter_map(|typed| Setting::parse(typed).ok()).collect();
        studio.open().with_values(of, "new.yaml", text, &settings)
    };
    let cases = [
        (OfWhat::Material, OWN, "notes=coarse", "    notes: coarse\n"),
        (OfWhat::Glaze, TIDE, "cone=7", "cone: \"7\"\n"),
        (OfWhat::Clay, "clay: buff\n", "absorption=2 %", "absorption: 2\n"),
    ];
    for (of, text, typed, line) in cases {
        let after = with(of, text, &[typed]).unwrap_or_else(|errors| panic!("{errors:?}"));
        assert_eq!(new_lines(text, &after).join("\n") + "\n", line);
        assert_eq!(with(of, text, &[]).as_deref(), Ok(text));
        assert!(with(of, "- none", &[]).is_err());
    }
    assert_eq!(studio.read(OWN_FILE), OWN);
}

/// Two changes at once wait for each other at the studio's own file.
#[test]
fn a_change_holds_the_studio_while_it_is_written() {
    let studio = studio();
    let disk = Watched::at(studio.path(), |_, _| Ok(()));
    let workplace = Workplace::open_on(Arc::new(disk.clone()), Some(studio.path()), &[], studio.path());
    let workplace = workplace.unwrap_or_else(|errors| panic!("{errors:?}"));
    let found = workplace
        .editables("Tide clear")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    let settings = Setting::parse("cone=7")
        .map(|setting| vec![setting])
        .unwrap_or_default();
    disk.asked();
    assert!(workplace.set_values(&found[0], &settings).is_ok());
    let asked = disk.asked();
    let at = |call: &str| asked.iter().position(|asked| asked.starts_with(call));
    assert!(
        at("try_lock studio.yaml").is_some() && at("try_lock studio.yaml") < at("create "),
        "{asked:?}"
    );
    assert!(at("rename glazes/tide.yaml") < at("sync_folder glazes"), "{asked:?}");
}

/// A clay may stand under the older key: it stays the same line.
#[test]
fn a_clay_is_set_under_the_key_that_the_file_has() {
    let body = TIDE.replace("notes: thin", "body: Harbour red");
    let clays = ["Harbour red", "Loft buff"].map(|name| format!("clay: {name}\n"));
    let studio = Studio::with(&[
        (TIDE_FILE, &body),
        ("clays/red.yaml", &clays[0]),
        ("clays/buff.yaml", &clays[1]),
    ]);
    done(&studio, "Tide clear", &["sieve=80 mesh"]);
    assert!(studio.read(TIDE_FILE).contains("body: Harbour red\n"));
    studio.write(TIDE_FILE, &body);
    done(&studio, "Tide clear", &["clay=Loft buff"]);
    assert_eq!(studio.read(TIDE_FILE), body.replace("Harbour red", "Loft buff"));
}
