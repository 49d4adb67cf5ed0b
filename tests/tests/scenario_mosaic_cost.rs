//! A mosaic for an outdoor bench: what its glaze costs, to the digits of the
//! acceptance scenario (invented prices; each figure follows by hand from the
//! prices and shares beside it).

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Library;
use glost_chemistry::quantity::{Coverage, Grams, GramsPerMillilitre, SquareMetres};
use glost_core::workshop::cost::{Cost, CostOrder, Extent, GlazeCost, Layer, glaze_cost};
use glost_core::workshop::wetting::{Assumption, WaterAim};
use glost_tests::{glaze, library};

const PRICES: [(&str, &str); 6] = [
    ("spar", "1.60 EUR/kg"),
    ("silica", "1.10 EUR/kg"),
    ("whiting", "1.00 EUR/kg"),
    ("kaolin", "1.50 EUR/kg"),
    ("dolomite", "1.20 EUR/kg"),
    ("cobalt carbonate", "85 EUR/kg"),
];

/// The six materials, one of them with another price, or with none.
fn priced(changed: &str, price: Option<&str>) -> Library {
    let mut text = "materials:\n".to_owned();
    for (name, usual) in PRICES {
        text.push_str(&format!(
            "  - {{ name: {name}, kind: mineral, analysis: unknown, source: invented"
        ));
        match price {
            _ if name != changed => text.push_str(&format!(", price: {usual} }}\n")),
            Some(other) => text.push_str(&format!(", price: {other} }}\n")),
            None => text.push_str(" }\n"),
        }
    }
    library(&text)
}

fn bench(library: &Library) -> Glaze {
    glaze(
        library,
        "spar: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6",
        "cobalt carbonate: 0.8",
    )
}

fn costed(library: &Library) -> GlazeCost {
    let glaze = bench(library);
    let order = CostOrder {
        glaze: &glaze,
        water: WaterAim::Density(GramsPerMillilitre::new(1.45).unwrap()),
        layer: Layer {
            coverage: Coverage::new(0.9),
            piece: Grams::new(12.0),
            loss_percent: Some(20.0),
        },
        extent: SquareMetres::new(2.6 + 1.6).map(Extent::Area),
        currency: Some("EUR"),
    };
    glaze_cost(&order).unwrap()
}

#[track_caller]
fn reads(value: Option<f64>, digits: &str) {
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len());
    assert_eq!(format!("{:.decimals$}", value.unwrap()), digits);
}

#[test]
fn a_bench_of_mosaic_takes_what_the_scenario_says() {
    let cost = costed(&priced("", None));
    let total = cost.total.unwrap();
    // 4.2 m2 x 0.9 kg / 0.8 = 4.725 kg, which the scenario rounds to 4.73.
    assert!((total.dry_grams - 4725.0).abs() < 1e-9);
    reads(Some(total.volume_millilitres / 1000.0), "6.5");
    reads(total.amount, "9.40");
    reads(cost.base.per_kg(), "1.33");
    reads(cost.per_kg, "1.99");
    reads(cost.per_square_metre, "2.24");
    assert!(cost.recipe.is_whole());
    // 0.8 of 100.8 at 85 is 0.6746 of 1.9901 in a kilogram.
    let (name, share) = cost.dearest.unwrap();
    assert_eq!(name, "cobalt carbonate");
    assert!((share - 68.0 / (132.6 + 68.0)).abs() < 1e-12);
    // 12 g on a piece, a fifth lost: 15 g of 1.9901 a kilogram.
    assert!((cost.per_piece.unwrap() - 0.015 * (132.6 + 68.0) / 100.8).abs() < 1e-12);
    // Layer, loss and water are told: nothing is taken as common practice.
    assert_eq!(cost.on_ware.assumptions, []);
    assert!(!cost.assumptions.contains(&Assumption::WaterUnsaid));
}

#[test]
fn a_price_nobody_told_is_named_and_never_nothing() {
    let cost = costed(&priced("cobalt carbonate", None));
    let unknown: Vec<String> = cost.recipe.unknown.iter().map(ToString::to_string).collect();
    assert_eq!(unknown, ["cobalt carbonate"]);
    assert!(!cost.recipe.is_whole());
    // The rest over the whole weight: the least it can be.
    assert!((cost.per_kg.unwrap() - 132.6 / 100.8).abs() < 1e-12);
    assert!(cost.base.is_whole());
}

#[test]
fn two_currencies_are_never_added() {
    let library = priced("cobalt carbonate", Some("92 USD/kg"));
    let cost = costed(&library);
    let unknown: Vec<String> = cost.recipe.unknown.iter().map(ToString::to_string).collect();
    assert_eq!(unknown, ["cobalt carbonate (priced in USD)"]);
    assert!((cost.per_kg.unwrap() - 132.6 / 100.8).abs() < 1e-12);
    // Without a currency of the studio's, the first one met counts.
    let first = Cost::of_glaze(&bench(&library), None);
    assert_eq!(first.currency.as_deref(), Some("EUR"));
    // Written small it is the same currency.
    assert!(costed(&priced("silica", Some("1.10 eur/kg"))).recipe.is_whole());
}

#[test]
fn a_material_in_base_and_additions_is_one_line() {
    let library = priced("silica", None);
    let twice = glaze(&library, "spar: 60, silica: 40", "silica: 5");
    let cost = Cost::of_glaze(&twice, None);
    assert_eq!(cost.lines.len(), 2);
    assert_eq!(cost.unknown.len(), 1);
    assert!((cost.per_kg().unwrap() - 1000.0 * 0.096 / 105.0).abs() < 1e-12);
}
