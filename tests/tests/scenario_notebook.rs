//! A page from an old notebook with two poor bag labels, to the digits.
//!
//! The scenario's data are invented; its numbers were worked out apart from
//! Glost and agree to +/- 0.002 in the unity formula (alkalis and alkaline
//! earths = 1, iron and titania outside the fluxes).

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::oxides::{Basis, Oxide};
use glost_chemistry::quantity::Millilitres;
use glost_core::intake::bag::{Reason, mend, read_label};
use glost_core::intake::notebook::read_page;
use glost_page::words::{bag_entry, say};
use glost_studio::shipped_library;

const PAGE: &str = "feldspar 2 lb 3 oz, chalk 12 oz, flint 1 lb, china clay half a pound. \
                    Then half oz cobalt carb. Bentonite 2. Iron 1 level tablespoon.";
const FELDSPAR: &str = "materials:
  - { name: feldspar A, other_names: [feldspar], basis: as supplied, source: scenario, loss_on_ignition: 0.4, analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5, Fe2O3: 0.10 } }
  - { name: silica, other_names: [flint], basis: as supplied, source: scenario, loss_on_ignition: 0.2, analysis: { SiO2: 99.5 } }
";

fn entry(label: &str) -> String {
    let library = shipped_library();
    bag_entry(&mend(&read_label(label).unwrap(), library).unwrap())
}

/// The page's glaze over these further materials files.
fn glaze(files: &[String]) -> Glaze {
    let shipped = shipped_library();
    let mut library: Library = shipped.clone();
    let mut entries = Vec::new();
    for text in std::iter::once(FELDSPAR).chain(files.iter().map(String::as_str)) {
        let (read, complaints) = read_materials(&Source::from_text("m.yaml", text));
        assert!(complaints.is_empty(), "{complaints:?}");
        entries.extend(read);
    }
    assert!(library.add_layer(entries, false).is_empty());
    read_page(&Source::from_text("page", PAGE), &library, Millilitres::METRIC_CUP)
        .unwrap()
        .glaze
        .unwrap()
}

#[track_caller]
fn near(analysis: &Analysis, expected: &[(Oxide, f64)]) {
    let unity = analysis.unity.as_ref().unwrap();
    for (oxide, amount) in expected {
        let got = unity.get(*oxide);
        assert!((got - amount).abs() <= 0.002, "{oxide}: {got}, expected {amount}");
    }
}

fn analysis(files: &[String]) -> Analysis {
    Analysis::of(&glaze(files), &FluxList::default(), Additions::Out).unwrap()
}

#[test]
fn a_kaolin_that_sums_to_99_without_a_loss_looks_fired() {
    let library = shipped_library();
    let kaolin = mend(&read_label("kaolin: SiO2 54.0, Al2O3 45.0").unwrap(), library).unwrap();
    assert_eq!((kaolin.basis, kaolin.loss_percent), (Basis::Fired, 14.0));
    assert!(
        kaolin
            .reasons
            .iter()
            .any(|reason| matches!(reason, Reason::LooksFired(expected) if expected.usual == 14.0))
    );
    let chalk = mend(&read_label("chalk: calcium carbonate 98.5 %").unwrap(), library).unwrap();
    assert_eq!(chalk.basis, Basis::AsSupplied);
    assert!((chalk.oxides[0].1 - 55.2).abs() < 0.05 && (chalk.loss_percent - 43.3).abs() < 0.05);
}

#[test]
fn the_mended_labels_give_the_scenarios_unity_formula() {
    let chalk = entry("chalk: calcium carbonate 98.5 %");
    let kaolin = entry("china clay: SiO2 54.0, Al2O3 45.0");
    let right = analysis(&[chalk.clone(), kaolin.clone()]);
    near(
        &right,
        &[
            (Oxide::Al2O3, 0.520),
            (Oxide::SiO2, 4.047),
            (Oxide::K2O, 0.220),
            (Oxide::Na2O, 0.096),
            (Oxide::CaO, 0.684),
        ],
    );
    assert!(
        (right.loss_on_ignition_percent - 9.1).abs() < 0.06,
        "{}",
        right.loss_on_ignition_percent
    );
    for words in [
        "china clay: basis fired and loss on ignition 14 % are guesses",
        "chalk: oxides and loss on ignition",
    ] {
        assert!(
            right.assumptions.iter().any(|said| say(&said.into()).contains(words)),
            "{:?}",
            right.assumptions
        );
    }
    // The guess of the loss hardly matters, the basis does.
    let at_13 = kaolin.replace("loss_on_ignition: 14.0", "loss_on_ignition: 13.0");
    near(
        &analysis(&[chalk.clone(), at_13]),
        &[(Oxide::Al2O3, 0.522), (Oxide::SiO2, 4.051)],
    );
    let raw = kaolin
        .replace("loss_on_ignition: 14.0", "loss_on_ignition: 1.0")
        .replace("basis: fired", "basis: as supplied");
    near(&analysis(&[chalk, raw]), &[(Oxide::Al2O3, 0.548), (Oxide::SiO2, 4.104)]);
}

#[test]
fn a_materials_file_with_that_label_is_questioned() {
    let text = "materials:\n  - { name: kaolin, kind: clay, basis: as supplied, source: bag label, analysis: { SiO2: 54.0, Al2O3: 45.0 } }\n";
    let (read, complaints) = read_materials(&Source::from_text("m.yaml", text));
    assert!(complaints.is_empty());
    let caution = &read[0].cautions[0];
    assert!(
        caution.message.contains("it looks fired") && caution.message.contains("loss_on_ignition: 14"),
        "{caution:?}"
    );
    for fine in ["calcined kaolin", "potash feldspar"] {
        let (read, _) = read_materials(&Source::from_text(
            "m.yaml",
            &text.replace("name: kaolin", &format!("name: {fine}")),
        ));
        assert!(read[0].cautions.is_empty());
    }
}

#[test]
fn other_labels() {
    let library = shipped_library();
    let read = |words: &str| mend(&read_label(words).unwrap(), library).unwrap();
    // As supplied, the loss is the rest.
    let kaolin = read("kaolin: SiO2 47,5 Al2O3 37 K2O 1.5");
    assert_eq!((kaolin.basis, kaolin.loss_percent), (Basis::AsSupplied, 14.0));
    // Oxides make 100 and a loss stands beside them: fired.
    let clay = read("ball clay: SiO2 62; Al2O3 33; Fe2O3 1.2; TiO2 1.3; K2O 2.5; LOI 11.5");
    assert_eq!((clay.basis, clay.loss_percent), (Basis::Fired, 11.5));
    let odd = read("kaolin: SiO2 54, Al2O3 45, LOI 30");
    assert!(
        odd.reasons
            .iter()
            .any(|reason| matches!(reason, Reason::UnlikelyLoss(_, expected) if expected.word == "kaolin"))
    );
    let whole = read("talc: SiO2 61, MgO 31.8, Al2O3 0.6, CaO 0.3, Fe2O3 0.3, loss on ignition 5.5");
    assert_eq!((whole.basis, whole.assumed), (Basis::AsSupplied, None));
    let dolomite = read("dolomite: CaCO3 54, MgCO3 44");
    assert!((dolomite.loss_percent - (54.0 * 0.4397 + 44.0 * 0.5220)).abs() < 0.02);
    assert_eq!(read("ball clay").stand_in.as_deref(), Some("typical ball clay"));
    for bad in [
        "",
        "kaolin: 54",
        "kaolin: SiO2",
        "kaolin: SiO2 154",
        "kaolin: Xx2O3 5",
        "kaolin: SiO2 12",
        "SiO2 54 Al2O3 45",
        "chalk: CaCO3 98, CaO 55",
        "pixie dust",
    ] {
        let error = read_label(bad).and_then(|label| mend(&label, library)).err();
        assert!(
            error.is_some_and(|error| error.help.is_some() || error.place.is_some()),
            "{bad}"
        );
    }
}
