//! The stress of a glaze on a measured clay, in one call.

#[path = "../../chemistry/tests/glass_support/mod.rs"]
mod glass_support;

use glass_support::{Draw, moles, random_glaze};
use glost_chemistry::diagnostic::Source;
use glost_chemistry::glass::{Coat, ExpansionModel, GlassProperty, Pull};
use glost_chemistry::oxides::OxideMoles;
use glost_core::evidence::ware::{Clay, StressSaid, read_clay, stress_on};

fn clay(fields: &str) -> Clay {
    read_clay(&Source::from_text("c.yaml", &format!("clay: test\n{fields}\n"))).unwrap_or_else(|why| panic!("{why:?}"))
}

/// The unity formula of a cone 6 clear.
fn clear() -> OxideMoles {
    moles([
        ("Na2O", 0.06),
        ("K2O", 0.14),
        ("CaO", 0.69),
        ("MgO", 0.11),
        ("Al2O3", 0.36),
        ("SiO2", 3.04),
    ])
}

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, not {expected}");
}

/// E / (1 - nu) times the misfit, by hand from the same predictions (formula after Stoney, Proc.
/// R. Soc. A 82 (1909) 172; nu 0.22; sets 15 K below the transition temperature).
#[test]
fn the_thin_coat_is_the_formula_by_hand() {
    let clay = clay("expansion: 7.0e-6/K at 20-400 C\nmeasured: true\nmodulus: 70 GPa");
    let stress = stress_on(&clear(), &clay).unwrap();
    let alpha = ExpansionModel::default().value(&clear()).unwrap();
    let modulus = GlassProperty::YoungsModulus.value(&clear()).unwrap();
    let set = GlassProperty::TransitionTemperature.value(&clear()).unwrap() - 15.0;
    let by_hand = modulus / (1.0 - 0.22) * (alpha - 7.0) * 1e-6 * (set - 20.0) * 1000.0;
    near(stress.thin.megapascals.value, by_hand, 1e-9, "thin");
    // Both sides, 0.2 mm on 5 mm: the force balance, the clay's E / (1 - 0.20).
    let ratio = (modulus / 0.78) * 0.2 / ((70.0 / 0.80) * 5.0);
    near(
        stress.both_sides.megapascals.value,
        by_hand / (1.0 + 2.0 * ratio),
        1e-9,
        "both sides",
    );
    assert_eq!(stress.usual, Coat::BothSides);
    assert_eq!(stress.stress().pull, stress.both_sides.pull);
}

/// A glaze's own 90 % band of about 0.7 x 1e-6/K is worth about 34 MPa (5.2 MPa for each 0.1 at
/// 70 GPa over 580 K); the clay's number and the rest add a little in quadrature.
#[test]
fn the_band_is_a_little_wider_than_that_of_the_expansion_alone() {
    let clay = clay("expansion: 7.0e-6/K at 20-400 C\nmeasured: true\nmodulus: 70 GPa");
    let stress = stress_on(&clear(), &clay).unwrap();
    let modulus = stress.glaze_modulus_gigapascals.value / 0.78;
    let kelvins = stress.set_celsius.value - 20.0;
    let alone = modulus * stress.glaze_expansion.plus_minus_90 * 1e-3 * kelvins;
    let band = stress.thin.megapascals.plus_minus_90;
    assert!(band > alone && band < 1.25 * alone, "{band}, and {alone} alone");
    assert!((25.0..50.0).contains(&band), "{band}");
    let (careful, very_careful) = stress.fired_glaze_plus_minus;
    assert!(band < careful && careful < very_careful);
}

#[test]
fn a_clay_that_shrinks_more_squeezes_and_one_that_shrinks_less_stretches() {
    let pull = |expansion: &str| {
        let clay = clay(&format!("expansion: {expansion}\nmeasured: true"));
        stress_on(&clear(), &clay).unwrap().stress().pull
    };
    assert_eq!(pull("9.5e-6/K at 20-400 C"), Pull::Squeezed);
    assert_eq!(pull("3.5e-6/K at 20-400 C"), Pull::Stretched);
    let alpha = ExpansionModel::default().value(&clear()).unwrap();
    assert_eq!(pull(&format!("{alpha:.2}e-6/K at 20-400 C")), Pull::Unsure);
}

#[test]
fn a_printed_number_gives_no_stress() {
    for fields in [
        "expansion: 7.0e-6/K at 20-400 C",
        "cone: 6",
        "expansion: 7e-6\ndilatometer: [{ c: 20, percent: 0 }, { c: 300, percent: 0.2 }]\nabsorption: 3",
    ] {
        assert_eq!(stress_on(&clear(), &clay(fields)), None, "{fields}");
    }
    let measured = clay("expansion: 7.0e-6/K at 20-400 C\nmeasured: true");
    assert_eq!(stress_on(&OxideMoles::ZERO, &measured), None);
}

/// A straight table is the mean it is drawn from; a step at 573 C below where the glaze sets
/// squeezes it by its share: 0.05 % more shrinkage of the clay.
#[test]
fn a_dilatometer_s_table_counts_the_step_of_quartz() {
    let straight = clay("dilatometer: [{ c: 20, percent: 0 }, { c: 820, percent: 0.56 }]\nmodulus: 50 GPa");
    let mean = clay("expansion: 7.0e-6/K at 20-600 C\nmeasured: true\nmodulus: 50 GPa");
    let (by_table, by_mean) = (
        stress_on(&clear(), &straight).unwrap(),
        stress_on(&clear(), &mean).unwrap(),
    );
    near(
        by_table.thin.megapascals.value,
        by_mean.thin.megapascals.value,
        1e-9,
        "straight table",
    );
    assert!(by_table.set_celsius.value > 600.0, "{}", by_table.set_celsius.value);

    let stepped = clay(
        "dilatometer: [{ c: 20, percent: 0 }, { c: 560, percent: 0.378 }, { c: 580, percent: 0.442 }, { c: 820, percent: 0.61 }]\nmodulus: 50 GPa",
    );
    let by_step = stress_on(&clear(), &stepped).unwrap();
    let more = by_step.thin.megapascals.value - by_table.thin.megapascals.value;
    near(
        more,
        -by_step.glaze_modulus_gigapascals.value / 0.78 * 0.05e-2 * 1000.0,
        1e-6,
        "the step",
    );
    // While it cools: nothing where it sets, the full stress at room temperature.
    let cooling = &by_step.cooling;
    near(cooling[0].1, 0.0, 1e-12, "where it sets");
    let last = cooling.last().unwrap();
    near(last.0, 20.0, 1e-12, "room");
    near(last.1, by_step.stress().megapascals.value, 1e-9, "at room temperature");
    assert!(cooling.windows(2).all(|pair| pair[0].0 > pair[1].0));
}

#[test]
fn a_table_that_ends_early_is_drawn_on_and_that_is_said() {
    let short = clay("dilatometer: [{ c: 25, percent: 0 }, { c: 500, percent: 0.3325 }]\nmodulus: 50 GPa");
    let stress = stress_on(&clear(), &short).unwrap();
    let set = stress.set_celsius.value;
    let alpha = stress.glaze_expansion.value_per_million_per_kelvin;
    let by_hand = stress.glaze_modulus_gigapascals.value / 0.78 * (alpha - 7.0) * (set - 25.0) * 1e-3;
    near(stress.thin.megapascals.value, by_hand, 1e-6, "drawn on straight");
    assert!(
        stress.assumptions.iter().any(|said| matches!(
            said,
            StressSaid::TableEnds {
                last_celsius: 500.0,
                ..
            }
        )),
        "{:?}",
        stress.assumptions
    );
    assert!(stress.cooling.is_empty());
}

#[test]
fn what_the_clay_s_file_doesn_t_say_is_assumed_and_said() {
    let said = |fields: &str| {
        let clay = clay(&format!("expansion: 7.0e-6/K at 20-500 C\nmeasured: true\n{fields}"));
        stress_on(&clear(), &clay).unwrap()
    };
    let stoneware = said("absorption: 2.5");
    assert_eq!(stoneware.clay_modulus_gigapascals.value, 52.5);
    assert!(stoneware.assumptions.contains(&StressSaid::Stiffness(40.0, 65.0)));
    assert!(stoneware.assumptions.iter().any(|said| matches!(
        said,
        StressSaid::BeyondQuartz {
            quartz_celsius: 573.0,
            ..
        }
    )));
    assert_eq!(
        said("absorption: 2.5\nmodulus: 60 GPa").clay_modulus_gigapascals.value,
        60.0
    );
    assert_eq!(said("use: wall tile").usual, Coat::OneSide);
}

#[test]
fn any_glaze_on_any_measured_clay_is_finite() {
    let mut draw = Draw(77);
    for _ in 0..300 {
        let expansion = 1.0 + 11.0 * draw.unit();
        let clay = clay(&format!("expansion: {expansion:.2}e-6/K at 20-600 C\nmeasured: true"));
        if let Some(stress) = stress_on(&random_glaze(&mut draw), &clay) {
            for part in [&stress.thin, &stress.one_side, &stress.both_sides] {
                assert!(part.megapascals.value.is_finite() && part.megapascals.plus_minus_90 > 0.0);
            }
        }
    }
}
