//! Weighing tickets: the acceptance scenario, and laws on recipes that nobody
//! ever printed.

#[allow(dead_code)]
mod invented;

use std::collections::BTreeMap;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, Portion};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{GRAMS_PER_OUNCE, Grams, GramsPerMillilitre, Millilitres, WaterPerKilo};
use glost_core::workshop::hazards::Caution;
use glost_core::workshop::scales::parse_scales;
use glost_core::workshop::slurry::{Held, Survey, everything_else, recipe_share, rescue, share_on_the_rest};
use glost_core::workshop::ticket::{BatchSize, Ticket, TicketOrder, ticket};
use glost_core::workshop::wetting::{NoTicket, WaterAim};
use glost_tests::{data, glaze, library};
use invented::{analysis, for_all, invented, shelf};
use proptest::prelude::*;
use proptest::sample::select;
use serde::Deserialize;

const SHEETS: &str = "materials:
  - { name: feldspar A, basis: as supplied, loss_on_ignition: 0.4, free_silica: 6, price: 1.60 EUR/kg, density: 2.56, source: sheet, analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5, Fe2O3: 0.10 } }
  - { name: whiting, basis: as supplied, loss_on_ignition: 43.8, price: 1.00 EUR/kg, density: 2.71, source: sheet, analysis: { CaO: 55.8, MgO: 0.3 } }
  - { name: silica, basis: as supplied, loss_on_ignition: 0.2, free_silica: 99, price: 1.10 EUR/kg, density: 2.65, source: sheet, analysis: { SiO2: 99.5 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.8, free_silica: 1, density: 2.6, source: sheet, analysis: { SiO2: 46.0, Al2O3: 38.0, K2O: 0.6, CaO: 0.2, MgO: 0.1, Fe2O3: 0.50, TiO2: 0.3 } }
  - { name: bentonite, kind: clay, basis: as supplied, loss_on_ignition: 9, density: 2.35, source: sheet, analysis: { SiO2: 62.0, Al2O3: 18.0, Fe2O3: 3.5, MgO: 2.5, CaO: 1.2, Na2O: 2.5, K2O: 0.6, TiO2: 0.2 } }
  - { name: cobalt carbonate, kind: colourant, toxic: true, price: 85 EUR/kg, density: 4.2, source: formula, formula: CoCO3 }
  - { name: red iron oxide, kind: colourant, price: 4 EUR/kg, source: formula, formula: Fe2O3 }
  - { name: barium carbonate, kind: chemical, toxic: true, source: formula, formula: BaCO3 }
  - { name: pearl ash, kind: chemical, soluble: true, price: 3 USD/kg, source: formula, formula: K2CO3 }
  - { name: lead frit, kind: frit, basis: fired, source: sheet, analysis: { PbO: 65, SiO2: 35 } }
  - { name: bought clear, kind: powder, analysis: unknown, price: 18 EUR per 5 kg, source: bag }
";

#[derive(Deserialize)]
struct Scenario {
    ounces: BTreeMap<String, f64>,
    cobalt_ounces: f64,
    bentonite_percent: f64,
    base_grams: f64,
    percent: BTreeMap<String, f64>,
    cobalt_percent: f64,
    batch: f64,
    grams: BTreeMap<String, f64>,
    cobalt_exact: f64,
    cobalt_error_percent: f64,
    small_batch: f64,
    small_cobalt: f64,
    smallest_honest_batch: f64,
    premix_percent: f64,
    premix_use: f64,
    premix_error_percent: f64,
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, not {expected}");
}

fn order<'a>(glaze: &'a Glaze, fluxes: &'a FluxList, dry: f64, scales: &str, water: WaterAim) -> TicketOrder<'a> {
    TicketOrder {
        glaze,
        fluxes,
        scales: parse_scales(scales).unwrap(),
        size: BatchSize::Dry(Grams::new(dry).unwrap()),
        water,
        currency: None,
    }
}

fn made(glaze: &Glaze, dry: f64, scales: &str) -> Ticket {
    ticket(&order(glaze, &FluxList::default(), dry, scales, WaterAim::Unsaid)).unwrap()
}

fn refused(glaze: &Glaze, dry: f64, scales: &str) -> NoTicket {
    ticket(&order(glaze, &FluxList::default(), dry, scales, WaterAim::Unsaid)).unwrap_err()
}

fn shelf_of_sheets() -> Library {
    library(SHEETS)
}

fn notebook_page() -> (Scenario, Glaze) {
    let told: Scenario = serde_yaml::from_str(&data("scenario_ticket.yaml")).unwrap();
    let base: f64 = told.ounces.values().sum();
    near(base * GRAMS_PER_OUNCE, told.base_grams, 0.05);
    let parts: Vec<String> = told
        .ounces
        .iter()
        .map(|(name, ounces)| format!("{name}: {ounces}"))
        .collect();
    let cobalt = 100.0 * told.cobalt_ounces / base;
    near(cobalt, told.cobalt_percent, 0.005);
    let additions = format!("cobalt carbonate: {cobalt}, bentonite: {}", told.bentonite_percent);
    let glaze = glaze(&shelf_of_sheets(), &parts.join(", "), &additions);
    for portion in &glaze.base {
        near(portion.percent, told.percent[&portion.material.name], 0.005);
    }
    (told, glaze)
}

#[test]
fn grandmothers_page_goes_onto_gram_scales() {
    let (told, glaze) = notebook_page();
    let page = made(&glaze, told.batch, "1 g");
    let grams: BTreeMap<String, f64> = page
        .lines
        .iter()
        .map(|line| (line.material.name.clone(), line.grams))
        .collect();
    assert_eq!(grams, told.grams);
    let exact = told.cobalt_ounces / told.ounces.values().sum::<f64>() * told.batch;
    near(exact, told.cobalt_exact, 0.005);
    near(100.0 * 0.5 / exact, told.cobalt_error_percent, 0.05);
    assert!(page.cannot_weigh.is_empty() && page.roughly.is_empty());
    let order: Vec<&str> = page.lines.iter().map(|line| line.material.name.as_str()).collect();
    assert_eq!(
        order,
        [
            "feldspar A",
            "silica",
            "whiting",
            "kaolin",
            "bentonite",
            "cobalt carbonate"
        ]
    );
    near(page.lines[5].running, 6162.0, 0.0);
    near(page.dry_grams, 6162.0, 0.0);
    // Free silica and cobalt are named, in grams of this batch.
    let silica = 0.06 * 2958.0 + 0.99 * 1352.0 + 0.01 * 676.0;
    let Caution::Dust { silica_grams, .. } = &page.cautions[0] else {
        panic!("the dust comes first: {:?}", page.cautions)
    };
    near(*silica_grams, silica, 1e-6);
    let cobalt = page.cautions.iter().find_map(|caution| match caution {
        Caution::Metals(metals) => metals.iter().find(|metal| metal.metal == "cobalt"),
        _ => None,
    });
    near(cobalt.unwrap().grams, 26.0, 0.5);
    assert_eq!(cobalt.unwrap().oxide, Oxide::CoO);
}

#[test]
fn a_hundred_grams_of_it_can_not_be_weighed_on_them() {
    let (told, glaze) = notebook_page();
    let page = made(&glaze, told.small_batch, "1 g");
    let line = page
        .cannot_weigh
        .iter()
        .find(|line| line.material == "cobalt carbonate")
        .unwrap();
    near(line.grams, told.small_cobalt, 0.05);
    assert!(line.error_percent > 50.0);
    near(line.way_out.smallest_base_grams, told.smallest_honest_batch, 50.0);
    let premix = line.way_out.premix.unwrap();
    near(premix.percent, told.premix_percent, 0.0);
    near(premix.use_grams, told.premix_use, 0.05);
    near(100.0 * 0.5 / premix.use_grams, told.premix_error_percent, 0.5);
    // The pre-mix brings its own base, which is left out of the rest.
    near(premix.use_grams - premix.base_in_use_grams, line.grams, 1e-9);
}

#[test]
fn big_first_the_poisonous_together_colours_last() {
    let shelf = shelf_of_sheets();
    let glaze = glaze(
        &shelf,
        "kaolin: 10, feldspar A: 45, barium carbonate: 20, silica: 25",
        "red iron oxide: 9, cobalt carbonate: 1, bentonite: 2",
    );
    let page = made(&glaze, 1000.0, "1 g");
    let order: Vec<&str> = page.lines.iter().map(|line| line.material.name.as_str()).collect();
    assert_eq!(
        order,
        [
            "feldspar A",
            "silica",
            "kaolin",
            "bentonite",
            "barium carbonate",
            "cobalt carbonate",
            "red iron oxide"
        ]
    );
    let poisons = page.cautions.iter().find_map(|caution| match caution {
        Caution::Poisons(poisons) => Some(poisons),
        _ => None,
    });
    let poisons: Vec<(&str, f64)> = poisons
        .unwrap()
        .iter()
        .map(|poison| (poison.material.as_str(), poison.grams))
        .collect();
    assert_eq!(poisons, [("barium carbonate", 200.0), ("cobalt carbonate", 10.0)]);
}

#[test]
fn a_powder_nobody_tells_of_has_a_ticket_all_the_same() {
    let glaze = glaze(&shelf_of_sheets(), "bought clear: 100", "");
    let fluxes = FluxList::default();
    let cups = WaterPerKilo::parse("5 3/4 cups/kg", Millilitres::METRIC_CUP).unwrap();
    let page = ticket(&order(&glaze, &fluxes, 1000.0, "1 g", WaterAim::PerKilo(cups))).unwrap();
    assert_eq!((page.dry_grams, page.unity_change), (1000.0, None));
    // 1 kg with 5 3/4 metric cups: about 1.8 litres at 1.34 g/ml (common practice).
    near(page.water_millilitres, 1437.5, 1e-9);
    near(page.volume_millilitres / 1000.0, 1.8, 0.05);
    near(page.density, 1.34, 0.005);
    near(page.cost.amount.unwrap(), 3.6, 1e-12);
    let untold = Caution::Untold(vec!["bought clear".to_owned()]);
    assert!(page.cautions.contains(&untold), "{:?}", page.cautions);
}

#[test]
fn a_price_that_is_not_known_is_named_and_never_zero() {
    let shelf = shelf_of_sheets();
    let page = made(
        &glaze(&shelf, "feldspar A: 50, kaolin: 30, pearl ash: 20", ""),
        1000.0,
        "1 g",
    );
    near(page.cost.amount.unwrap(), 0.5 * 1.6, 1e-12);
    assert_eq!(page.cost.currency.as_deref(), Some("EUR"));
    let unknown: Vec<String> = page.cost.unknown.iter().map(ToString::to_string).collect();
    assert_eq!(unknown, ["kaolin", "pearl ash (priced in USD)"]);
    let page = made(&glaze(&shelf, "kaolin: 100", ""), 1000.0, "1 g");
    assert_eq!((page.cost.amount, page.cost.unknown.len()), (None, 1));
}

#[test]
fn what_can_not_be_is_refused() {
    let shelf = shelf_of_sheets();
    let plain = glaze(&shelf, "feldspar A: 50, kaolin: 50", "");
    assert_eq!(refused(&plain, 0.4, "1 g"), NoTicket::LessThanAStep(0.4));
    assert!(matches!(refused(&plain, 2e7, "1 g"), NoTicket::TooMuch(_)));
    assert!(matches!(
        refused(&plain, 9e6, "1 g to 2 kg"),
        NoTicket::TooManyWeighings(_)
    ));
    let lead = glaze(&shelf, "feldspar A: 50, lead frit: 50", "");
    assert_eq!(
        refused(&lead, 1000.0, "1 g"),
        NoTicket::Locked("lead", "lead frit".to_owned())
    );
    let fluxes = FluxList::default();
    let thick = WaterAim::Density(GramsPerMillilitre::new(2.4).unwrap());
    assert!(matches!(
        ticket(&order(&plain, &fluxes, 1000.0, "1 g", thick)),
        Err(NoTicket::Density(_, _))
    ));
}

#[test]
fn lines_sum_to_the_batch_and_no_weight_is_off_by_more_than_a_step() {
    let cases = (
        invented(),
        50.0..20_000.0_f64,
        select(vec![0.01, 0.1, 0.5, 1.0, 5.0]),
        300.0..20_000.0_f64,
    );
    for_all(256, cases, |(recipe, dry, step, up_to)| {
        let shelf = shelf(&recipe.sheets);
        let glaze = recipe.glaze(&shelf);
        let page = made(&glaze, dry, &format!("{step} g to {up_to} g"));
        let close = 1e-9 * dry.max(1.0);
        let whole = |grams: f64| ((grams / step).round() * step - grams).abs() < close;
        prop_assert!(
            (page.base_grams - (dry / step).round() * step).abs() < close,
            "{} {dry}",
            page.base_grams
        );
        let sum: f64 = page.lines.iter().map(|line| line.grams).sum();
        prop_assert!((page.dry_grams - sum).abs() < close);
        let mut running = 0.0;
        for line in &page.lines {
            running += line.grams;
            prop_assert!(whole(line.grams) && (line.running - running).abs() < close);
            prop_assert!((line.weighings.iter().sum::<f64>() - line.grams).abs() < close);
            prop_assert!(line.weighings.iter().all(|part| *part <= up_to + close && whole(*part)));
            let portions: Vec<&Portion> = glaze
                .portions()
                .filter(|portion| portion.material.name == line.material.name)
                .collect();
            let exact: f64 = portions.iter().map(|portion| portion.percent / 100.0 * dry).sum();
            // Half a step on top, a whole one in the base, whose total is held; and the
            // total itself is rounded by up to half a step.
            let allowed = step * portions.len() as f64 + 0.5 * step;
            prop_assert!((line.grams - exact).abs() <= allowed + close, "{} {exact}", line.grams);
        }
        Ok(())
    });
}

/// The unity formula of some grams of these materials, worked without the ticket.
fn moles(glaze: &Glaze, grams: &[f64]) -> OxideMoles {
    let mut total = OxideMoles::ZERO;
    for (portion, grams) in glaze.portions().zip(grams) {
        let fired = portion.material.fired.as_ref().unwrap();
        total.add_scaled(grams / 100.0, &fired.oxides.to_moles());
    }
    total
}

#[test]
fn the_weighed_recipe_differs_by_no_more_than_rounding_allows() {
    let fluxes = FluxList::default();
    let cases = (invented(), 100.0..5000.0_f64, select(vec![0.1, 1.0]));
    for_all(256, cases, |(recipe, dry, step)| {
        let shelf = shelf(&recipe.sheets);
        let glaze = recipe.glaze(&shelf);
        let page = made(&glaze, dry, &format!("{step} g"));
        let asked = analysis(&glaze).unity.unwrap();
        let change = page.unity_change.clone().unwrap();
        // The change is that of the lines as printed.
        let mut printed = glaze.clone();
        printed.additions.clear();
        printed.base = page
            .lines
            .iter()
            .map(|line| Portion {
                material: line.material.clone(),
                percent: 100.0 * line.grams / page.dry_grams,
            })
            .collect();
        let weighed = Analysis::of(&printed, &fluxes, Additions::In).unwrap().unity.unwrap();
        for (oxide, by) in &change {
            let own = weighed.get(*oxide) - asked.get(*oxide);
            prop_assert!((own - by).abs() < 1e-9, "{oxide}: {own} {by}");
        }
        // And no oxide leaves what weights a step off can make of it.
        let exact: Vec<f64> = glaze.portions().map(|portion| portion.percent / 100.0 * dry).collect();
        let off = |by: f64| -> Vec<f64> { exact.iter().map(|grams| (grams + by).max(0.0)).collect() };
        let (least, most) = (moles(&glaze, &off(-1.5 * step)), moles(&glaze, &off(1.5 * step)));
        for oxide in Oxide::ALL {
            let low = least.get(oxide) / fluxes.moles(&most);
            let high = most.get(oxide) / fluxes.moles(&least);
            let now = weighed.get(oxide);
            prop_assert!(low - 1e-9 <= now && now <= high + 1e-9, "{oxide}: {low} {now} {high}");
        }
        Ok(())
    });
}

#[test]
fn a_bucket_is_filled_to_what_was_asked() {
    let cases = (invented(), 1.0..60.0_f64, 1.2..1.7_f64);
    let fluxes = FluxList::default();
    for_all(128, cases, |(recipe, litres, density)| {
        let shelf = shelf(&recipe.sheets);
        let glaze = recipe.glaze(&shelf);
        let page = ticket(&TicketOrder {
            size: BatchSize::Bucket(Millilitres::new(1000.0 * litres).unwrap()),
            ..order(
                &glaze,
                &fluxes,
                1.0,
                "1 g",
                WaterAim::Density(GramsPerMillilitre::new(density).unwrap()),
            )
        })
        .unwrap();
        // No density is known for these, so all count as 2.6; solids by volume.
        let solid = (density - 1.0) / 1.6;
        let dry = solid * litres * 1000.0 * 2.6;
        prop_assert!((page.dry_grams - dry).abs() <= 4.0, "{} {dry}", page.dry_grams);
        prop_assert!((page.volume_millilitres / (1000.0 * litres) - 1.0).abs() < 4.0 / dry);
        prop_assert!((page.density - density).abs() < 1e-9);
        let water = page.volume_millilitres - page.dry_grams / 2.6;
        prop_assert!((page.water_millilitres - water).abs() < 1e-6);
        Ok(())
    });
}

#[test]
fn ten_times_the_silica_in_a_coloured_glaze_is_brought_back() {
    // 1000 g of base with 2600 g of silica in place of 260, and 2 % cobalt carbonate
    // and 1 % bentonite on top; two thirds of it is left.
    let shelf = shelf_of_sheets();
    let glaze = glaze(
        &shelf,
        "feldspar A: 54, silica: 26, kaolin: 20",
        "cobalt carbonate: 2, bentonite: 1",
    );
    let left = 2.0 / 3.0;
    let (silica, other_base, on_top) = (2600.0 * left, 740.0 * left, 30.0 * left);
    let dry = silica + other_base + on_top;
    let bucket = Survey {
        density: 1.45,
        slurry_grams: 2.0 * dry,
        volume_millilitres: 2.0 * dry / 1.45,
        dry_grams: dry,
        dry_grams_low: dry,
        dry_grams_high: dry,
    };
    let share = recipe_share(&glaze, "silica").unwrap();
    let held = Held {
        grams: silica,
        wanted_percent: share_on_the_rest(share.percent, share.in_base).unwrap(),
        base_share: share.base_share,
    };
    let rescued = rescue(&bucket, held, 2.6).unwrap();
    let more = everything_else(&glaze, "silica", rescued.others_to_add_grams);
    let after = |name: &str, before: f64| before + more.iter().find(|line| line.0 == name).unwrap().1;
    let feldspar = after("feldspar A", 540.0 * left);
    let kaolin = after("kaolin", 200.0 * left);
    let base = feldspar + kaolin + silica;
    near(100.0 * silica / base, 26.0, 1e-9);
    near(100.0 * feldspar / base, 54.0, 1e-9);
    near(100.0 * after("cobalt carbonate", 20.0 * left) / base, 2.0, 1e-9);
    near(100.0 * after("bentonite", 10.0 * left) / base, 1.0, 1e-9);
    assert_eq!(recipe_share(&glaze, "whiting"), None);
}
