//! Cups that craze after three weeks: the acceptance scenario in `data/scenario_ping.yaml`.

use std::collections::BTreeMap;
use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{Notes, Versions};
use glost_core::evidence::ware::{Clay, read_clay};
use glost_core::evidence::window::{Asking, FitAnswer, LearntTables, Notebook, WindowSettings, Zone, fit};
use glost_tests::{data, glaze, library};
use serde::Deserialize;

#[derive(Deserialize)]
struct Scenario {
    materials: BTreeMap<String, Sheet>,
    glazes: BTreeMap<String, BTreeMap<String, f64>>,
    index: BTreeMap<String, f64>,
    silica_to_alumina: BTreeMap<String, f64>,
    alkalis: BTreeMap<String, f64>,
    boron: BTreeMap<String, f64>,
    clay: String,
    absorption: f64,
    notes: String,
}

#[derive(Deserialize)]
struct Sheet {
    analysis: BTreeMap<String, f64>,
    loss_on_ignition: f64,
}

impl Scenario {
    fn read() -> Scenario {
        serde_yaml::from_str(&data("scenario_ping.yaml")).unwrap()
    }

    fn glazes(&self) -> Vec<Arc<Glaze>> {
        let entries: String = self
            .materials
            .iter()
            .map(|(name, sheet)| {
                let analysis: Vec<String> = sheet.analysis.iter().map(|(oxide, wt)| format!("{oxide}: {wt}")).collect();
                format!(
                    "  - {{ name: {name}, kind: mineral, basis: as supplied, source: bag, loss_on_ignition: {}, analysis: {{ {} }}, take_as_is: true }}\n",
                    sheet.loss_on_ignition,
                    analysis.join(", ")
                )
            })
            .collect();
        let library = library(&format!("materials:\n{entries}"));
        self.glazes
            .iter()
            .map(|(name, parts)| {
                let parts: Vec<String> = parts.iter().map(|(name, amount)| format!("{name}: {amount}")).collect();
                let mut made = glaze(&library, &parts.join(", "), "");
                made.name = name.clone();
                made.about.cone = Some("6".to_owned());
                Arc::new(made)
            })
            .collect()
    }

    fn clay(&self) -> Clay {
        let text = format!("clay: {}\ncone: 6\nabsorption: {}\n", self.clay, self.absorption);
        read_clay(&Source::from_text("clay.yaml", &text)).unwrap()
    }

    fn answers(&self) -> BTreeMap<String, FitAnswer> {
        let glazes = self.glazes();
        let (notes, complaints) = Notes::read(&Source::from_text("notes.jsonl", &self.notes));
        assert_eq!(complaints, []);
        let book = Notebook {
            notes: &notes,
            versions: &Versions::default(),
            glazes: &glazes,
            ladders: &[],
            library: &Library::default(),
            firings: &[],
            fluxes: &FluxList::default(),
            settings: &WindowSettings::default(),
            learnt: &LearntTables::default(),
        };
        let day = Date::new(2026, 11, 2).unwrap();
        let answer = |glaze: &Glaze| {
            let answer = fit(&book, glaze, &self.clay(), &Asking::default(), Some(day));
            (glaze.name.clone(), answer)
        };
        glazes.iter().map(|glaze| answer(glaze)).collect()
    }
}

fn analysis(glaze: &Glaze) -> Analysis {
    Analysis::of(glaze, &FluxList::default(), Additions::In).unwrap()
}

/// The scenario's figures are given to two decimals (index), one (ratio) and three. Its index
/// counts iron and titania with the whole and gives them nothing; the model leaves out what it
/// has no factor for, so its value is taken down by their share.
#[test]
fn the_index_and_the_options_are_as_worked_by_hand() {
    let scenario = Scenario::read();
    for glaze in scenario.glazes() {
        let analysis = analysis(&glaze);
        let index = ExpansionModel::EnglishTurner.value(&analysis.moles).unwrap();
        let weight = analysis.weight_percent();
        let index = index * (1.0 - (weight.get(Oxide::Fe2O3) + weight.get(Oxide::TiO2)) / 100.0);
        let by_hand = scenario.index[&glaze.name];
        assert!((index - by_hand).abs() <= 0.006, "{}: {index:.3} {by_hand}", glaze.name);
        if let Some(ratio) = scenario.silica_to_alumina.get(&glaze.name) {
            let ours = analysis.silica_to_alumina.unwrap();
            assert!((ours - ratio).abs() <= 0.06, "{}: {ours:.2} {ratio}", glaze.name);
            assert!((7.0..=10.0).contains(&ours), "gloss");
        }
        let unity = analysis.unity.unwrap();
        if let Some(alkalis) = scenario.alkalis.get(&glaze.name) {
            let ours = unity.sum_of(&[Oxide::K2O, Oxide::Na2O]);
            assert!((ours - alkalis).abs() <= 0.002, "{}: {ours:.4} {alkalis}", glaze.name);
        }
        if let Some(boron) = scenario.boron.get(&glaze.name) {
            assert!((unity.get(Oxide::B2O3) - boron).abs() <= 0.002, "{}", glaze.name);
        }
    }
}

#[test]
fn none_crazed_at_the_first_all_at_the_others_unknown_between() {
    let answers = Scenario::read().answers();
    // One batch of five that held for eight months: a line that falls for three years leaves
    // about one in seven, so nobody may call it held yet.
    let held_so_far = answers["G1"].craze;
    assert_eq!(held_so_far.zone, Zone::Unsure);
    assert!((0.10..0.20).contains(&held_so_far.chance), "{held_so_far:?}");
    assert!(answers.values().all(|other| other.craze.chance >= held_so_far.chance));
    for crazed in ["G2", "G3"] {
        assert_eq!(answers[crazed].craze.zone, Zone::Fails, "{crazed}");
        assert!(answers[crazed].says_no());
    }
    // What lies between held and failed is not held.
    for option in ["G2 with 6 more silica", "G2 with 12 more silica"] {
        assert_ne!(answers[option].craze.zone, Zone::Held, "{option}");
    }
    // The threshold lies between what held and what failed, in the model's units.
    let expansion = |name: &str| answers[name].expansion.as_ref().unwrap().value_per_million_per_kelvin;
    let median = answers["G1"].window.craze.band().median;
    assert!(expansion("G1") < median && median < expansion("G2"), "{median}");
    // More silica from G2 on brings the chance down, step by step.
    let chance = |name: &str| answers[name].craze.chance;
    let ladder = [
        "G2",
        "G2 with 6 more silica",
        "G2 with 12 more silica",
        "G2 with 18 more silica",
    ];
    assert!(ladder.windows(2).all(|pair| chance(pair[0]) > chance(pair[1])));
    assert!(
        answers["G1"].evidence.witnesses.len() == 3
            && answers["G1"].window.settings.is_dense(&answers["G1"].window.clay)
    );
}
