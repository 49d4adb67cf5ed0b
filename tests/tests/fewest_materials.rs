//! The fewest materials that keep every glaze near, against every set tried outside
//! (`data/fewest.json`, made by `peers/fewest.py`).

use std::collections::BTreeMap;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_core::recipes::fewest::{Fewest, FewestQuestion, Kept, fewest};
use glost_core::recipes::swap::Comparison;
use glost_tests::{data, glaze, library};
use serde::Deserialize;

#[derive(Deserialize)]
struct Book {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    materials: BTreeMap<String, Sheet>,
    glazes: Vec<BTreeMap<String, f64>>,
    within: f64,
    fewest: usize,
    sets: Vec<Vec<String>>,
    fewest_banded: usize,
    sets_banded: Vec<Vec<String>>,
}

#[derive(Deserialize)]
struct Sheet {
    kind: String,
    analysis: BTreeMap<String, f64>,
}

fn shelf(materials: &BTreeMap<String, Sheet>) -> Library {
    let mut text = "materials:\n".to_owned();
    for (name, Sheet { kind, analysis }) in materials {
        let loss = 100.0 - analysis.values().sum::<f64>();
        text += &format!(
            "  - {{ name: {name}, kind: {kind}, basis: as supplied, loss_on_ignition: {loss:.2}, buyable: true, source: invented, take_as_is: true, analysis: {} }}\n",
            serde_json::to_string(analysis).unwrap()
        );
    }
    library(&text)
}

fn recipe(library: &Library, parts: &BTreeMap<String, f64>) -> Glaze {
    let parts: Vec<String> = parts.iter().map(|(name, part)| format!("{name}: {part}")).collect();
    glaze(library, &parts.join(", "), "")
}

fn asked(library: &Library, glazes: &[Glaze], within: f64, clay_band: bool) -> Fewest {
    let fluxes = FluxList::default();
    let question = FewestQuestion {
        glazes: glazes.iter().collect(),
        library,
        fluxes: vec![&fluxes; glazes.len()],
        keep: Vec::new(),
        drop: Vec::new(),
        within,
        clay_band,
        cheapest: None,
        show: 100,
        work: 10_000_000,
    };
    fewest(&question).unwrap()
}

/// Every glaze is near with what is kept: measured anew, oxide by oxide, from its recipe.
fn all_near(found: &Fewest, glazes: &[Glaze], within: f64) {
    for (kept, old) in found.glazes.iter().zip(glazes) {
        let new = match &kept.kept {
            Kept::Unchanged => old,
            Kept::New(candidate) => &candidate.glaze,
            other => panic!("{other:?}"),
        };
        for portion in &new.base {
            assert!(
                found.keep.iter().any(|keep| keep.name == portion.material.name),
                "{portion:?}"
            );
        }
        let fluxes = FluxList::default();
        let beside = Comparison::with(old, &fluxes).unwrap().unwrap();
        let fired = Analysis::of(new, &fluxes, Additions::In).unwrap();
        let distance = beside.yardstick().distance(&fired.moles);
        assert!(distance <= within + 1e-6, "{distance} > {within}");
    }
}

fn names(found: &Fewest) -> Vec<String> {
    let mut names: Vec<String> = found.keep.iter().map(|keep| keep.name.clone()).collect();
    names.sort();
    names
}

#[test]
fn as_few_as_by_trying_every_set() {
    let book: Book = serde_json::from_str(&data("fewest.json")).unwrap();
    assert!(book.cases.len() >= 60);
    for (number, case) in book.cases.iter().enumerate() {
        let library = shelf(&case.materials);
        let glazes: Vec<Glaze> = case.glazes.iter().map(|parts| recipe(&library, parts)).collect();
        for (band, fewest, sets) in [
            (false, case.fewest, &case.sets),
            (true, case.fewest_banded, &case.sets_banded),
        ] {
            let found = asked(&library, &glazes, case.within, band);
            assert!(found.proven, "studio {number}");
            assert_eq!(
                (found.keep.len(), found.at_least),
                (fewest, fewest),
                "studio {number}, band {band}"
            );
            assert!(sets.contains(&names(&found)), "studio {number}: {:?}", names(&found));
            let others = found
                .next
                .iter()
                .filter(|next| matches!(next, glost_core::recipes::fewest::Next::AsMany { .. }));
            assert_eq!(
                others.count() + 1,
                sets.len().min(101),
                "studio {number}: every other set of its size"
            );
            for next in &found.next {
                if let glost_core::recipes::fewest::Next::OneMore { unchanged, nearer, .. } = next {
                    assert!(*nearer > 0.0 || !unchanged.is_empty(), "studio {number}: {next:?}");
                }
            }
            all_near(&found, &glazes, case.within);
        }
    }
}
