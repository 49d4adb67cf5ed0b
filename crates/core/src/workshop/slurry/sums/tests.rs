use super::super::survey::survey;
use super::super::{Amount, Bucket, Jar};
use super::*;
use crate::workshop::bench::{near, shelf};
use glost_chemistry::quantity::{Grams, Millilitres};

/// 10 l at 1.45 g/ml: 14 500 g, 7312.5 dry, 7187.5 water.
fn bucket() -> Survey {
    let millilitres = |amount: f64| Millilitres::new(amount).unwrap();
    let bucket = Bucket {
        jar: Jar {
            volume: millilitres(200.0),
            weight: Grams::new(290.0).unwrap(),
        },
        amount: Amount::Measured(millilitres(10_000.0)),
    };
    survey(&[bucket], PowderDensity::UNKNOWN).unwrap()
}

fn with(doses: &[&str], aim: Option<f64>) -> Option<Sums> {
    let shelf = shelf();
    let doses: Vec<_> = doses
        .iter()
        .map(|text| {
            let dose = Dose::parse(text).unwrap();
            let known = shelf.find(&dose.name).cloned();
            (dose, known)
        })
        .collect();
    let aim = aim.map(|aim| GramsPerMillilitre::new(aim).unwrap());
    sums(bucket(), PowderDensity::UNKNOWN, &doses, aim, &Scales::default())
}

/// 1 % of 7312.5 g is 73.125 g: 10 ml each to wet bentonite, 2 ml anything else.
#[test]
fn doses_are_shares_of_the_dry_powder() {
    let found = with(&["1 % white bentonite", "0.5 % tin oxide", "20 g gum arabic"], None).unwrap();
    let [bentonite, tin, gum] = found.doses.as_slice() else {
        panic!("three doses");
    };
    near(bentonite.grams, 73.125, "1 %");
    near(bentonite.pre_wet_millilitres, 731.25, "water for bentonite");
    near(bentonite.grams_between.0, found.survey.dry_grams_low / 100.0, "least");
    near(bentonite.grams_between.1, found.survey.dry_grams_high / 100.0, "most");
    near(bentonite.weighing_error_percent, 5.0 / 73.125, "half of a tenth");
    assert!(bentonite.is_bentonite && !tin.is_bentonite && bentonite.way_out.is_none());
    near(tin.pre_wet_millilitres, 73.125, "water for tin");
    near(gum.percent, 2000.0 / 7312.5, "20 g in per cent");
    assert_eq!((gum.grams_between, gum.known.is_none()), ((20.0, 20.0), true));
    let grams = 14_500.0 + 73.125 + 36.5625 + 20.0;
    // Bentonite's own grains are 2.5 g/ml, the others' count as the glaze's.
    let millilitres = 10_000.0 + 73.125 / 2.5 + 56.5625 / 2.6;
    near(found.new_volume_millilitres, millilitres, "volume");
    near(found.new_density, grams / millilitres, "density");
    // The water stands clear: half of 7187.5 ml is more than is wanted.
    near(found.new_pre_wet_millilitres, 0.0, "new water");
    let slaked = found.density_if_slaked_in_new_water.unwrap();
    near(slaked, (grams + 731.25) / (millilitres + 731.25), "slaked in new water");
    assert_eq!(
        (found.water_to_add_millilitres, found.water_to_remove_millilitres),
        (None, None)
    );
}

#[test]
fn what_does_not_stand_clear_has_to_be_new() {
    // 400 g of bentonite want 4000 ml; 3593.75 stand clear.
    let found = with(&["400 g bentonite"], None).unwrap();
    near(found.new_pre_wet_millilitres, 406.25, "new water");
    near(found.new_volume_millilitres, 10_000.0 + 400.0 / 2.5 + 406.25, "volume");
    assert_eq!(
        with(&["1 % tin oxide"], None).unwrap().density_if_slaked_in_new_water,
        None
    );
    let little = with(&["0.9 g tin oxide"], None).unwrap();
    assert!(little.doses[0].way_out.is_some());
    assert!(with(&["1 g tin oxide"], None).unwrap().doses[0].way_out.is_none());
}

/// To 1.40: (14 500 - 14 000) / 0.40 = 1250 ml more; to 1.60: (14 500 - 16 000) / 0.60, 2500 off.
#[test]
fn water_brings_a_bucket_to_its_density() {
    let thinner = with(&[], Some(1.40)).unwrap();
    near(thinner.water_to_add_millilitres.unwrap(), 1250.0, "to add");
    assert_eq!(
        (thinner.water_to_remove_millilitres, thinner.more_than_stands_clear),
        (Some(0.0), false)
    );
    near(thinner.new_density, 1.40, "density");
    near(thinner.new_volume_millilitres, 11_250.0, "volume");
    let thicker = with(&[], Some(1.60)).unwrap();
    near(thicker.water_to_remove_millilitres.unwrap(), 2500.0, "to take off");
    assert_eq!(
        (thicker.water_to_add_millilitres, thicker.more_than_stands_clear),
        (Some(0.0), false)
    );
    // (14 500 - 17 500) / 0.75 = 4000 ml: more than stands clear.
    assert!(with(&[], Some(1.75)).unwrap().more_than_stands_clear);
    assert!(with(&[], Some(2.03)).is_none() && with(&[], Some(1.0)).is_none());
}
