//! Wet buckets: published examples, the acceptance scenario, and buckets at
//! random against a sum done another way.

#[allow(dead_code)]
mod invented;

use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity};
use glost_core::workshop::scales::Scales;
use glost_core::workshop::scales::parse_scales;
use glost_core::workshop::slurry::{
    Amount, Bucket, Dose, Held, Jar, Sieve, Survey, SurveyTrouble, dry_grams, rescue, sums, survey,
};
use glost_tests::{data, library};
use invented::for_all;
use proptest::prelude::*;
use serde::Deserialize;
use serde_yaml::Value;

fn jar(millilitres: f64, grams: f64) -> Jar {
    Jar {
        volume: Millilitres::new(millilitres).unwrap(),
        weight: Grams::new(grams).unwrap(),
    }
}

fn weighed(jar: Jar, grams: f64) -> Bucket {
    Bucket {
        jar,
        amount: Amount::Weighed(Grams::new(grams).unwrap()),
    }
}

fn litres(jar: Jar, litres: f64) -> Bucket {
    Bucket {
        jar,
        amount: Amount::Measured(Millilitres::new(1000.0 * litres).unwrap()),
    }
}

fn powder(value: f64) -> PowderDensity {
    PowderDensity::new(value, PowderDensity::USUAL_BAND).unwrap()
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, not {expected}");
}

/// The printed examples in `data/slurry.yaml`, by their ids.
fn printed(id: &str, key: &str) -> f64 {
    let file: Value = serde_yaml::from_str(&data("slurry.yaml")).unwrap();
    let examples = file["worked_examples"].as_sequence().unwrap();
    let example = examples
        .iter()
        .find(|example| example["id"].as_str() == Some(id))
        .unwrap();
    let figures = ["given", "printed", "computed"].map(|part| &example[part][key]);
    let own = &example[key];
    figures.into_iter().chain([own]).find_map(Value::as_f64).unwrap()
}

#[test]
fn a_litre_of_1500_grams_holds_833() {
    let litre = survey(
        &[litres(jar(1000.0, printed("SL1", "L_g_per_litre")), 1.0)],
        powder(printed("SL1", "G")),
    )
    .unwrap();
    near(litre.dry_grams, printed("SL1", "dry_g_per_litre"), 0.05);
    near(litre.water_grams(), printed("SL1", "water_g_per_litre"), 0.05);
}

#[test]
fn a_slip_at_1_5_has_four_fifths_of_its_powder_in_water() {
    let slip = survey(&[weighed(jar(1000.0, 1500.0), 25_200.0)], powder(2.5)).unwrap();
    near(slip.dry_grams, 1000.0 * printed("SL2", "batch_dry_kg"), 0.5);
    near(slip.water_grams(), 1000.0 * printed("SL2", "water_kg"), 0.5);
    // Brought to 1.75: the printed example decants 5.6 kg.
    let to = GramsPerMillilitre::new(printed("SL3", "target_sg"));
    let brought = sums(slip, powder(2.5), &[], to, &Scales::default()).unwrap();
    let off = brought.water_to_remove_millilitres.unwrap();
    near(off, 1000.0 * printed("SL3", "excess_water_to_decant_kg"), 0.5);
    near(brought.new_density, 1.75, 1e-9);
}

#[test]
fn solids_take_up_room_in_the_jar() {
    // 50 ml that weigh 65 g hold 24 g; the wrong answer on the same list, 15 g,
    // forgets the volume of the solids.
    let right = dry_grams(65.0, 50.0, printed("SL4", "G"));
    near(right, printed("SL4", "exact_here_g"), 0.0005);
    assert!((right - 15.0).abs() > 9.0);
}

#[test]
fn a_pint_of_32_ounces_holds_20() {
    // The rule takes an imperial pint of water as 20 oz; by definition it is 20.04.
    let by_rule = dry_grams(printed("SL6", "pint_weight_oz"), 20.0, printed("SL6", "G"));
    near(by_rule, 20.0, 1e-9);
    let exact = GramsPerMillilitre::parse("32 oz/imperial pint").unwrap();
    let pint = GramsPerMillilitre::new(1.0).unwrap().ounces_per_imperial_pint();
    let ounces = dry_grams(exact.ounces_per_imperial_pint(), pint, 2.5);
    near(ounces, 20.0, 0.08);
}

#[derive(Deserialize)]
struct Scenario {
    slurry: f64,
    density: f64,
    litres: f64,
    dry: f64,
    #[serde(rename = "dry_for_powder_2.7_and_2.5")]
    dry_for_powder: [f64; 2],
    dry_for_jar_misread_by_5_ml: [f64; 2],
    cobalt: f64,
    cobalt_for_powder: [f64; 2],
    cobalt_on_gram_scales: f64,
    cobalt_error_percent: f64,
    bentonite: f64,
    bentonite_water: f64,
    density_if_slaked_in_new_water: f64,
    tryout_slurry: f64,
    tryout_dry: f64,
    tryout_cobalt: f64,
    strong: Strong,
    premix: Premix,
    helper_cobalt: f64,
    helper_percent: f64,
    more_base_kg: f64,
    more_water_litres: f64,
}

#[derive(Deserialize)]
struct Strong {
    slurry: f64,
    dry: f64,
    cobalt: f64,
    percent: f64,
    error_percent: f64,
    plain_parts: f64,
}

#[derive(Deserialize)]
struct Premix {
    cobalt: f64,
    base: f64,
    percent: f64,
    #[serde(rename = "use")]
    used: f64,
    error_percent: f64,
}

fn scenario() -> (Scenario, Survey) {
    let scenario: Scenario = serde_yaml::from_str(&data("scenario_bucket.yaml")).unwrap();
    let bucket = survey(&[weighed(jar(500.0, 735.0), 13_480.0 - 620.0)], powder(2.6)).unwrap();
    (scenario, bucket)
}

#[test]
fn the_wet_bucket_holds_what_the_scenario_says() {
    let (told, bucket) = scenario();
    near(bucket.slurry_grams, told.slurry, 1e-9);
    near(bucket.density, told.density, 1e-12);
    near(bucket.volume_millilitres / 1000.0, told.litres, 0.005);
    near(bucket.dry_grams, told.dry, 0.5);
    for (density, dry) in [2.7, 2.5].into_iter().zip(told.dry_for_powder) {
        near(
            dry_grams(bucket.slurry_grams, bucket.volume_millilitres, density),
            dry,
            0.5,
        );
    }
    for (read, dry) in [505.0, 495.0].into_iter().zip(told.dry_for_jar_misread_by_5_ml) {
        near(
            dry_grams(bucket.slurry_grams, bucket.slurry_grams / 735.0 * read, 2.6),
            dry,
            1.0,
        );
    }
    // Both misses in quadrature.
    let miss = |a: f64, b: f64| (told.dry - a).hypot(told.dry - b);
    near(
        bucket.dry_grams_low,
        told.dry - miss(told.dry_for_powder[0], told.dry_for_jar_misread_by_5_ml[0]),
        2.0,
    );
    near(
        bucket.dry_grams_high,
        told.dry + miss(told.dry_for_powder[1], told.dry_for_jar_misread_by_5_ml[1]),
        2.0,
    );
}

#[test]
fn its_cobalt_and_bentonite_are_dosed_on_dry() {
    let (told, bucket) = scenario();
    for (density, cobalt) in [2.7, 2.5].into_iter().zip(told.cobalt_for_powder) {
        near(
            0.004 * dry_grams(bucket.slurry_grams, bucket.volume_millilitres, density),
            cobalt,
            0.05,
        );
    }
    let doses = ["0.4 % cobalt carbonate", "1 % bentonite"].map(|text| (Dose::parse(text).unwrap(), None));
    let scales = parse_scales("1 g to 15 kg").unwrap();
    let worked = sums(bucket, powder(2.6), &doses, None, &scales).unwrap();
    let (cobalt, bentonite) = (&worked.doses[0], &worked.doses[1]);
    near(cobalt.grams, told.cobalt, 0.05);
    near(cobalt.grams.round(), told.cobalt_on_gram_scales, 0.0);
    near(cobalt.weighing_error_percent, told.cobalt_error_percent, 0.5);
    near(bentonite.grams, told.bentonite, 0.5);
    near(bentonite.pre_wet_millilitres, told.bentonite_water, 2.5);
    near(
        worked.density_if_slaked_in_new_water.unwrap(),
        told.density_if_slaked_in_new_water,
        0.0005,
    );
    // Out of its own water the density holds, and rises by what went in.
    assert!(worked.new_density > bucket_density(&worked.survey) && worked.new_density < 1.48);
}

fn bucket_density(survey: &Survey) -> f64 {
    survey.slurry_grams / survey.volume_millilitres
}

#[test]
fn a_try_out_too_small_for_the_scales_has_its_ways_out() {
    let (told, bucket) = scenario();
    let try_out = survey(&[weighed(jar(500.0, 735.0), told.tryout_slurry)], powder(2.6)).unwrap();
    near(try_out.dry_grams, told.tryout_dry, 0.5);
    let dose = (Dose::parse("0.4 % cobalt carbonate").unwrap(), None);
    let scales = parse_scales("1 g to 15 kg").unwrap();
    let worked = sums(try_out, powder(2.6), &[dose], None, &scales).unwrap();
    near(worked.doses[0].grams, told.tryout_cobalt, 0.005);
    let way = worked.doses[0].way_out.unwrap();
    let strong = way.strong.unwrap();
    near(strong.base_grams, told.strong.dry, 1e-9);
    near(strong.little_grams, told.strong.cobalt, 1e-9);
    near(strong.percent, told.strong.percent, 1e-9);
    near(strong.error_percent, told.strong.error_percent, 1e-9);
    near(strong.plain_parts, told.strong.plain_parts, 1e-9);
    near(
        strong.base_grams * bucket.slurry_grams / bucket.dry_grams,
        told.strong.slurry,
        0.5,
    );
    let premix = way.premix.unwrap();
    near(premix.little_grams, told.premix.cobalt, 1e-9);
    near(premix.base_grams, told.premix.base, 1e-9);
    near(premix.percent, told.premix.percent, 1e-9);
    near(premix.use_grams, told.premix.used, 0.5);
    near(premix.error_percent, told.premix.error_percent, 0.5);
}

#[test]
fn too_much_cobalt_is_seen_for_what_it_is() {
    let (told, bucket) = scenario();
    let held = Held {
        grams: told.helper_cobalt,
        wanted_percent: 0.4,
        base_share: 1.0,
    };
    let rescued = rescue(&bucket, held, 2.6).unwrap();
    near(rescued.percent, told.helper_percent, 0.005);
    // The scenario worked on from 0.77 rounded; unrounded it is 6.12.
    near(rescued.others_to_add_grams / 1000.0, told.more_base_kg, 0.1);
    near(rescued.water_to_add_millilitres / 1000.0, told.more_water_litres, 0.05);
    // And the sum comes out: what is in then is what was wanted.
    near(
        100.0 * told.helper_cobalt / (rescued.other_grams + rescued.others_to_add_grams),
        0.4,
        1e-12,
    );
    assert!(rescued.volume_millilitres > 16_000.0);
    // What can't be: more cobalt than powder.
    assert_eq!(rescue(&bucket, Held { grams: 7000.0, ..held }, 2.6), None);
}

#[test]
fn two_buckets_poured_together_hold_both() {
    let (_, one) = scenario();
    let buckets = [weighed(jar(500.0, 735.0), 12_860.0), litres(jar(500.0, 690.0), 4.0)];
    let other = survey(&buckets[1..], powder(2.6)).unwrap();
    let both = survey(&buckets, powder(2.6)).unwrap();
    near(both.dry_grams, one.dry_grams + other.dry_grams, 1e-9);
    near(both.volume_millilitres, one.volume_millilitres + 4000.0, 1e-9);
    near(
        both.density,
        (12_860.0 + 5520.0) / (one.volume_millilitres + 4000.0),
        1e-12,
    );
    // The powder is one and the same, the jars are two.
    assert!(both.dry_grams_low > one.dry_grams_low + other.dry_grams_low);
    assert!(both.dry_grams_high < one.dry_grams_high + other.dry_grams_high);
}

#[test]
fn a_jar_that_is_no_slurry_is_refused() {
    let at = |grams: f64| survey(&[weighed(jar(500.0, grams), 5000.0)], powder(2.6));
    assert_eq!(at(0.0), Err(SurveyTrouble::NothingInJar));
    assert!(matches!(at(450.0), Err(SurveyTrouble::LighterThanWater(_))));
    assert!(matches!(at(500.0), Err(SurveyTrouble::LighterThanWater(_))));
    assert!(matches!(at(1450.0), Err(SurveyTrouble::TooDense(_, _))));
    assert_eq!(
        survey(&[weighed(jar(500.0, 735.0), 0.0)], powder(2.6)),
        Err(SurveyTrouble::NothingInBucket)
    );
    assert_eq!(survey(&[], powder(2.6)), Err(SurveyTrouble::NothingInBucket));
}

#[test]
fn buckets_at_random_agree_with_a_sum_done_by_volumes() {
    let cases = (
        1.05..1.9_f64,
        0.05..60.0_f64,
        2.4..3.2_f64,
        0.0..0.2_f64,
        0.05..5.0_f64,
        1.1..1.7_f64,
    );
    for_all(512, cases, |(density, litres_in, own, band, percent, aim)| {
        prop_assume!(density < 1.0 + 0.6 * (own - 1.0) && aim < 1.0 + 0.6 * (own - 1.0));
        let powder = PowderDensity::new(own, band).unwrap();
        let bucket = survey(&[litres(jar(250.0, 250.0 * density), litres_in)], powder).unwrap();
        // Another way: the share of the volume that is solid.
        let dry = |density: f64, own: f64| {
            let solid = (density - 1.0) / (own - 1.0);
            solid * litres_in * 1000.0 * own
        };
        let expected = dry(density, own);
        prop_assert!((bucket.dry_grams / expected - 1.0).abs() < 1e-9);
        let misses = |up: bool| -> f64 {
            [
                dry(density, own - band),
                dry(density, own + band),
                dry(density / 0.99, own),
                dry(density / 1.01, own),
            ]
            .map(|other| other - expected)
            .into_iter()
            .filter(|off| (*off > 0.0) == up)
            .map(|off| off * off)
            .sum::<f64>()
            .sqrt()
        };
        let low = (expected - misses(false)).max(0.0);
        let high = (expected + misses(true)).min(bucket.slurry_grams);
        prop_assert!(
            (bucket.dry_grams_low - low).abs() < 1e-6 * expected,
            "{} {low}",
            bucket.dry_grams_low
        );
        prop_assert!(
            (bucket.dry_grams_high - high).abs() < 1e-6 * expected,
            "{} {high}",
            bucket.dry_grams_high
        );
        prop_assert!(bucket.dry_grams_low <= expected && expected <= bucket.dry_grams_high);
        let dose = (Dose::parse(&format!("{percent} % ochre")).unwrap(), None);
        let worked = sums(
            bucket,
            powder,
            &[dose],
            GramsPerMillilitre::new(aim),
            &Scales::default(),
        )
        .unwrap();
        prop_assert!((worked.doses[0].grams / (percent / 100.0 * expected) - 1.0).abs() < 1e-9);
        let (add, remove) = (
            worked.water_to_add_millilitres.unwrap(),
            worked.water_to_remove_millilitres.unwrap(),
        );
        prop_assert!(add == 0.0 || remove == 0.0);
        // Weigh the whole bucket again after it: grams over millilitres.
        let total_dry = expected * (1.0 + percent / 100.0);
        let water = litres_in * 1000.0 - expected / own + add - remove;
        let then = (total_dry + water) / (total_dry / own + water);
        prop_assert!((then - aim).abs() < 1e-6, "{then} {aim}");
        prop_assert!((worked.new_density - aim).abs() < 1e-9);
        Ok(())
    });
}

#[test]
fn an_addition_takes_room_by_its_own_density() {
    let shelf = library(
        "materials:\n  - { name: tin oxide, kind: colourant, formula: SnO2, density: 6.85, source: CRC Handbook }\n",
    );
    let bucket = survey(&[litres(jar(1000.0, 1450.0), 10.0)], powder(2.6)).unwrap();
    let dose = (
        Dose::parse("500 g tin oxide").unwrap(),
        shelf.find("tin oxide").cloned(),
    );
    let worked = sums(bucket, powder(2.6), &[dose], None, &Scales::default()).unwrap();
    near(worked.new_volume_millilitres, 10_000.0 + 500.0 / 6.85, 1e-9);
    near(worked.new_density, 15_000.0 / (10_000.0 + 500.0 / 6.85), 1e-9);
    near(worked.doses[0].pre_wet_millilitres, 1000.0, 1e-9);
}

#[test]
fn more_pre_wetting_than_stands_clear_is_new_water() {
    let bucket = survey(&[litres(jar(1000.0, 1500.0), 1.0)], powder(2.6)).unwrap();
    let clear = 0.5 * bucket.water_grams();
    let dose = (Dose::parse("60 g bentonite").unwrap(), None);
    let worked = sums(bucket, powder(2.6), &[dose], None, &Scales::default()).unwrap();
    near(worked.new_pre_wet_millilitres, 600.0 - clear, 1e-9);
    let water = worked.new_pre_wet_millilitres;
    near(
        worked.new_density,
        (1560.0 + water) / (1000.0 + 60.0 / 2.6 + water),
        1e-9,
    );
}

fn rows(file: &str) -> Vec<Vec<String>> {
    let text = data(file);
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

#[test]
fn the_sieves_are_those_of_the_standard() {
    let rows = rows("sieves.csv");
    assert_eq!(rows.len(), Sieve::all().len());
    for row in rows {
        let sieve = Sieve::with_mesh(row[0].parse().unwrap()).unwrap();
        near(sieve.micrometres, row[1].parse().unwrap(), 0.0);
        near(sieve.openings_per_inch(), row[3].parse().unwrap(), 0.051);
    }
}

#[test]
fn a_unit_of_volume_is_its_definition() {
    // Names as one would type them, in the order of the table.
    let typed = [
        ("metric cup", 250.0),
        ("us cup", 236.588_236_5),
        ("imperial cup", 284.130_625),
        ("us fl oz", 29.573_529_562_5),
        ("imperial fl oz", 28.413_062_5),
        ("us pint", 473.176_473),
        ("imperial pint", 568.261_25),
        ("us quart", 946.352_946),
        ("imperial quart", 1136.5225),
        ("us gallon", 3_785.411_784),
        ("imperial gallon", 4546.09),
        ("tablespoon", 15.0),
        ("cubic inch", 16.387_064),
    ];
    let table = data("volume_units.csv");
    for (unit, millilitres) in typed {
        let read = Millilitres::parse(&format!("1 {unit}"), Millilitres::METRIC_CUP).unwrap();
        near(read.millilitres(), millilitres, 1e-9 * millilitres);
        assert!(table.contains(&format!(",{millilitres},")), "{unit} isn't in the table");
    }
    near(Grams::parse("1 oz").unwrap().grams(), 28.349_523_125, 0.0);
    near(Grams::parse("1 lb").unwrap().grams(), 453.592_37, 0.0);
    for (text, which) in [
        ("2 pints", "which pint?"),
        ("1 gallon", "which gallon?"),
        ("3 fl oz", "which fl oz?"),
    ] {
        let bad = Millilitres::parse(text, Millilitres::METRIC_CUP).unwrap_err();
        assert_eq!(bad.message, which);
    }
}
