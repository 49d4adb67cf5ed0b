//! New lots: each is listed beside those that are left, and no other line changes.

mod support;

use glost_studio::{NewLot, OpenedLot};
use support::Studio;

const FILE: &str = "materials/own.yaml";
const SANDS: &str = "materials:\n  - name: Bay sand\n    formula: SiO2\n    source: bag\n  - name: Dune sand # coarse\n    basis: as supplied\n    analysis: { SiO2: 99.0, Al2O3: 1.0 }\n    source: bag\n";

fn lot(name: &str, stock: &str) -> NewLot {
    NewLot {
        lot: name.to_owned(),
        stock: stock.to_owned(),
        analysis: Vec::new(),
        loss_percent: None,
    }
}

/// Opens a lot of the second sand; its file's text before and after, and the answer.
fn open(lines: &str, new: &NewLot) -> (Studio, String, Result<OpenedLot, (&'static str, String)>) {
    let before = format!("{SANDS}{lines}");
    let studio = Studio::with(&[(FILE, &before)]);
    let workplace = studio.open();
    let found = workplace
        .editables("dune sand")
        .unwrap_or_else(|errors| panic!("{errors:?}"));
    let opened = workplace.open_lot(&found[0], new).map_err(|errors| {
        assert!(errors.iter().all(|why| why.place.is_none()), "the line is in no file");
        (errors[0].code, errors[0].help.clone().unwrap_or_default())
    });
    (studio, before, opened)
}

fn names(opened: &OpenedLot) -> Vec<&str> {
    opened.open.iter().map(|lot| lot.lot.as_str()).collect()
}

#[test]
fn a_new_lot_is_listed_after_those_that_are_left() {
    const LISTED: &str = "    lots:\n      - lot: K7\n        stock: 3 kg\n";
    for (lines, all) in [
        ("", vec!["K9"]),
        ("    lot: K7\n    stock: 3 kg\n", vec!["K7", "K9"]),
        (LISTED, vec!["K7", "K9"]),
    ] {
        let (studio, _, opened) = open(lines, &lot("K9", "5 kg"));
        let opened = opened.unwrap_or_else(|why| panic!("{lines}: {why:?}"));
        assert_eq!(names(&opened), all);
        let after = studio.read(FILE);
        assert!(after.starts_with(SANDS), "{after}");
        let line = after.lines().nth(opened.line - 1).unwrap_or_default();
        assert!(line.contains("K9"), "{line}");
        assert_eq!(after.matches("stock: ").count(), all.len());
        assert_eq!(after.matches("5 kg").count(), 1);
    }
}

#[test]
fn a_lot_has_its_own_analysis_where_one_is_told() {
    let told = NewLot {
        analysis: vec![("SiO2".to_owned(), 98.5), ("Fe2O3".to_owned(), 0.5)],
        loss_percent: Some(0.75),
        ..lot("K9", "5 kg")
    };
    let (studio, _, opened) = open("", &told);
    assert!(opened.is_ok_and(|opened| names(&opened) == ["K9"]));
    let after = studio.read(FILE);
    let own = after.strip_prefix(SANDS).unwrap_or_default();
    for piece in ["analysis", "98.5", "Fe2O3", "loss_on_ignition: 0.75"] {
        assert!(own.contains(piece), "{own}");
    }
    let (studio, ..) = open("", &lot("K9", "5 kg"));
    assert!(!studio.read(FILE).trim_start_matches(SANDS).contains("analysis"));
}

#[test]
fn what_is_not_clear_is_asked_and_nothing_is_written() {
    for (lines, new, code, help) in [
        (
            "    lot: K7\n",
            lot("K9", "5 kg"),
            "lot-unsaid",
            "say it first: glost set \"Dune sand\" \"stock=0 kg\"",
        ),
        (
            "    stock: 3 kg\n",
            lot("K9", "5 kg"),
            "lot-unsaid",
            "say it first: glost set \"Dune sand\" \"lot=NAME\"",
        ),
        (
            "    lot: k9\n    stock: 3 kg\n",
            lot("K9", "5 kg"),
            "lots-twice",
            "`glost set \"Dune sand\" \"stock=5 kg\"`",
        ),
        (
            "    lots:\n      - { lot: K7, stock: 3 kg }\n      - { lot: K9, stock: 1 kg }\n",
            lot("k9", "5 kg"),
            "lots-twice",
            "`glost set \"Dune sand\" \"lots.k9.stock=5 kg\"`",
        ),
        ("", lot("K9", "plenty"), "not-a-quantity", ""),
    ] {
        let (studio, before, opened) = open(lines, &new);
        let (found, told) = opened.err().unwrap_or_else(|| panic!("{lines}: opened"));
        assert_eq!(found, code, "{lines}");
        assert!(told.starts_with(help), "{told}");
        assert_eq!(studio.read(FILE), before);
    }
}
