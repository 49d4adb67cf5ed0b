//! First-order 90 % bands of the unity formula against drawing the sheets at
//! random: same recipe, every toleranced figure off by its own normal error.
//! Tolerances here are a small part of each figure, as on a good sheet.

use std::sync::Arc;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideGrams};
use glost_tests::{glaze, library};

/// 90 % of a normal distribution lies within 1.645 standard deviations.
const DEVIATIONS: f64 = 1.645;
const DRAWS: usize = 40_000;
/// Of the band: drawing leaves 0.4 % of one standard deviation, the rest is
/// what a first-order band may be off for errors of a few per cent.
const AGREEMENT: f64 = 0.03;

/// Marsaglia's xorshift (*Journal of Statistical Software* 8(14), 2003) with
/// the method of Box & Muller for normal numbers; the same numbers every time.
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let (a, b) = (self.even(), self.even());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

/// Figures of a sheet with their standard deviations, wt %.
type Sheet = &'static [(&'static str, f64, f64)];

const FELDSPAR: Sheet = &[
    ("SiO2", 67.0, 0.5),
    ("Al2O3", 18.0, 0.3),
    ("K2O", 10.5, 0.3),
    ("Na2O", 3.0, 0.15),
    ("CaO", 0.9, 0.0),
];
const KAOLIN: Sheet = &[("SiO2", 46.5, 0.4), ("Al2O3", 38.6, 0.4), ("Fe2O3", 0.8, 0.05)];
const WHITING: Sheet = &[("CaO", 55.5, 0.4), ("MgO", 0.5, 0.03)];
const SILICA: Sheet = &[("SiO2", 99.6, 0.2)];
const TALC: Sheet = &[("MgO", 31.0, 0.5), ("SiO2", 62.0, 0.6)];
const SHEETS: [(&str, Sheet, f64); 5] = [
    ("feldspar", FELDSPAR, 0.6),
    ("kaolin", KAOLIN, 14.1),
    ("whiting", WHITING, 43.9),
    ("silica", SILICA, 0.3),
    ("talc", TALC, 6.5),
];

fn shelf_text() -> String {
    let mut text = "materials:\n".to_owned();
    for (name, sheet, loss) in SHEETS {
        let listed = |of: fn(&(&str, f64, f64)) -> f64| {
            let lines: Vec<String> = sheet.iter().map(|line| format!("{}: {}", line.0, of(line))).collect();
            lines.join(", ")
        };
        text += &format!(
            "  - {{ name: {name}, basis: as supplied, loss_on_ignition: {loss}, source: invented, analysis: {{ {} }}, tolerance: {{ {} }} }}\n",
            listed(|line| line.1),
            listed(|line| line.2),
        );
    }
    text + "  - { name: base mix, recipe: { feldspar: 3, silica: 2 }, source: own }\n"
}

/// Fired oxides of the named material with every sheet off by `errors`.
fn off(errors: &[Vec<f64>; 5], name: &str) -> OxideGrams {
    if name == "base mix" {
        let mut mix = off(errors, "feldspar").scaled(0.6);
        mix.add_scaled(0.4, &off(errors, "silica"));
        return mix;
    }
    let index = SHEETS.iter().position(|sheet| sheet.0 == name).unwrap();
    let lines = SHEETS[index].1.iter().zip(&errors[index]);
    OxideGrams::new(lines.map(|(line, error)| (Oxide::from_formula(line.0).unwrap(), line.1 + error * line.2))).unwrap()
}

fn with_errors(glaze: &Glaze, dice: &mut Dice) -> Glaze {
    let errors = SHEETS.map(|(_, sheet, _)| sheet.iter().map(|_| dice.normal()).collect::<Vec<f64>>());
    let mut drawn = glaze.clone();
    for portion in drawn.base.iter_mut().chain(&mut drawn.additions) {
        let mut material = Material::clone(&portion.material);
        if let Some(fired) = &mut material.fired {
            fired.oxides = off(&errors, &material.name);
        }
        portion.material = Arc::new(material);
    }
    drawn
}

/// Draws the glaze many times; every oxide's spread is its band.
#[track_caller]
fn bands_hold(parts: &str, additions: &str, fluxes: &FluxList) {
    let glaze = glaze(&library(&shelf_text()), parts, additions);
    let analysis = Analysis::of(&glaze, fluxes, Additions::In).unwrap();
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut sum, mut square) = (vec![0.0; Oxide::ALL.len()], vec![0.0; Oxide::ALL.len()]);
    for _ in 0..DRAWS {
        let drawn = Analysis::of(&with_errors(&glaze, &mut dice), fluxes, Additions::In).unwrap();
        for (index, moles) in drawn.unity.unwrap().as_slice().iter().enumerate() {
            sum[index] += moles;
            square[index] += moles * moles;
        }
    }
    let draws = DRAWS as f64;
    for oxide in Oxide::ALL {
        let mean = sum[oxide.index()] / draws;
        let spread = (square[oxide.index()] / draws - mean * mean).max(0.0).sqrt();
        let band = analysis.unity_bands.get(oxide);
        assert!(
            (band - DEVIATIONS * spread).abs() <= AGREEMENT * band + 1e-7,
            "{parts} + {additions}: {oxide} {band}, drawn {}",
            DEVIATIONS * spread
        );
        assert_eq!(
            band > 0.0,
            analysis.moles.get(oxide) > 0.0,
            "{oxide}: every oxide here has a tolerance or moves with the fluxes"
        );
    }
}

#[test]
fn bands_of_a_plain_recipe_are_what_chance_gives() {
    bands_hold(
        "feldspar: 40, kaolin: 12, whiting: 20, silica: 28",
        "",
        &FluxList::default(),
    );
}

#[test]
fn a_material_in_base_and_additions_is_off_in_both_at_once() {
    bands_hold(
        "feldspar: 30, kaolin: 12, whiting: 20, silica: 28",
        "feldspar: 20, talc: 6",
        &FluxList::default(),
    );
}

#[test]
fn a_material_in_a_pre_mix_and_beside_it_is_off_in_both_at_once() {
    bands_hold(
        "base mix: 50, feldspar: 20, whiting: 20, silica: 5, kaolin: 5",
        "",
        &FluxList::default(),
    );
}

#[test]
fn a_studio_s_own_flux_list_has_its_own_bands() {
    let fluxes = FluxList::new(vec![Oxide::K2O, Oxide::Na2O, Oxide::CaO]).unwrap();
    bands_hold(
        "feldspar: 40, kaolin: 12, whiting: 15, talc: 8, silica: 25",
        "",
        &fluxes,
    );
}

#[test]
fn without_tolerances_there_are_no_bands() {
    let shelf = library("materials:\n  - { name: a, formula: KAlSi3O8, source: stoichiometric }\n");
    let analysis = Analysis::of(&glaze(&shelf, "a: 1", ""), &FluxList::default(), Additions::In).unwrap();
    assert_eq!(analysis.unity_bands.total(), 0.0);
}
