use super::super::{Amount, Dose, Jar, sums, survey};
use super::*;
use crate::workshop::bench::shelf;
use crate::workshop::scales::Scales;
use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity};

fn said(
    jar_millilitres: f64,
    density: f64,
    doses: &[&str],
    aim: Option<f64>,
    holds: Option<f64>,
    own: bool,
) -> Vec<Caution> {
    let bucket = Bucket {
        jar: Jar {
            volume: Millilitres::new(jar_millilitres).unwrap(),
            weight: Grams::new(jar_millilitres * density).unwrap(),
        },
        amount: Amount::Measured(Millilitres::new(10_000.0).unwrap()),
    };
    let shelf = shelf();
    let doses: Vec<_> = doses.iter().map(|text| Dose::parse(text).unwrap()).collect();
    let doses: Vec<_> = doses
        .into_iter()
        .map(|dose| (dose.clone(), shelf.find(&dose.name).cloned()))
        .collect();
    let found = survey(&[bucket], PowderDensity::UNKNOWN).unwrap();
    let aim = aim.and_then(GramsPerMillilitre::new);
    let sums = sums(found, PowderDensity::UNKNOWN, &doses, aim, &Scales::default()).unwrap();
    cautions(&[bucket], &sums, holds, own)
}

#[test]
fn a_bucket_that_is_as_usual_brings_no_caution() {
    assert_eq!(said(100.0, 1.45, &[], None, Some(10_000.0), false), []);
    assert_eq!(said(99.0, 1.45, &[], None, None, false), [Caution::SmallJar(99.0)]);
    for (density, usual) in [(1.25, true), (1.80, true), (1.24, false), (1.81, false)] {
        assert_eq!(
            said(100.0, density, &[], None, None, false).is_empty(),
            usual,
            "{density}"
        );
    }
    let over = said(100.0, 1.45, &[], Some(1.40), Some(11_200.0), false);
    assert!(
        matches!(over.as_slice(), [Caution::Overflows { holds, comes_to }] if *holds == 11_200.0 && (comes_to - 11_250.0).abs() < 1e-6)
    );
}

#[test]
fn doses_and_water_bring_their_own() {
    let tin = said(100.0, 1.45, &["1 % tin oxide"], None, None, false);
    assert_eq!(tin, [Caution::AnotherGlaze]);
    assert_eq!(said(100.0, 1.45, &["1 % tin oxide"], None, None, true), []);
    let unknown = said(100.0, 1.45, &["1 % stardust"], None, None, false);
    assert_eq!(
        unknown,
        [Caution::UnknownDose("stardust".to_owned()), Caution::AnotherGlaze]
    );
    assert_eq!(
        said(100.0, 1.45, &["1 % stardust"], None, None, true),
        [],
        "its own powder by the glaze's name"
    );
    // 2 g on 0.1 g scales: 2.5 % off; 2.5 g are 2 %.
    let rough = said(100.0, 1.45, &["2 g tin oxide"], None, None, true);
    assert!(
        matches!(rough.as_slice(), [Caution::RoughDose { material, error_percent }] if material == "tin oxide" && (error_percent - 2.5).abs() < 1e-9)
    );
    assert_eq!(said(100.0, 1.45, &["2.5 g tin oxide"], None, None, true), []);
    // Less than 1 g can't be weighed at all: a way out is told instead.
    assert_eq!(said(100.0, 1.45, &["0.5 g tin oxide"], None, None, true), []);
    let slaked = said(100.0, 1.45, &["1 % bentonite"], None, None, true);
    assert!(slaked.contains(&Caution::ClearWaterFirst));
    assert_eq!(said(100.0, 1.45, &[], Some(1.60), None, true), [Caution::SaltsLeave]);
    assert_eq!(
        said(100.0, 1.45, &[], Some(1.75), None, true),
        [Caution::MoreThanStandsClear, Caution::SaltsLeave]
    );
    let cobalt = said(100.0, 1.45, &["1 % cobalt carbonate"], None, None, true);
    assert!(
        cobalt
            .iter()
            .any(|one| matches!(one, Caution::Substance(hazards::Caution::Poisons(_))))
    );
}
