//! The melt curve against an independent implementation, against glasses of papers it never
//! saw, against feldspars, and its tangent against differences
//! (`data/melt_curve/NOTICE.md` says where the numbers are from).

mod glass_support;

use std::collections::BTreeMap;

use glass_support::{Draw, cells, moles, random_glaze};
use glost_chemistry::glass::{MeltCurve, MeltPoint, MeltReading, MeltRefusal, MeltShape, MeltTangent};
use glost_chemistry::oxides::{Oxide, OxideGrams, OxideMoles};
use glost_chemistry::quantity::Celsius;

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, not {expected}");
}

fn celsius(degrees: f64) -> Celsius {
    Celsius::new(degrees).unwrap()
}

/// The words of the reference for a refusal.
fn word(refusal: &MeltRefusal) -> String {
    match refusal {
        MeltRefusal::Oxide { oxide, .. } => format!("box {oxide}"),
        MeltRefusal::FluxesHardlyAboveAlumina { .. } => "excess low".to_owned(),
        MeltRefusal::FluxesFarAboveAlumina { .. } => "excess high".to_owned(),
        MeltRefusal::Unlike { .. } => "leverage".to_owned(),
        MeltRefusal::Temperature { .. } => "temperature".to_owned(),
        MeltRefusal::UnknownOxides { .. } => "unknown oxides".to_owned(),
    }
}

/// What is told at a temperature, and for what it is refused.
fn told(curve: &MeltCurve, degrees: f64) -> (&'static str, Vec<String>) {
    match curve.at(celsius(degrees)) {
        MeltReading::Power(_) => ("number", Vec::new()),
        MeltReading::Thinner => ("thinner", Vec::new()),
        MeltReading::Thicker => ("thicker", Vec::new()),
        MeltReading::Refused(refusals) => ("refused", refusals.iter().map(word).collect()),
    }
}

struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn of(text: &str) -> Table {
        let mut lines = text.lines().filter(|line| !line.starts_with('#')).map(cells);
        let header = lines.next().unwrap();
        Table {
            header,
            rows: lines.collect(),
        }
    }

    fn cell<'a>(&self, row: &'a [String], name: &str) -> &'a str {
        &row[self.header.iter().position(|cell| cell == name).unwrap()]
    }

    fn number(&self, row: &[String], name: &str) -> f64 {
        self.cell(row, name).parse().unwrap()
    }

    fn glass(&self, row: &[String]) -> OxideMoles {
        let shares = self.header.iter().zip(row).filter_map(|(name, cell)| {
            let oxide = name.strip_suffix("_mol")?;
            Some((Oxide::from_formula(oxide)?, cell.parse().unwrap()))
        });
        OxideMoles::new(shares).unwrap()
    }
}

#[test]
fn the_reference_vectors_come_out_to_their_digits() {
    let text = include_str!("data/melt_curve/test_vectors.json");
    let vectors: Vec<serde_yaml::Value> = serde_yaml::from_str(text).unwrap();
    assert_eq!(vectors.len(), 12);
    for vector in &vectors {
        let name = vector["name"].as_str().unwrap();
        let pairs = vector["mol"].as_mapping().unwrap().iter();
        let amounts = pairs.map(|(oxide, amount)| (oxide.as_str().unwrap(), amount.as_f64().unwrap()));
        let curve = MeltCurve::of(&moles(amounts)).unwrap();
        let own = |key: &str| vector[key].as_f64().unwrap();
        near(curve.excess, own("excess"), 6e-7, name);
        near(curve.leverage, own("leverage"), 6e-5 * own("leverage").max(1.0), name);
        near(curve.shape.t12_kelvin(), own("t12_kelvin"), 6e-5, name);
        near(curve.shape.bend(), own("c"), 6e-7, name);
        for (power, degrees) in vector["celsius_at_power"].as_mapping().unwrap() {
            let power: f64 = power.as_str().unwrap().parse().unwrap();
            near(curve.shape.celsius_at(power), degrees.as_f64().unwrap(), 6e-4, name);
        }
        for point in vector["points"].as_sequence().unwrap() {
            let degrees = point["celsius"].as_f64().unwrap();
            let value = |key: &str| point[key].as_f64().unwrap();
            near(
                curve.shape.power_at(celsius(degrees)),
                value("formula_value"),
                6e-7,
                name,
            );
            near(
                curve.half_width_at(celsius(degrees)),
                value("half_width_90"),
                6e-7,
                name,
            );
            let refused: Vec<&str> = point["refused"]
                .as_sequence()
                .unwrap()
                .iter()
                .map(|word| word.as_str().unwrap())
                .collect();
            let (found, words) = told(&curve, degrees);
            assert_eq!(
                (found, words.iter().map(String::as_str).collect()),
                (point["told"].as_str().unwrap(), refused),
                "{name} {degrees}"
            );
        }
    }
}

/// Accuracy on papers that the curve never saw: 0.198 on average, 0.502 at 90 %, 92.5 % within
/// the band, as its fit states them.
#[test]
fn glasses_of_papers_not_in_the_fit_come_out_as_the_reference_says() {
    let glasses = Table::of(include_str!("data/melt_curve/check_glasses.csv"));
    let predictions = Table::of(include_str!("data/melt_curve/check_predictions.csv"));
    assert_eq!((glasses.rows.len(), predictions.rows.len()), (817, 817));
    let (mut errors, mut within) = (Vec::new(), 0);
    for (glass, expected) in glasses.rows.iter().zip(&predictions.rows) {
        let id = glasses.cell(glass, "id");
        assert_eq!(id, predictions.cell(expected, "id"));
        let degrees = glasses.number(glass, "celsius");
        let curve = MeltCurve::of(&glasses.glass(glass)).unwrap();
        let (found, words) = told(&curve, degrees);
        assert_eq!(found, predictions.cell(expected, "told"), "{id} {degrees}");
        assert_eq!(
            words.join("; "),
            predictions.cell(expected, "refused"),
            "{id} {degrees}"
        );
        if glasses.cell(glass, "inside_domain") == "False" {
            assert_eq!(found, "refused", "{id}");
        }
        near(
            curve.shape.power_at(celsius(degrees)),
            predictions.number(expected, "power"),
            1e-6,
            id,
        );
        near(
            curve.half_width_at(celsius(degrees)),
            predictions.number(expected, "half_width_90"),
            1e-6,
            id,
        );
        if let MeltReading::Power(power) = curve.at(celsius(degrees)) {
            let error = (power.value - glasses.number(glass, "log10_pascal_seconds")).abs();
            within += usize::from(error <= power.plus_minus_90);
            errors.push(error);
        }
    }
    assert_eq!(errors.len(), 738);
    errors.sort_by(f64::total_cmp);
    let mean = errors.iter().sum::<f64>() / 738.0;
    println!(
        "melt: mean error {mean:.3}, 90 % within {:.3}, {within} of 738 inside the band",
        errors[664]
    );
    near(mean, 0.198, 0.001, "mean absolute error");
    near(errors[664], 0.502, 0.005, "90 % within");
    assert_eq!(within, 683, "inside the band");
}

/// The rows' mol % are rounded to 0.01, the reference's values aren't: 0.002 where a number is
/// told, 0.01 of what is refused. Where fluxes only balance alumina the older tables were wrong by one to three powers of ten.
#[test]
fn feldspars_are_refused_and_what_is_told_of_their_kin_is_true() {
    let table = Table::of(include_str!("data/melt_curve/feldspars.csv"));
    let mut counts = BTreeMap::new();
    for row in &table.rows {
        let name = table.cell(row, "name");
        let degrees = table.number(row, "celsius");
        let curve = MeltCurve::of(&table.glass(row)).unwrap();
        let (found, words) = told(&curve, degrees);
        assert_eq!(found, table.cell(row, "must"), "{name} {degrees}");
        assert_eq!(words.join("; "), table.cell(row, "refused_for"), "{name} {degrees}");
        let rounding = if found == "number" { 2e-3 } else { 1e-2 };
        let power = curve.shape.power_at(celsius(degrees));
        near(power, table.number(row, "formula_value"), rounding, name);
        let half_width = curve.half_width_at(celsius(degrees));
        near(half_width, table.number(row, "half_width_90"), 2e-3, name);
        if let MeltReading::Power(power) = curve.at(celsius(degrees)) {
            let measured = table.number(row, "log10_pascal_seconds");
            near(measured, power.value, power.plus_minus_90, name);
        }
        *counts.entry(found).or_insert(0) += 1;
    }
    let expected = [("number", 40), ("refused", 348), ("thicker", 1), ("thinner", 13)];
    assert_eq!(counts.into_iter().collect::<Vec<_>>(), expected);
}

/// NIST Standard Reference Material 710, soda-lime-silica glass: certified viscosities of
/// 10^3 poise at 1181.7 C and 10^4 poise at 1019.0 C (composition and values from memory).
#[test]
fn the_viscosity_standard_lies_in_the_band() {
    let glass = OxideGrams::new([
        (Oxide::SiO2, 70.5),
        (Oxide::Na2O, 8.7),
        (Oxide::K2O, 7.7),
        (Oxide::CaO, 11.6),
        (Oxide::Sb2O3, 1.1),
    ]);
    let curve = MeltCurve::of(&glass.unwrap().to_moles()).unwrap();
    for (power, certified) in [(2.0, 1181.7), (3.0, 1019.0)] {
        let MeltPoint::Celsius(found) = curve.celsius_at(power) else {
            panic!("10^{power} isn't told");
        };
        println!("10^{power} Pa s: {:.1} +- {:.0} C", found.value, found.plus_minus_90);
        near(found.value, certified, 5.0, "the standard");
    }
    let (traces, percent) = curve.left_out.unwrap();
    assert_eq!(traces, [Oxide::Sb2O3]);
    assert!(percent < 0.5);
}

#[test]
fn tin_copper_and_cobalt_may_be_left_out_and_nothing_else() {
    let base = [("K2O", 0.3), ("CaO", 0.7), ("Al2O3", 0.4), ("SiO2", 3.8)];
    let with = |more: &[(&'static str, f64)]| moles(base.into_iter().chain(more.iter().copied()));
    assert_eq!(MeltCurve::leavable(&with(&[])), []);
    assert_eq!(
        MeltCurve::leavable(&with(&[("SnO2", 0.2), ("CuO", 0.1)])),
        [Oxide::SnO2, Oxide::CuO]
    );
    assert_eq!(MeltCurve::leavable(&with(&[("SnO2", 0.2), ("Fe2O3", 0.5)])), []);
    let shift = MeltCurve::shift(&with(&[("CoO", 0.1)]), &with(&[("B2O3", 0.2)])).unwrap();
    assert_eq!(shift.left_out, [Oxide::CoO]);
    assert!(shift.celsius < -10.0, "{shift:?}");
    let feldspar = moles([("K2O", 1.0), ("Al2O3", 1.0), ("SiO2", 6.0)]);
    assert_eq!(MeltCurve::shift(&feldspar, &with(&[])), None);
}

#[test]
fn unknown_oxides_are_left_out_as_traces_and_refused_above_one_per_cent() {
    let glass = |chrome: f64| moles([("Na2O", 1.0), ("CaO", 1.0), ("SiO2", 5.0), ("Cr2O3", chrome)]);
    let curve = |chrome: f64| MeltCurve::of(&glass(chrome)).unwrap();
    assert!(curve(0.07).inside_domain());
    assert_eq!(curve(0.07).shape, curve(0.0).shape);
    let refusals = curve(0.08).refusals;
    assert!(matches!(&refusals[..], [MeltRefusal::UnknownOxides { oxides, .. }] if oxides == &[Oxide::Cr2O3]));
}

#[test]
fn the_curve_falls_whatever_the_glass_and_its_size_is_nothing_to_it() {
    let mut draw = Draw(21);
    for _ in 0..500 {
        let glaze = random_glaze(&mut draw);
        let Some(curve) = MeltCurve::of(&glaze) else { continue };
        let powers: Vec<f64> = (3..16)
            .map(|step| curve.shape.power_at(celsius(100.0 * f64::from(step))))
            .collect();
        assert!(powers.windows(2).all(|pair| pair[1] < pair[0]), "{powers:?}");
        assert_eq!(Some(curve), MeltCurve::of(&glaze.scaled(4.0)));
    }
    assert_eq!(MeltCurve::of(&OxideMoles::ZERO), None);
}

#[test]
fn the_tangent_is_the_slope_in_each_oxide() {
    let mut draw = Draw(5);
    let mut checked = 0;
    for _ in 0..200 {
        let glaze = random_glaze(&mut draw);
        let at = celsius(1000.0 + 300.0 * draw.unit());
        let Some(tangent) = MeltTangent::of(&glaze, at) else {
            continue;
        };
        let power = |amounts: &OxideMoles| MeltShape::of(amounts).unwrap().power_at(at);
        near(tangent.power, power(&glaze), 1e-12, "the power itself");
        for (oxide, amount) in glaze.iter() {
            let step = 1e-6 * amount;
            let moved = |sign: f64| {
                let pairs = glaze
                    .iter()
                    .map(|(own, moles)| (own, if own == oxide { moles + sign * step } else { moles }));
                power(&OxideMoles::new(pairs).unwrap())
            };
            let (up, here, down) = (moved(1.0), tangent.power, moved(-1.0));
            let (right, left) = ((up - here) / step, (here - down) / step);
            // On a kink the two sides differ, and the tangent takes one of them.
            let own = tangent.per_mole(oxide);
            let off = (own - right).abs().min((own - left).abs());
            assert!(
                off <= 2e-3 * (own.abs() + right.abs() + 1.0 / glaze.total()),
                "{oxide}: {own}, {left}, {right}"
            );
            checked += 1;
        }
    }
    assert!(checked > 1000, "{checked}");
}

#[test]
fn the_tangents_row_says_at_most() {
    let glaze = moles([("K2O", 0.2), ("Na2O", 0.1), ("CaO", 0.7), ("Al2O3", 0.4), ("SiO2", 3.8)]);
    let tangent = MeltTangent::of(&glaze, celsius(1240.0)).unwrap();
    let row = tangent.row_at_most(tangent.power);
    let product: f64 = row.iter().zip(glaze.as_slice()).map(|(row, moles)| row * moles).sum();
    near(product, 0.0, 1e-9, "at its own power the row is just met");
}
