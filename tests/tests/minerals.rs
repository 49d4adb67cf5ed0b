//! Ideal minerals and raw materials by formula, against outside figures.
//!
//! Sources: `data/minerals.yaml` (handbook ideal compositions, each record's
//! provenance beside it), `data/formula_corpus.yaml` (formulas of an open
//! mineralogy package), `data/oxide_molar_masses.yaml` and
//! `data/atomic_weights.yaml` (IUPAC/CIAAW abridged standard atomic weights
//! 2021, Prohaska et al., Pure Appl. Chem. 94(5), 573-600, 2022).

use std::collections::BTreeMap;

use glost_chemistry::oxides::{Element, FiredFormula, Formula, Oxide, fire};
use glost_tests::data;
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// Formula masses, g/mol.
const MASS_TOLERANCE: f64 = 0.01;
/// Oxides, fired oxides, elements and losses, wt %.
const PERCENT_TOLERANCE: f64 = 0.01;
/// Handbook figures, wt %.
const HANDBOOK_TOLERANCE: f64 = 0.05;
/// Handbook figures worked with atomic weights from before 1960, wt %.
const OLD_HANDBOOK_TOLERANCE: f64 = 0.15;

#[derive(Deserialize)]
struct Mineral {
    id: String,
    formula: String,
    formula_mass: f64,
    elements_wt_pct: BTreeMap<String, f64>,
    oxides_wt_pct: BTreeMap<String, f64>,
    fired_oxides_moles_per_formula: BTreeMap<String, f64>,
    fired_mass_per_formula: f64,
    theoretical_loi_pct: f64,
    fired_oxides_wt_pct: BTreeMap<String, f64>,
    #[serde(default)]
    handbook_wt_pct: BTreeMap<String, f64>,
    #[serde(default)]
    note: String,
}

fn table<T: DeserializeOwned>(file: &str) -> Vec<T> {
    serde_yaml::from_str(&data(file)).unwrap_or_else(|error| panic!("{file}: {error}"))
}

fn minerals() -> Vec<(Mineral, Formula, FiredFormula)> {
    let read = |mineral: Mineral| {
        let formula = Formula::parse(&mineral.formula).unwrap_or_else(|error| panic!("{}: {error:?}", mineral.id));
        let fired = fire(&formula).unwrap_or_else(|symbol| panic!("{}: {symbol}", mineral.id));
        (mineral, formula, fired)
    };
    table("minerals.yaml").into_iter().map(read).collect()
}

fn element_percent(formula: &Formula, symbol: &str) -> f64 {
    let element = Element::from_symbol(symbol).unwrap_or_else(|| panic!("no {symbol}"));
    100.0 * formula.atoms_of(symbol) * element.grams_per_mole() / formula.grams_per_mole()
}

#[track_caller]
fn within(found: f64, printed: f64, tolerance: f64, what: &str) {
    assert!(
        (found - printed).abs() <= tolerance,
        "{what}: {found}, printed {printed}"
    );
}

/// Both ways: what is printed is found, and nothing is found that isn't printed.
#[track_caller]
fn same_lines(found: &BTreeMap<String, f64>, printed: &BTreeMap<String, f64>, what: &str) {
    let names = |lines: &BTreeMap<String, f64>| lines.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(found), names(printed), "{what}");
    for (name, percent) in printed {
        within(found[name], *percent, PERCENT_TOLERANCE, &format!("{what}: {name}"));
    }
}

#[test]
fn every_mineral_is_there() {
    assert_eq!(minerals().len(), 61);
}

#[test]
fn minerals_have_their_formula_mass() {
    for (mineral, formula, fired) in minerals() {
        within(
            formula.grams_per_mole(),
            mineral.formula_mass,
            MASS_TOLERANCE,
            &mineral.id,
        );
        within(
            fired.moles.to_grams().total(),
            mineral.fired_mass_per_formula,
            MASS_TOLERANCE,
            &mineral.id,
        );
    }
}

#[test]
fn minerals_are_made_of_the_printed_elements() {
    for (mineral, formula, _) in minerals() {
        let found = mineral.elements_wt_pct.keys();
        let found = found.map(|symbol| (symbol.clone(), element_percent(&formula, symbol)));
        same_lines(&found.collect(), &mineral.elements_wt_pct, &mineral.id);
        assert_eq!(formula.atoms().count(), mineral.elements_wt_pct.len(), "{}", mineral.id);
    }
}

#[test]
fn minerals_write_as_the_printed_oxides_volatiles_included() {
    for (mineral, _, fired) in minerals() {
        let found = fired.written.into_iter().map(|line| (line.name, line.weight_percent));
        same_lines(&found.collect(), &mineral.oxides_wt_pct, &mineral.id);
    }
}

#[test]
fn minerals_leave_the_printed_oxides_after_firing() {
    for (mineral, _, fired) in minerals() {
        let percent = fired.grams_per_100.percent().unwrap_or_default();
        let found = percent
            .iter()
            .map(|(oxide, percent)| (oxide.formula().to_owned(), percent));
        same_lines(&found.collect(), &mineral.fired_oxides_wt_pct, &mineral.id);
        let moles = fired
            .moles
            .iter()
            .map(|(oxide, moles)| (oxide.formula().to_owned(), moles));
        let moles: BTreeMap<String, f64> = moles.collect();
        for (oxide, printed) in &mineral.fired_oxides_moles_per_formula {
            within(moles[oxide], *printed, 1e-9, &format!("{}: mol {oxide}", mineral.id));
        }
        assert_eq!(
            moles.len(),
            mineral.fired_oxides_moles_per_formula.len(),
            "{}",
            mineral.id
        );
    }
}

#[test]
fn minerals_lose_on_ignition_what_is_printed_gains_included() {
    let mut gains = 0;
    for (mineral, _, fired) in minerals() {
        within(
            fired.loss_on_ignition_percent,
            mineral.theoretical_loi_pct,
            PERCENT_TOLERANCE,
            &mineral.id,
        );
        gains += usize::from(fired.loss_on_ignition_percent < 0.0);
    }
    assert!(gains >= 2, "magnetite and cuprite take up oxygen");
}

#[test]
fn minerals_agree_with_the_handbooks() {
    let mut checked = 0;
    for (mineral, formula, fired) in minerals() {
        // The one note that names books from before 1960 names their tolerance too.
        let tolerance = if mineral.note.contains("old atomic weights") {
            OLD_HANDBOOK_TOLERANCE
        } else {
            HANDBOOK_TOLERANCE
        };
        for (name, printed) in &mineral.handbook_wt_pct {
            let found = match fired.written.iter().find(|line| line.name == *name) {
                Some(line) => line.weight_percent,
                None => element_percent(&formula, name),
            };
            within(found, *printed, tolerance, &format!("{}: {name}", mineral.id));
            checked += 1;
        }
    }
    assert!(checked > 120, "{checked} handbook figures");
}

#[test]
fn colemanite_agrees_with_the_old_encyclopaedias() {
    // Enciclopedia Italiana: CaO 27.21, B2O3 50.94, H2O 21.85; Encyclopaedia
    // Britannica: B2O3 50.9 (quoted in `data/minerals.yaml`).
    let formula = Formula::parse("Ca2B6O11·5H2O").unwrap();
    let written = fire(&formula).unwrap().written;
    let percent = |name: &str| written.iter().find(|line| line.name == name).unwrap().weight_percent;
    for (name, printed) in [("CaO", 27.21), ("B2O3", 50.94), ("H2O", 21.85), ("B2O3", 50.9)] {
        within(percent(name), printed, OLD_HANDBOOK_TOLERANCE, name);
    }
}

#[derive(Deserialize)]
struct CorpusMineral {
    name: String,
    formula: String,
    #[serde(rename = "mass_CIAAW2021")]
    mass: f64,
    mass_periodictable: f64,
}

#[test]
fn eighty_three_rock_forming_minerals_have_their_mass() {
    let corpus: Vec<CorpusMineral> = table("formula_corpus.yaml");
    assert_eq!(corpus.len(), 83);
    for mineral in corpus {
        let found = Formula::parse(&mineral.formula).map(|formula| formula.grams_per_mole());
        let found = found.unwrap_or_else(|error| panic!("{}: {error:?}", mineral.name));
        within(found, mineral.mass, MASS_TOLERANCE, &mineral.name);
        within(found, mineral.mass_periodictable, MASS_TOLERANCE, &mineral.name);
    }
}

#[test]
fn a_corpus_mineral_is_all_oxides_and_volatiles() {
    for mineral in table::<CorpusMineral>("formula_corpus.yaml") {
        let fired = Formula::parse(&mineral.formula).ok().map(|formula| fire(&formula));
        let fired = fired.and_then(Result::ok).unwrap_or_else(|| panic!("{}", mineral.name));
        let whole: f64 = fired.written.iter().map(|line| line.weight_percent).sum();
        within(whole, 100.0, 1e-9, &mineral.name);
        let left = fired.grams_per_100.total() + fired.loss_on_ignition_percent;
        within(left, 100.0, 1e-9, &mineral.name);
    }
}

#[derive(Deserialize)]
struct MolarMass {
    oxide: String,
    molar_mass_g_mol: f64,
}

#[test]
fn oxides_have_their_molar_mass() {
    let masses: Vec<MolarMass> = table("oxide_molar_masses.yaml");
    assert_eq!(masses.len(), 59);
    // Printed to 0.0001.
    let tolerance = 0.000_051;
    for printed in &masses {
        let formula = Formula::parse(&printed.oxide).map(|formula| formula.grams_per_mole());
        within(formula.unwrap(), printed.molar_mass_g_mol, tolerance, &printed.oxide);
        if let Some(oxide) = Oxide::from_formula(&printed.oxide) {
            within(
                oxide.grams_per_mole(),
                printed.molar_mass_g_mol,
                tolerance,
                &printed.oxide,
            );
        }
    }
    // The oxides that design and trade need are all among the printed ones.
    for needed in [
        "SiO2", "Al2O3", "B2O3", "Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO", "TiO2", "ZrO2",
        "SnO2", "P2O5", "Fe2O3", "MnO", "CoO", "CuO", "Cr2O3", "NiO", "V2O5", "CeO2", "Sb2O3", "Bi2O3", "Rb2O", "Cs2O",
    ] {
        assert!(Oxide::from_formula(needed).is_some(), "{needed}");
        assert!(masses.iter().any(|printed| printed.oxide == needed), "{needed}");
    }
}

#[derive(Deserialize)]
struct AtomicWeight {
    element: String,
    abridged_2021: f64,
}

#[test]
fn elements_have_their_abridged_atomic_weight_of_2021() {
    let weights: Vec<AtomicWeight> = table("atomic_weights.yaml");
    assert_eq!(weights.len(), 53);
    for printed in weights {
        let element = Element::from_symbol(&printed.element);
        assert_eq!(
            element.map(Element::grams_per_mole),
            Some(printed.abridged_2021),
            "{}",
            printed.element
        );
    }
}
