//! Bars on the scales: absorption, the saturation ratio, what is said for each use.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::Use;
use glost_core::evidence::ware::{
    AbsorptionFrom, AbsorptionGroup, BarAdvice, Clay, ClayReport, ClaySaid, FrostWhy, RatioSide, Standing, Suitability,
    TablewareWhy, Weighings, Why, read_clay,
};

fn clay(fields: &str) -> Clay {
    read_clay(&Source::from_text("c.yaml", &format!("clay: test\n{fields}\n"))).unwrap_or_else(|why| panic!("{why:?}"))
}

fn weighed(bars: &str) -> Clay {
    Clay {
        bars: Weighings::parse_several(bars).unwrap_or_else(|why| panic!("{why:?}")),
        ..Clay::unnamed()
    }
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found}, not {expected}");
}

fn outdoor(report: &ClayReport) -> Suitability {
    let mut uses = report.suitability.iter();
    uses.find(|found| found.usage == Use::Outdoor).unwrap().clone()
}

/// A mosaic for a bench outdoors, two bodies (invented; the sums done by hand): 5.0 % cold,
/// 6.0 % boiled, C/B 0.83; and 0.6, 1.0, 0.60, where 0.1 g on 2.4 g is 4 %.
#[test]
fn a_winter_mosaic_s_two_bodies() {
    let one = weighed("dry 412.0 g, soaked 432.6 g, boiled 436.7 g");
    let report = ClayReport::of(&one, 0.1);
    let found = report.weighed.clone().unwrap();
    near(found.cold.unwrap().value, 5.0, 0.05);
    near(found.boiled.unwrap().value, 6.0, 0.05);
    near(found.saturation.unwrap().value, 0.83, 0.005);
    assert_eq!(report.group, Some(AbsorptionGroup::IIa));
    let seat = outdoor(&report);
    assert_eq!(seat.standing, Standing::HighRisk);
    let Why::Outdoor { frost, ratio, .. } = seat.why else {
        panic!("{:?}", seat.why)
    };
    // Above the brick limit of 0.78: not for a seat.
    assert_eq!(
        (frost, ratio.map(|ratio| ratio.side)),
        (FrostWhy::PoresFill, Some(RatioSide::Above))
    );
    let cups = &report.suitability[0];
    assert_eq!((cups.usage, cups.standing), (Use::Tableware, Standing::WithCare));
    assert_eq!(cups.why, Why::Tableware(TablewareWhy::Seeps));

    let two = weighed("dry 398.0 g, soaked 400.4 g, boiled 402.0 g");
    let report = ClayReport::of(&two, 0.1);
    let found = report.weighed.clone().unwrap();
    near(found.cold.unwrap().value, 0.6, 0.05);
    near(found.boiled.unwrap().value, 1.0, 0.05);
    let ratio = found.saturation.unwrap();
    near(ratio.value, 0.60, 0.005);
    near(found.least_cold_uptake_grams().unwrap(), 2.4, 1e-9);
    // One step on what was taken up cold is the relative error of C/B: 0.1 of 2.4.
    near(ratio.plus_minus() / ratio.value, 0.1 / 2.4, 1e-9);
    near(100.0 * ratio.plus_minus() / ratio.value, 4.0, 0.5);
    let outside = outdoor(&report);
    assert_eq!(outside.standing, Standing::WithCare);
    assert!(
        matches!(
            outside.why,
            Why::Outdoor {
                frost: FrostWhy::FarBetter,
                ..
            }
        ),
        "{:?}",
        outside.why
    );
}

/// Every reading moved by half a step, all eight ways: C/B is never further off than said.
#[test]
fn the_scales_error_bounds_every_rounding() {
    for (dry, soaked, boiled) in [
        (398.0, 400.4, 402.0),
        (412.0, 432.6, 436.7),
        (60.0, 60.2, 60.9),
        (50.0, 55.0, 55.0),
    ] {
        let bars = |by: [f64; 3]| {
            weighed(&format!(
                "dry {} g, soaked {} g, boiled {} g",
                dry + by[0],
                soaked + by[1],
                boiled + by[2]
            ))
        };
        let central = bars([0.0; 3]).weighed(0.1).unwrap();
        let ratio = central.saturation.unwrap();
        for corner in 0..8 {
            let by = [0, 1, 2].map(|bit| if corner >> bit & 1 == 1 { 0.05 } else { -0.05 });
            // A corner in which the boiled bar falls below the soaked one can't be weighed.
            if boiled + by[2] < soaked + by[1] {
                continue;
            }
            let moved = bars(by).weighed(0.1).unwrap();
            let off = (moved.saturation.unwrap().value - ratio.value).abs();
            // To first order in the step: a twentieth of slack.
            assert!(
                off <= 1.05 * ratio.from_scales + 1e-9,
                "{off} and {}",
                ratio.from_scales
            );
            let cold = (moved.cold.unwrap().value - central.cold.unwrap().value).abs();
            assert!(cold <= 1.05 * central.cold.unwrap().from_scales);
        }
    }
}

/// Mean 5, standard deviation 0.1, three bars: t = 2.920 (Student's table, 2 degrees, 90 %).
#[test]
fn several_bars_show_their_spread() {
    let three = weighed("dry 100 g, boiled 104.9 g; dry 100 g, boiled 105.0 g; dry 100 g, boiled 105.1 g");
    let boiled = three.weighed(0.01).unwrap().boiled.unwrap();
    near(boiled.value, 5.0, 1e-9);
    near(boiled.from_spread.unwrap(), 2.920 * 0.1 / 3.0_f64.sqrt(), 1e-6);
    near(boiled.plus_minus(), boiled.from_spread.unwrap(), 1e-12);
    near(boiled.lowest, 4.9, 1e-9);
    near(boiled.highest, 5.1, 1e-9);
    near(three.absorption().unwrap(), 5.0, 1e-9);
    // Bars that agree are no better known than the scales read: half a step on each weight.
    let same = weighed("dry 100 g, boiled 105 g; dry 100 g, boiled 105 g");
    near(
        same.weighed(0.1).unwrap().boiled.unwrap().plus_minus(),
        0.05 * (1.0 + 1.05),
        1e-9,
    );
}

#[test]
fn how_the_absorption_was_come_by_is_told() {
    let from = |clay: &Clay| ClayReport::of(clay, 0.1).absorption.map(|(_, from)| from);
    let soaked = weighed("dry 100 g, soaked 105 g");
    assert_eq!(from(&soaked), Some(AbsorptionFrom::Soaked));
    let report = ClayReport::of(&soaked, 0.1);
    assert_eq!(report.group, None, "the standard boils");
    assert!(report.assumptions.contains(&ClaySaid::SoakedCold));
    let printed = clay("absorption: 2.5");
    assert_eq!(from(&printed), Some(AbsorptionFrom::Printed));
    assert_eq!(ClayReport::of(&printed, 0.1).group, Some(AbsorptionGroup::Ib));
    let nothing = clay("cone: 6");
    assert_eq!(from(&nothing), None);
    let said = ClayReport::of(&nothing, 0.1).suitability;
    assert!(said.iter().all(|found| found.standing == Standing::NotKnown));
    // Only dry: nothing was learnt.
    assert_eq!(from(&weighed("dry 100 g")), None);
}

#[test]
fn a_bar_that_takes_up_nothing_has_no_ratio() {
    let tight = weighed("dry 100 g, soaked 100 g, boiled 100 g");
    let report = ClayReport::of(&tight, 0.1);
    let found = report.weighed.clone().unwrap();
    assert_eq!((found.saturation, found.boiled.unwrap().value), (None, 0.0));
    assert_eq!(report.group, Some(AbsorptionGroup::Ia));
    // 0.2 g of 0.3 g on 0.1 g scales: its own error is a third.
    let hardly = weighed("dry 100 g, soaked 100.2 g, boiled 100.3 g");
    let side = |clay: &Clay| match outdoor(&ClayReport::of(clay, 0.1)).why {
        Why::Outdoor { ratio, .. } => ratio.map(|ratio| ratio.side),
        other => panic!("{other:?}"),
    };
    assert_eq!(side(&hardly), Some(RatioSide::SaysNothing));
    // Near 0.78 no side is claimed.
    let near_limit = weighed("dry 100 g, soaked 103.9 g, boiled 105 g");
    assert_eq!(side(&near_limit), Some(RatioSide::TooNear));
}

#[test]
fn a_hotter_firing_is_named_by_its_cone() {
    let next = |fields: &str| {
        let clay = clay(fields);
        ClayReport::of(&clay, 0.1).next
    };
    let names = |fields: &str| next(fields).cones.iter().map(|cone| cone.0).collect::<Vec<_>>();
    assert_eq!(names("cone: 04\nabsorption: 10"), ["03", "02"]);
    assert_eq!(names("cone: 01\nabsorption: 10"), ["1", "2"]);
    assert_eq!(names("cone: 6\nabsorption: 0.4"), [""; 0]);
    assert_eq!(next("cone: 6\nabsorption: 0.4").advice, BarAdvice::TightAlready);
    let no_cone = next("absorption: 5");
    assert_eq!((no_cone.advice, no_cone.cones), (BarAdvice::Hotter, vec![]));
    assert_eq!(next("cone: 6").advice, BarAdvice::WeighFirst);
}

#[test]
fn outdoors_nothing_is_called_usual() {
    for boiled in [100.0, 100.3, 101.0, 103.0, 105.0, 106.5, 112.0] {
        for cold in [0.0, 0.5, 0.9, 1.0] {
            let soaked = 100.0 + cold * (boiled - 100.0);
            let clay = weighed(&format!("dry 100 g, soaked {soaked} g, boiled {boiled} g"));
            let report = ClayReport::of(&clay, 0.01);
            assert_ne!(outdoor(&report).standing, Standing::Usual);
        }
    }
}

#[test]
fn weights_in_words_are_read_in_any_order_of_writing() {
    let read = |text: &str| {
        Weighings::parse_several(text)
            .map(|bars| bars.len())
            .map_err(|why| why.message)
    };
    for text in [
        "dry 412.0 g, soaked 432.6 g, boiled 436.7 g",
        "dry: 412 g soaked: 432.6 g boiled: 436.7 g",
        "boiled 436,7 g; dry 412,0 g",
        "DRY = 14.5 oz, boiled = 15.4 oz",
    ] {
        let count = read(text);
        // A semicolon parts bars: the boiled weight alone is no bar.
        assert_eq!(count.is_ok(), !text.starts_with("boiled"), "{text}: {count:?}");
    }
    for (text, says) in [
        ("", "no weights"),
        ("412 g", "which weight"),
        ("dry 412", "unit"),
        ("dry 412 g, soaked 400 g", "less soaked (400 g) than dry (412 g)"),
        (
            "dry 412 g, soaked 430 g, boiled 420 g",
            "less boiled (420 g) than soaked (430 g)",
        ),
        ("dry 0 g, boiled 3 g", "weighs nothing"),
        ("dry 412 g, dry 413 g", "twice"),
        ("dry 100 g, boiled 400 g", "300 % of its weight"),
    ] {
        assert!(
            read(text).is_err_and(|message| message.contains(says)),
            "{text}: {:?}",
            read(text)
        );
    }
}

#[test]
fn weights_written_finer_than_the_scales_read_show_finer_scales() {
    let step = |bars: &str, studio: f64| {
        let clay = weighed(bars);
        ClayReport::of(&clay, studio).weighed.unwrap().step_grams
    };
    assert_eq!(step("dry 101.22 g, boiled 103.78 g", 0.1), 0.01);
    assert_eq!(step("dry 101.2 g, boiled 103.8 g", 0.1), 0.1);
    assert_eq!(step("dry 101.2 g, boiled 103.8 g", 5.0), 0.1);
    assert_eq!(step("dry 101.2 g, boiled 103.8 g", 0.01), 0.01);
    // Ounces are no decimals of a gram: the studio's scales stand.
    assert_eq!(step("dry 2 lb 3 oz, boiled 2 lb 5 oz", 1.0), 1.0);
}
