//! Plans of test tiles: the acceptance scenario, published designs, and laws.

#[allow(dead_code)]
mod invented;

use std::collections::BTreeMap;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_core::tiles::blend::{
    BlendPlan, PlanOrder, Shape, Syringe, Way, additions_of_equal_totals, codes, lattice, line, plan,
};
use glost_core::workshop::scales::Scales;
use glost_core::workshop::scales::parse_scales;
use glost_tests::{data, glaze, library};
use invented::{for_all, invented, shelf};
use proptest::prelude::*;
use serde::Deserialize;

const SHEETS: &str = "materials:
  - { name: feldspar A, basis: as supplied, loss_on_ignition: 0.4, source: sheet, analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5, Fe2O3: 0.10 } }
  - { name: whiting, basis: as supplied, loss_on_ignition: 43.8, source: sheet, analysis: { CaO: 55.8, MgO: 0.3 } }
  - { name: silica, basis: as supplied, loss_on_ignition: 0.2, source: sheet, analysis: { SiO2: 99.5 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.8, source: sheet, analysis: { SiO2: 46.0, Al2O3: 38.0, K2O: 0.6 } }
  - { name: copper carbonate, kind: colourant, source: formula, formula: CuCO3Cu(OH)2 }
  - { name: red iron oxide, kind: colourant, source: formula, formula: Fe2O3 }
  - { name: rutile, kind: colourant, source: formula, formula: TiO2 }
";
const CLEAR: &str = "feldspar A: 40, silica: 25, whiting: 20, kaolin: 15";

#[derive(Deserialize)]
struct Designs {
    counts: Vec<[usize; 3]>,
    lattice_3_3: Vec<Vec<f64>>,
}

#[derive(Deserialize)]
struct Lesson {
    additions: BTreeMap<String, f64>,
    steps: usize,
    tile_millilitres: f64,
    density: f64,
    students: usize,
    tiles: usize,
    corner_millilitres: f64,
    corner_with_spare: f64,
    corner_base_grams: f64,
    colours: BTreeMap<String, f64>,
    base_batch_grams: f64,
    step_millilitres: f64,
    copper_error_percent: f64,
    copper_error_percent_on_gram_scales: f64,
    shares: Vec<f64>,
    equal_base: BTreeMap<String, f64>,
    equal_totals: BTreeMap<String, f64>,
}

fn lesson() -> Lesson {
    serde_yaml::from_str(&data("scenario_class.yaml")).unwrap()
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value}, not {expected}");
}

/// The corners in the scenario's order.
fn corners(library: &Library, lesson: &Lesson) -> Vec<Glaze> {
    ["copper carbonate", "red iron oxide", "rutile"]
        .map(|name| {
            let addition = format!("{name}: {}", lesson.additions[name]);
            Glaze {
                name: format!("clear + {name}"),
                ..glaze(library, CLEAR, &addition)
            }
        })
        .to_vec()
}

fn order<'a>(ends: &[Glaze], tiles: Vec<Vec<f64>>, fluxes: &'a FluxList, scales: Scales) -> PlanOrder<'a> {
    let codes = codes(&[tiles.len()]);
    PlanOrder {
        kind: "test".to_owned(),
        ends: ends.to_vec(),
        shape: Shape::List,
        rows: vec![tiles.len()],
        tiles: codes.into_iter().zip(tiles).collect(),
        notes: Vec::new(),
        dry_grams: 100.0,
        volume_millilitres: None,
        slurry_grams_per_millilitre: 1.45,
        syringe: Syringe::default(),
        limits: None,
        fluxes,
        scales,
    }
}

fn lesson_plan(lesson: &Lesson, scales: &str) -> BlendPlan {
    let library = library(SHEETS);
    let fluxes = FluxList::default();
    let mut order = order(
        &corners(&library, lesson),
        lattice(3, lesson.steps).unwrap(),
        &fluxes,
        parse_scales(scales).unwrap(),
    );
    order.volume_millilitres = Some(lesson.tile_millilitres);
    order.slurry_grams_per_millilitre = lesson.density;
    order.syringe = Syringe::parse("60 ml").unwrap();
    plan(&order, None).unwrap()
}

#[test]
fn a_class_of_seven_makes_21_tiles_from_one_base() {
    let lesson = lesson();
    let plan = lesson_plan(&lesson, "0.1 g");
    assert_eq!(plan.tiles.len(), lesson.tiles);
    assert_eq!(plan.tiles.len() % lesson.students, 0);
    assert_eq!(plan.way, Way::Split);
    for (batch, (name, grams)) in plan
        .end_batches
        .iter()
        .zip(["copper carbonate", "red iron oxide", "rutile"].map(|name| (name, lesson.colours[name])))
    {
        let volume = batch.millilitres.unwrap();
        near(volume / 1.15, lesson.corner_millilitres, 1e-9);
        near((volume - 1e-6).ceil(), lesson.corner_with_spare, 0.0);
        near(batch.dry_grams, lesson.corner_base_grams, 1e-9);
        assert_eq!(batch.additions[0].material, name);
        near(batch.additions[0].grams, grams, 1e-9);
        assert!(batch.cannot_weigh.is_empty());
    }
    let base = &plan.base_batches[0];
    assert_eq!(base.ends, [0, 1, 2]);
    near(base.dry_grams, lesson.base_batch_grams, 1e-9);
    near(base.split_grams.iter().sum(), base.slurry_grams, 0.2);
    // Four of base, three splits, three colours.
    assert_eq!(plan.ways[0].all, 10);
    assert_eq!(plan.ways[0].additions, 3);
    for volume in plan.tiles.iter().flat_map(|tile| tile.drawn.iter().flatten()) {
        near(volume % lesson.step_millilitres, 0.0, 1e-9);
    }
}

#[test]
fn the_two_conventions_differ_as_they_should() {
    let lesson = lesson();
    let plan = lesson_plan(&lesson, "0.1 g");
    let tile = plan.tiles.iter().find(|tile| tile.shares == lesson.shares).unwrap();
    for portion in &tile.glaze.additions {
        near(portion.percent, lesson.equal_base[&portion.material.name], 1e-9);
    }
    let ends = corners(&library(SHEETS), &lesson);
    for (name, percent) in additions_of_equal_totals(&ends, &lesson.shares) {
        near(percent, lesson.equal_totals[&name], 0.005);
    }
}

#[test]
fn tiles_with_the_most_copper_stand_first_for_the_laboratory() {
    let plan = lesson_plan(&lesson(), "0.1 g");
    let copper = |code: &str| -> f64 {
        let tile = plan.tiles.iter().find(|tile| tile.code == code).unwrap();
        let own = tile
            .glaze
            .additions
            .iter()
            .find(|own| own.material.name == "copper carbonate");
        own.map_or(0.0, |own| own.percent)
    };
    assert_eq!(
        plan.lab.len(),
        plan.tiles.iter().filter(|tile| copper(&tile.code) > 0.0).count()
    );
    assert!(plan.lab[..3].iter().all(|tile| copper(&tile.code) > 2.0));
    assert!(plan.lab[3..].iter().all(|tile| copper(&tile.code) < 2.0));
}

#[test]
fn gram_scales_cannot_weigh_the_copper() {
    let lesson = lesson();
    let fine = lesson_plan(&lesson, "0.1 g");
    let copper = fine.end_batches[0].additions[0].grams;
    near(100.0 * 0.05 / copper, lesson.copper_error_percent, 0.05);
    let coarse = lesson_plan(&lesson, "1 g");
    let trouble = &coarse.end_batches[0].cannot_weigh[0];
    assert_eq!(trouble.material, "copper carbonate");
    near(trouble.error_percent, lesson.copper_error_percent_on_gram_scales, 0.5);
}

#[test]
fn the_published_lattice() {
    let designs: Designs = serde_yaml::from_str(&data("mixture_designs.yaml")).unwrap();
    for [ends, steps, count] in designs.counts {
        assert_eq!(lattice(ends, steps).unwrap().len(), count, "{{{ends},{steps}}}");
    }
    let points = lattice(3, 3).unwrap();
    assert_eq!(points.len(), designs.lattice_3_3.len());
    for row in designs.lattice_3_3 {
        // The table is printed to three decimals.
        let printed = |point: &&Vec<f64>| point.iter().zip(&row).all(|(a, b)| (a - b).abs() < 0.0005);
        assert_eq!(points.iter().filter(printed).count(), 1, "{row:?}");
    }
}

/// Moles of what is drawn, from what the end batches hold.
fn drawn_moles(plan: &BlendPlan, ends: &[Glaze], millilitres: &[f64]) -> OxideMoles {
    let mut moles = OxideMoles::ZERO;
    for ((batch, end), volume) in plan.end_batches.iter().zip(ends).zip(millilitres) {
        let Some(whole) = batch.millilitres.filter(|whole| *whole > 0.0) else {
            continue;
        };
        let base_grams = batch.dry_grams * volume / whole;
        for portion in end.portions() {
            let fired = portion.material.fired.as_ref().unwrap();
            moles.add_scaled(base_grams * portion.percent / 1e4, &fired.oxides.to_moles());
        }
    }
    moles
}

#[test]
fn wet_and_dry_are_the_same_tiles() {
    let steps = (2_usize..7, 5.0..80.0_f64, 1.2..1.7_f64);
    for_all(200, (invented(), steps), |(one, (steps, volume, density))| {
        let library = shelf(&one.sheets);
        let turned: Vec<(String, f64)> = one
            .named_parts()
            .into_iter()
            .zip(one.parts.iter().rev())
            .map(|((name, _), amount)| (name, *amount))
            .collect();
        let ends = [
            one.glaze(&library),
            one.glaze_of(&library, &turned, &[("m1".to_owned(), 7.5)]),
        ];
        let fluxes = FluxList::default();
        let mut wet = order(&ends, line(steps).unwrap(), &fluxes, Scales::default());
        let dry = plan(&wet, None).unwrap();
        wet.volume_millilitres = Some(volume);
        wet.slurry_grams_per_millilitre = density;
        let wet = plan(&wet, None).unwrap();
        for (dry, tile) in dry.tiles.iter().zip(&wet.tiles) {
            let Ok(analysis) = Analysis::of(&dry.glaze, &fluxes, Additions::In) else {
                continue;
            };
            let drawn = drawn_moles(&wet, &ends, tile.millilitres.as_ref().unwrap());
            let (asked, made) = (analysis.moles.percent().unwrap(), drawn.percent().unwrap());
            for oxide in Oxide::ALL {
                prop_assert!(
                    (asked.get(oxide) - made.get(oxide)).abs() < 1e-9,
                    "{oxide} of {}",
                    dry.code
                );
            }
        }
        Ok(())
    });
}
