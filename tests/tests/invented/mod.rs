//! Invented sheets and recipes for the laws, always the same ones.

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_tests::{glaze, library};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};

/// Invented materials that bring some flux, so that every unity formula exists.
const FLUXES: [&str; 6] = ["Na2O", "K2O", "MgO", "CaO", "ZnO", "BaO"];
const OTHERS: [&str; 8] = ["SiO2", "Al2O3", "B2O3", "Fe2O3", "TiO2", "SrO", "P2O5", "Li2O"];

/// A supplier's sheet nobody ever printed.
#[derive(Debug, Clone)]
pub struct Sheet {
    pub oxides: Vec<(&'static str, f64)>,
    pub loss: f64,
}

/// A recipe of invented materials: `m0`, `m1` ... in parts, some also as additions.
#[derive(Debug, Clone)]
pub struct Invented {
    pub sheets: Vec<Sheet>,
    pub parts: Vec<f64>,
    pub additions: Vec<f64>,
}

/// A law holds for every invented case, or the least case that breaks it is shown.
/// `GLOST_CASES=50` tries 50 times as many.
#[track_caller]
pub fn for_all<S: Strategy>(cases: u32, of: S, law: impl Fn(S::Value) -> Result<(), TestCaseError>) {
    let times: u32 = std::env::var("GLOST_CASES").map_or(1, |text| text.parse().unwrap());
    let config = Config {
        cases: cases * times,
        failure_persistence: None,
        ..Config::default()
    };
    let numbers = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    if let Err(broken) = TestRunner::new_with_rng(config, numbers).run(&of, law) {
        panic!("{broken}");
    }
}

/// A sheet that closes at 100 to two decimals.
pub fn sheet() -> impl Strategy<Value = Sheet> {
    let names = (select(&FLUXES[..]), subsequence(&OTHERS[..], 2..=4));
    (names, vec(1.0..50.0_f64, 5), 0.0..30.0_f64).prop_map(|((flux, others), amounts, loss)| {
        let names: Vec<&'static str> = std::iter::once(flux).chain(others).collect();
        let total: f64 = amounts[..names.len()].iter().sum();
        let cents = |percent: f64| (percent * 100.0).round() / 100.0;
        let loss = cents(loss);
        let share = |amount: f64| cents(amount / total * (100.0 - loss));
        Sheet {
            oxides: names.into_iter().zip(amounts.into_iter().map(share)).collect(),
            loss,
        }
    })
}

/// A recipe of three to six materials, up to two of them also added on top.
pub fn invented() -> impl Strategy<Value = Invented> {
    (3..=6_usize, 0..=2_usize).prop_flat_map(|(count, additions)| {
        (
            vec(sheet(), count),
            vec(1.0..60.0_f64, count),
            vec(0.1..12.0_f64, additions),
        )
            .prop_map(|(sheets, parts, additions)| Invented {
                sheets,
                parts,
                additions,
            })
    })
}

pub fn name(index: usize) -> String {
    format!("m{index}")
}

fn listed(amounts: impl IntoIterator<Item = (String, f64)>) -> String {
    let lines: Vec<String> = amounts
        .into_iter()
        .map(|(name, amount)| format!("{name}: {amount}"))
        .collect();
    lines.join(", ")
}

impl Sheet {
    /// The sheet as an entry of a materials file; `more` are further keys.
    pub fn entry(&self, name: &str, more: &str) -> String {
        let oxides = listed(
            self.oxides
                .iter()
                .map(|(oxide, percent)| ((*oxide).to_owned(), *percent)),
        );
        format!(
            "  - {{ name: {name}, kind: mineral, basis: as supplied, loss_on_ignition: {}, source: invented, {more} analysis: {{ {oxides} }} }}\n",
            self.loss
        )
    }
}

/// A library of these sheets as `m0`, `m1` ...
pub fn shelf(sheets: &[Sheet]) -> Library {
    let entries: Vec<String> = sheets
        .iter()
        .enumerate()
        .map(|(index, sheet)| sheet.entry(&name(index), "tolerance: { SiO2: 0.4, CaO: 0.2 },"))
        .collect();
    library(&format!("materials:\n{}", entries.concat()))
}

impl Invented {
    pub fn glaze(&self, library: &Library) -> Glaze {
        self.glaze_of(library, &self.named_parts(), &self.named_additions())
    }

    pub fn glaze_of(&self, library: &Library, parts: &[(String, f64)], additions: &[(String, f64)]) -> Glaze {
        glaze(library, &listed(parts.to_vec()), &listed(additions.to_vec()))
    }

    pub fn named_parts(&self) -> Vec<(String, f64)> {
        let named = self.parts.iter().enumerate();
        named.map(|(index, amount)| (name(index), *amount)).collect()
    }

    pub fn named_additions(&self) -> Vec<(String, f64)> {
        let named = self.additions.iter().enumerate();
        named.map(|(index, percent)| (name(index), *percent)).collect()
    }
}

pub fn analysis(glaze: &Glaze) -> Analysis {
    Analysis::of(glaze, &FluxList::default(), Additions::In).unwrap()
}

/// Equal to within `tolerance`, relative to the larger or to 1.
pub fn alike(a: &[f64], b: &[f64], tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.len(), b.len());
    for (a, b) in a.iter().zip(b) {
        let size = a.abs().max(b.abs()).max(1.0);
        prop_assert!((a - b).abs() <= tolerance * size, "{} and {}", a, b);
    }
    Ok(())
}
