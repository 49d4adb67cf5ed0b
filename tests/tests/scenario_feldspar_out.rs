//! A feldspar runs out, three others are to be had: the acceptance scenario
//! in `data/scenario_s2.yaml` (invented data, distances worked outside with scipy).

use std::collections::BTreeMap;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{Comparison, SwapQuestion, alkali_split, closest, one_for_one};
use glost_core::workshop::scales::Scales;
use glost_tests::{data, glaze, library, material};
use serde::Deserialize;

#[derive(Deserialize)]
struct Scenario {
    materials: BTreeMap<String, Sheet>,
    unity: BTreeMap<String, f64>,
    silica_to_alumina: f64,
    closest: Vec<Closest>,
    one_for_one: Vec<OneForOne>,
    expansion: BTreeMap<String, f64>,
    potash_to_soda: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct Sheet {
    analysis: BTreeMap<String, f64>,
    loss_on_ignition: f64,
}

#[derive(Deserialize)]
struct Closest {
    with: String,
    parts: BTreeMap<String, f64>,
    distance: f64,
    unity: BTreeMap<String, f64>,
    batch: Option<Batch>,
}

#[derive(Deserialize)]
struct Batch {
    of: f64,
    step: f64,
    grams: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct OneForOne {
    with: String,
    unity: BTreeMap<String, f64>,
    alkalis: Option<f64>,
    silica_to_alumina: Option<f64>,
}

fn scenario() -> (Scenario, Library, Glaze) {
    let scenario: Scenario = serde_yaml::from_str(&data("scenario_s2.yaml")).unwrap();
    let mut text = "materials:\n".to_owned();
    for (name, sheet) in &scenario.materials {
        let oxides: Vec<String> = sheet
            .analysis
            .iter()
            .map(|(oxide, percent)| format!("{oxide}: {percent}"))
            .collect();
        let kind = if name == "kaolin" { "clay" } else { "mineral" };
        text += &format!(
            "  - {{ name: {name}, kind: {kind}, basis: as supplied, loss_on_ignition: {}, source: sheet, analysis: {{ {} }} }}\n",
            sheet.loss_on_ignition,
            oxides.join(", ")
        );
    }
    let library = library(&text);
    let glaze = glaze(
        &library,
        "feldspar A: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6",
        "",
    );
    (scenario, library, glaze)
}

fn unity(glaze: &Glaze) -> impl Fn(&str) -> f64 {
    let unity = Analysis::of(glaze, &FluxList::default(), Additions::In)
        .unwrap()
        .unity
        .unwrap();
    move |oxide| unity.get(Oxide::from_formula(oxide).unwrap())
}

#[track_caller]
fn within(found: f64, printed: f64, tolerance: f64, what: &str) {
    assert!(
        (found - printed).abs() <= tolerance,
        "{what}: {found}, printed {printed}"
    );
}

#[test]
fn the_old_recipe_has_the_printed_unity_formula() {
    let (scenario, _, glaze) = scenario();
    let found = unity(&glaze);
    for (oxide, printed) in &scenario.unity {
        within(found(oxide), *printed, 0.002, oxide);
    }
    within(
        found("SiO2") / found("Al2O3"),
        scenario.silica_to_alumina,
        0.02,
        "SiO2:Al2O3",
    );
}

#[test]
fn the_closest_recipes_have_the_printed_parts_and_distances() {
    let (scenario, library, glaze) = scenario();
    let fluxes = FluxList::default();
    for wanted in &scenario.closest {
        let question = SwapQuestion {
            glaze: &glaze,
            library: &library,
            fluxes: &fluxes,
            out: vec![material(&library, "feldspar A")],
            with: vec![material(&library, &wanted.with)],
            at_most: None,
            show: 1,
            shipped_may_come: false,
        };
        let best = closest(&question).unwrap().remove(0);
        within(best.distance, wanted.distance, 0.0006, &wanted.with);
        for portion in &best.glaze.base {
            within(
                portion.percent,
                wanted.parts[&portion.material.name],
                0.0006,
                &portion.material.name,
            );
        }
        let found = unity(&best.glaze);
        for (oxide, printed) in &wanted.unity {
            within(found(oxide), *printed, 0.001, oxide);
        }
        if let Some(batch) = &wanted.batch {
            let comparison = Comparison::with(&glaze, &fluxes).unwrap().unwrap();
            let scales = Scales {
                reads_to: Grams::new(batch.step).unwrap(),
                up_to: None,
            };
            let proposal = comparison
                .propose(best.glaze.clone(), batch.of, &scales)
                .unwrap()
                .unwrap();
            for line in &proposal.weighed.base {
                within(line.grams, batch.grams[&line.material], 1e-9, &line.material);
            }
        }
    }
}

#[test]
fn all_three_named_at_once_the_nearest_is_pure_b() {
    let (_, library, glaze) = scenario();
    let question = SwapQuestion {
        glaze: &glaze,
        library: &library,
        fluxes: &FluxList::default(),
        out: vec![material(&library, "feldspar A")],
        with: ["feldspar C", "nepheline syenite", "feldspar B"]
            .map(|name| material(&library, name))
            .to_vec(),
        at_most: None,
        show: 3,
        shipped_may_come: false,
    };
    let found = closest(&question).unwrap();
    let newcomers: Vec<&str> = found[0]
        .newcomers
        .iter()
        .map(|newcomer| newcomer.name.as_str())
        .collect();
    assert_eq!(newcomers, ["feldspar B"]);
    assert!(found.windows(2).all(|pair| pair[0].distance <= pair[1].distance));
}

#[test]
fn one_for_one_moves_what_is_printed() {
    let (scenario, library, glaze) = scenario();
    for wanted in &scenario.one_for_one {
        let swapped = one_for_one(
            &glaze,
            &material(&library, "feldspar A"),
            &material(&library, &wanted.with),
        );
        let found = unity(&swapped);
        for (oxide, printed) in &wanted.unity {
            within(
                found(oxide),
                *printed,
                if *printed > 1.0 { 0.006 } else { 0.0011 },
                oxide,
            );
        }
        if let Some(alkalis) = wanted.alkalis {
            within(found("K2O") + found("Na2O"), alkalis, 0.001, "alkalis");
        }
        if let Some(ratio) = wanted.silica_to_alumina {
            within(found("SiO2") / found("Al2O3"), ratio, 0.06, "SiO2:Al2O3");
        }
    }
}

#[test]
fn the_expansions_hardly_move_and_no_direction_is_claimed() {
    let (scenario, library, glaze) = scenario();
    let fluxes = FluxList::default();
    let comparison = Comparison::with(&glaze, &fluxes).unwrap().unwrap();
    for name in ["feldspar B", "feldspar C", "nepheline syenite"] {
        let question = SwapQuestion {
            glaze: &glaze,
            library: &library,
            fluxes: &fluxes,
            out: vec![material(&library, "feldspar A")],
            with: vec![material(&library, name)],
            at_most: None,
            show: 1,
            shipped_may_come: false,
        };
        let best = closest(&question).unwrap().remove(0);
        let moved = comparison
            .propose(best.glaze, 100.0, &Scales::default())
            .unwrap()
            .unwrap()
            .expansion
            .unwrap();
        within(moved.before, scenario.expansion["feldspar A"], 0.005, "feldspar A");
        within(moved.after, scenario.expansion[name], 0.005, name);
        assert!((moved.after - moved.before).abs() < moved.plus_minus_90, "{name}");
    }
}

#[test]
fn the_old_split_of_potash_and_soda_is_out_of_reach() {
    let (scenario, library, _) = scenario();
    let newcomers = ["feldspar B", "feldspar C"].map(|name| material(&library, name));
    let split = alkali_split(&material(&library, "feldspar A"), &newcomers).unwrap();
    within(split.gone, scenario.potash_to_soda["feldspar A"], 0.005, "feldspar A");
    for (name, ratio) in &split.newcomers {
        within(*ratio, scenario.potash_to_soda[name], 0.005, name);
    }
}
