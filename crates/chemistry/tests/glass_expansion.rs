//! The expansion models against an independent implementation and against glasses whose
//! authors they never saw (`data/expansion/NOTICE.md` says where both are from).

mod glass_support;

use glass_support::{Draw, check_glasses, moles, random_glaze};
use glost_chemistry::glass::{Coverage, ExpansionModel, ModelStanding, PER_20_300_FROM_20_400, leverage_half_width};
use glost_chemistry::oxides::{Oxide, OxideGrams, OxideMoles};
use glost_chemistry::{ModelAssumption, OutsideModel};

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, not {expected}");
}

#[test]
fn the_reference_vectors_come_out_to_a_ten_thousandth() {
    let text = include_str!("data/expansion/test_vectors.json");
    let vectors: Vec<serde_yaml::Value> = serde_yaml::from_str(text).unwrap();
    assert_eq!(vectors.len(), 8);
    for vector in &vectors {
        let name = vector["name"].as_str().unwrap();
        let pairs = vector["mol"].as_mapping().unwrap().iter();
        let amounts = pairs.map(|(oxide, amount)| (oxide.as_str().unwrap(), amount.as_f64().unwrap()));
        let amounts = moles(amounts);
        let own = |key: &str| vector["own"][key].as_f64().unwrap();
        let found = ExpansionModel::Glost54.predict(&amounts).unwrap();
        let leverage = found.leverage.unwrap();
        near(found.value_per_million_per_kelvin, own("alpha_20_400"), 1e-4, name);
        near(
            found.value_per_million_per_kelvin / PER_20_300_FROM_20_400,
            own("alpha_20_300"),
            1e-4,
            name,
        );
        near(leverage, own("leverage"), 1e-4, name);
        near(found.plus_minus_90, own("half90"), 1e-4, name);
        near(
            leverage_half_width(Coverage::Percent68, leverage),
            own("half68"),
            1e-4,
            name,
        );
        assert_eq!(
            found.reasons.is_empty(),
            !vector["own"]["warn"].as_bool().unwrap(),
            "{name}"
        );
        let appen = ExpansionModel::Appen.value(&amounts).unwrap();
        near(appen, vector["appen_20_400"].as_f64().unwrap(), 1e-4, name);
    }
}

struct Errors(Vec<f64>);

impl Errors {
    fn bias(&self) -> f64 {
        self.0.iter().sum::<f64>() / self.0.len() as f64
    }

    fn mean_absolute(&self) -> f64 {
        self.0.iter().map(|error| error.abs()).sum::<f64>() / self.0.len() as f64
    }

    fn ninety_percent_within(&self) -> f64 {
        let mut sizes: Vec<f64> = self.0.iter().map(|error| error.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        sizes[(0.9 * (sizes.len() - 1) as f64).round() as usize]
    }
}

/// Predicted less measured, over the range measured, and the share within the 90 % band.
fn on_check_glasses(model: ExpansionModel) -> (Errors, f64) {
    let glasses = check_glasses();
    assert_eq!(glasses.len(), 300);
    let mut within = 0;
    let errors = glasses.iter().map(|glass| {
        let ratio = if glass.to_300 { PER_20_300_FROM_20_400 } else { 1.0 };
        let found = model.predict(&glass.moles).unwrap();
        let error = found.value_per_million_per_kelvin / ratio - glass.measured;
        within += usize::from(error.abs() <= found.plus_minus_90 / ratio);
        error
    });
    let errors = Errors(errors.collect());
    (errors, within as f64 / glasses.len() as f64)
}

#[test]
fn on_glasses_never_seen_the_models_are_as_good_as_they_say() {
    for model in ExpansionModel::ALL {
        let (errors, within) = on_check_glasses(model);
        let (bias, mean, ninety) = (errors.bias(), errors.mean_absolute(), errors.ninety_percent_within());
        println!(
            "{}: bias {bias:.3}, mean error {mean:.3}, 90 % within {ninety:.2}, band holds {:.1} %",
            model.name(),
            100.0 * within
        );
        let stated = model.accuracy().next().unwrap();
        assert_eq!((stated.count, stated.model), (300, model.name()));
        near(bias, stated.bias, 0.001, "bias");
        near(mean, stated.mean_absolute_error, 0.001, "mean error");
        near(ninety, stated.ninety_percent_within, 0.01, "90 % within");
        match model {
            ExpansionModel::Glost54 => assert!(mean <= 0.40 && (0.85..=0.95).contains(&within)),
            ExpansionModel::Appen => assert!(mean <= 0.49 && (0.85..=0.95).contains(&within)),
            _ => assert!(model.is_historical()),
        }
    }
}

#[test]
fn a_batch_twice_the_size_expands_the_same() {
    let mut draw = Draw(7);
    for _ in 0..500 {
        let glaze = random_glaze(&mut draw);
        for model in ExpansionModel::ALL {
            let one = model.predict(&glaze);
            assert_eq!(one, model.predict(&glaze.scaled(2.0)), "{}", model.name());
            let Some(one) = one else { continue };
            for scale in [1e-12, 0.37, 1e9] {
                let other = model.value(&glaze.scaled(scale)).unwrap();
                near(other, one.value_per_million_per_kelvin, 1e-9, model.name());
            }
        }
    }
}

#[test]
fn the_answer_is_finite_for_any_composition() {
    let extremes = [f64::MIN_POSITIVE, 5e-324, 1e-30, 1.0, 1e300, f64::MAX];
    let check = |amounts: &OxideMoles| {
        for model in ExpansionModel::ALL {
            let Some(found) = model.predict(amounts) else { continue };
            assert!(found.value_per_million_per_kelvin.is_finite(), "{amounts:?}");
            assert!(
                found.plus_minus_90.is_finite() && found.plus_minus_90 > 0.0,
                "{amounts:?}"
            );
            assert_eq!(found.inside_domain, found.reasons.is_empty());
        }
    };
    for one in Oxide::ALL {
        for other in Oxide::ALL {
            for amount in extremes {
                check(&OxideMoles::new([(one, 1.0), (other, amount)]).unwrap());
                check(&OxideMoles::new([(one, amount)]).unwrap());
            }
        }
    }
    assert_eq!(ExpansionModel::Glost54.predict(&OxideMoles::ZERO), None);
    assert_eq!(ExpansionModel::Glost54.predict(&moles([("Cr2O3", 1.0)])), None);
}

#[test]
fn the_tangent_agrees_with_small_changes() {
    let mut draw = Draw(11);
    for _ in 0..300 {
        let glaze = random_glaze(&mut draw);
        for model in ExpansionModel::ALL {
            let Some(tangent) = model.linearise(&glaze) else {
                continue;
            };
            let value = model.value(&glaze).unwrap();
            near(tangent.value_per_million_per_kelvin, value, 1e-12, "value");
            near(tangent.at(&glaze).unwrap(), value, 1e-9, "the tangent touches");
            for oxide in Oxide::ALL {
                slope_agrees(model, &glaze, oxide, tangent.per_mole(oxide));
            }
            let row = tangent.row_at_most(value);
            let sum: f64 = row
                .iter()
                .zip(glaze.as_slice())
                .map(|(entry, amount)| entry * amount)
                .sum();
            near(sum / glaze.total(), 0.0, 1e-6, "the row at its own value");
        }
    }
}

/// Central difference, or one-sided at zero. Where the two one-sided slopes differ a kink
/// lies in between, and either will do.
fn slope_agrees(model: ExpansionModel, glaze: &OxideMoles, oxide: Oxide, slope: f64) {
    let step = 1e-6 * glaze.total();
    let value = model.value(glaze).unwrap();
    let at = |amount: f64| {
        let others = glaze.iter().filter(|(other, _)| *other != oxide);
        let changed = OxideMoles::new(others.chain([(oxide, amount)])).unwrap();
        model.value(&changed).unwrap()
    };
    let here = glaze.get(oxide);
    let up = (at(here + step) - value) / step;
    let down = if here >= step {
        (value - at(here - step)) / step
    } else {
        up
    };
    let tolerance = 2e-4 * (1.0 + slope.abs()) / glaze.total().min(1.0);
    let fits = [up, down, 0.5 * (up + down)]
        .iter()
        .any(|found| (found - slope).abs() <= tolerance);
    assert!(
        fits,
        "{} {oxide}: {slope}, but {down} and {up} in {glaze:?}",
        model.name()
    );
}

#[test]
fn what_lies_outside_of_the_domain_is_said() {
    let celadon = [("K2O", 0.2), ("Na2O", 0.1), ("CaO", 0.7), ("Al2O3", 0.4), ("SiO2", 3.8)];
    let with = |extra: &[(&'static str, f64)]| moles(celadon.into_iter().chain(extra.iter().copied()));
    let predict = |amounts: &OxideMoles| ExpansionModel::Glost54.predict(amounts).unwrap();
    assert!(predict(&with(&[])).inside_domain);

    let trace = predict(&with(&[("Cr2O3", 0.04)]));
    assert!(trace.inside_domain);
    assert!(
        matches!(&trace.assumptions[..], [ModelAssumption::LeftOut { mole_percent, oxides }]
        if (mole_percent - 0.76).abs() < 0.005 && oxides == &[Oxide::Cr2O3]),
        "{trace:?}"
    );
    near(
        trace.value_per_million_per_kelvin,
        6.295,
        1e-4,
        "the rest is the celadon",
    );

    let much = predict(&with(&[("Cr2O3", 0.1)]));
    assert!(!much.inside_domain);
    assert!(
        matches!(&much.reasons[..], [OutsideModel::LeftOut { mole_percent, oxides, .. }]
        if (mole_percent - 1.89).abs() < 0.01 && oxides == &[Oxide::Cr2O3]),
        "{much:?}"
    );

    let glassy = predict(&moles([("Na2O", 0.5), ("CaO", 0.5), ("SiO2", 9.0)]));
    let OutsideModel::Oxide {
        oxide: Oxide::SiO2,
        mole_percent,
        low: 35.0,
        high: 79.95,
    } = glassy.reasons[0]
    else {
        panic!("{glassy:?}");
    };
    near(mole_percent, 90.0, 1e-9, "nine parts of ten are silica");
    let fluxless = predict(&moles([("K2O", 0.1), ("B2O3", 1.4), ("Al2O3", 1.0), ("SiO2", 4.7)]));
    assert!(
        matches!(fluxless.reasons[..], [OutsideModel::FewFluxes { mole_percent, least: 3.0 }]
        if (mole_percent - 100.0 * 0.1 / 7.2).abs() < 1e-9),
        "{fluxless:?}"
    );
    let odd = predict(&moles([("K2O", 0.19), ("BaO", 0.28), ("ZrO2", 0.1), ("SiO2", 0.43)]));
    let unlike = |reason: &OutsideModel| matches!(reason, OutsideModel::Unlike { .. });
    assert!(odd.reasons.iter().any(unlike), "{odd:?}");

    let white = predict(&with(&[("ZrO2", 0.2)]));
    assert!(white.inside_domain && white.assumptions == [ModelAssumption::OpacifiersDissolved]);

    let lithia = moles([("Li2O", 0.5), ("CaO", 0.5), ("Al2O3", 0.4), ("SiO2", 3.5)]);
    let turner = ExpansionModel::EnglishTurner.predict(&lithia).unwrap();
    let lithia =
        |reason: &OutsideModel| matches!(reason, OutsideModel::LeftOut { oxides, .. } if oxides == &[Oxide::Li2O]);
    assert!(!turner.inside_domain && turner.reasons.iter().any(lithia), "{turner:?}");
}

#[test]
fn english_and_turner_of_soda_lime_glass_by_hand() {
    // 75 SiO2, 15 Na2O, 10 CaO by weight: 0.05 x 75 + 4.32 x 15 + 1.63 x 10 = 84.85e-7/K.
    let glass = OxideGrams::new([(Oxide::SiO2, 75.0), (Oxide::Na2O, 15.0), (Oxide::CaO, 10.0)]);
    let glass = glass.unwrap().to_moles();
    let found = ExpansionModel::EnglishTurner.value(&glass);
    near(found.unwrap(), 8.485, 1e-12, "25-90 C");
    // Cubic, so a third: (0.8 x 75 + 10 x 15 + 5 x 10) / 3 = 86.67e-7/K.
    let found = ExpansionModel::WinkelmannSchott.value(&glass);
    near(found.unwrap(), 26.0 / 3.0, 1e-12, "0-100 C");
}

#[test]
fn a_small_swap_claims_no_direction_and_a_great_change_does() {
    let before = moles([("K2O", 0.2), ("Na2O", 0.1), ("CaO", 0.7), ("Al2O3", 0.4), ("SiO2", 3.8)]);
    let swapped = moles([
        ("K2O", 0.18),
        ("Na2O", 0.12),
        ("CaO", 0.7),
        ("Al2O3", 0.4),
        ("SiO2", 3.8),
    ]);
    let siliceous = moles([("K2O", 0.2), ("Na2O", 0.1), ("CaO", 0.7), ("Al2O3", 0.4), ("SiO2", 5.2)]);
    let model = ExpansionModel::Glost54;
    let small = model.difference(&before, &swapped).unwrap();
    assert!(small.same_family && !small.is_beyond_band());
    assert!(small.plus_minus_90 < 0.61);
    let great = model.difference(&before, &siliceous).unwrap();
    assert!(great.same_family && great.is_beyond_band() && great.value_per_million_per_kelvin < 0.0);
    assert_eq!(great.plus_minus_90, 0.61);
    let nothing = model.difference(&before, &before).unwrap();
    assert_eq!(
        (nothing.value_per_million_per_kelvin, nothing.plus_minus_90),
        (0.0, 0.0)
    );
    let lead = moles([("PbO", 1.0), ("Al2O3", 0.15), ("SiO2", 2.2)]);
    let far = model.difference(&before, &lead).unwrap();
    assert!(!far.same_family && far.plus_minus_90 > 1.2);
}

/// By hand: silica is 3.8 of 5.2 (73.1 mol %), 2.5 of 3.9 (64.1) and 2.2 of 3.6 (61.1).
#[test]
fn glazes_are_of_one_family_up_to_ten_mole_per_cent_apart_and_without_lead() {
    let with_silica = |silica: f64, lead: f64| {
        let fluxes = [("K2O", 0.2), ("Na2O", 0.1), ("CaO", 0.7), ("PbO", lead)];
        moles(fluxes.into_iter().chain([("Al2O3", 0.4), ("SiO2", silica)]))
    };
    let celadon = with_silica(3.8, 0.0);
    let change = |model: ExpansionModel, after: &OxideMoles| model.difference(&celadon, after).unwrap();
    let fitted = |after: &OxideMoles| change(ExpansionModel::Glost54, after);
    let (near_by, far) = (fitted(&with_silica(2.5, 0.0)), fitted(&with_silica(2.2, 0.0)));
    near(
        near_by.moved_mole_percent,
        100.0 * (3.8 / 5.2 - 2.5 / 3.9),
        1e-9,
        "near by",
    );
    near(far.moved_mole_percent, 100.0 * (3.8 / 5.2 - 2.2 / 3.6), 1e-9, "far");
    assert!(near_by.same_family && !far.same_family, "{near_by:?} {far:?}");
    assert!(far.plus_minus_90 > near_by.plus_minus_90);
    // 0.05 and 0.06 of 5.25 and 5.26 moles: 0.95 and 1.14 mol %.
    assert!(fitted(&with_silica(3.8, 0.05)).same_family && !fitted(&with_silica(3.8, 0.06)).same_family);
    assert!(!change(ExpansionModel::Appen, &with_silica(2.5, 0.0)).same_family);
}

#[test]
fn every_model_says_what_it_is() {
    for model in ExpansionModel::ALL {
        assert_eq!(ExpansionModel::from_name(model.name()), Some(model));
        assert!(model.source().len() > 20);
        let fitted = model.standing() == ModelStanding::Fitted;
        assert_eq!(fitted, model == ExpansionModel::Glost54);
        let (low, high) = model.range_celsius();
        assert!(low < high);
    }
    assert_eq!(ExpansionModel::default().name(), "glost 54-term");
}
