use super::*;
use crate::workshop::bench::near;

fn jar(millilitres: f64, grams: f64) -> Jar {
    Jar {
        volume: Millilitres::new(millilitres).unwrap(),
        weight: Grams::new(grams).unwrap(),
    }
}

fn measured(jar: Jar, millilitres: f64) -> Bucket {
    Bucket {
        jar,
        amount: Amount::Measured(Millilitres::new(millilitres).unwrap()),
    }
}

/// Brongniart: 10 l at 1.45 weigh 14 500 g; (14 500 - 10 000) 2.6 / 1.6 = 7312.5 g are dry.
#[test]
fn a_jar_tells_the_powder_in_a_bucket() {
    let powder = PowderDensity::UNKNOWN;
    let found = survey(&[measured(jar(200.0, 290.0), 10_000.0)], powder).unwrap();
    near(found.density, 1.45, "density");
    near(found.slurry_grams, 14_500.0, "slurry");
    near(found.dry_grams, 7312.5, "dry");
    near(found.water_grams(), 7187.5, "water");
    // At 2.5 g/ml 7500 g, at 2.7 7147.06 g; a jar 1 % off puts the slurry's weight 1 % off.
    let jar_off = |share: f64| (14_500.0 / share - 10_000.0) * 2.6 / 1.6 - 7312.5;
    let (low, high) = (
        (4500.0 * 2.7 / 1.7 - 7312.5f64).hypot(jar_off(1.01)),
        (7500.0 - 7312.5f64).hypot(jar_off(0.99)),
    );
    near(found.dry_grams_low, 7312.5 - low, "least");
    near(found.dry_grams_high, 7312.5 + high, "most");
    let weighed = Bucket {
        jar: jar(200.0, 290.0),
        amount: Amount::Weighed(Grams::new(14_500.0).unwrap()),
    };
    let same = survey(&[weighed], powder).unwrap();
    near(same.volume_millilitres, 10_000.0, "volume");
    near(same.dry_grams, 7312.5, "dry by weight");
}

#[test]
fn buckets_poured_together_add_up() {
    let powder = PowderDensity::new(2.6, 0.0).unwrap();
    let (one, other) = (measured(jar(100.0, 140.0), 3000.0), measured(jar(100.0, 160.0), 1000.0));
    let found = survey(&[one, other], powder).unwrap();
    near(found.slurry_grams, 5800.0, "slurry");
    near(found.volume_millilitres, 4000.0, "volume");
    near(found.density, 1.45, "density");
    // (4200 - 3000 + 1600 - 1000) 2.6 / 1.6
    near(found.dry_grams, 2925.0, "dry");
    // Each jar for itself, in quadrature: 1 % of 4200 and of 1600 g of slurry, nearly.
    let jar_off = |grams: f64, share: f64| (grams / share - grams) * 2.6 / 1.6;
    near(
        found.dry_grams_high,
        2925.0 + jar_off(4200.0, 0.99).hypot(jar_off(1600.0, 0.99)),
        "most",
    );
    near(
        found.dry_grams_low,
        2925.0 - jar_off(4200.0, 1.01).hypot(jar_off(1600.0, 1.01)),
        "least",
    );
}

#[test]
fn water_paste_and_an_empty_jar_are_refused() {
    let powder = PowderDensity::UNKNOWN;
    let why = |grams: f64, millilitres: f64| survey(&[measured(jar(100.0, grams), millilitres)], powder).err();
    assert_eq!(why(100.0, 1000.0), Some(SurveyTrouble::LighterThanWater(1.0)));
    assert_eq!(why(0.0, 1000.0), Some(SurveyTrouble::NothingInJar));
    // 2.6 g/ml grains packed to 0.64: 2.024 g/ml.
    assert!(
        matches!(why(202.5, 1000.0), Some(SurveyTrouble::TooDense(density, most)) if density > 2.02 && most < 2.03)
    );
    assert_eq!((why(202.0, 1000.0), why(101.0, 1000.0)), (None, None));
    assert_eq!(why(145.0, 0.0), Some(SurveyTrouble::NothingInBucket));
}
