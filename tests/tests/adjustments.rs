//! Adjustments re-analysed: every aim met, the objective the least there is,
//! clashes that can't spare one aim.

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::Oxide;
use glost_core::recipes::adjust::{AdjustAnswer, AdjustQuestion, Asked, Least, adjust};
use glost_core::recipes::aims::parse_phrase;
use glost_tests::{glaze, library};

/// Analyses of the acceptance scenario (invented data), with prices.
const SHEETS: &str = "materials:
  - { name: feldspar A, kind: mineral, basis: as supplied, loss_on_ignition: 0.4, price: 1.6 EUR/kg, source: sheet, analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5, Fe2O3: 0.10 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.8, price: 1.5 EUR/kg, source: sheet, analysis: { SiO2: 46.0, Al2O3: 38.0, K2O: 0.6, CaO: 0.2, MgO: 0.1, Fe2O3: 0.5, TiO2: 0.3 } }
  - { name: silica, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, price: 1.1 EUR/kg, source: sheet, analysis: { SiO2: 99.5 } }
  - { name: whiting, kind: mineral, basis: as supplied, loss_on_ignition: 43.8, price: 1 EUR/kg, source: sheet, analysis: { CaO: 55.8, MgO: 0.3 } }
  - { name: dolomite, kind: mineral, basis: as supplied, loss_on_ignition: 47.4, price: 1.2 EUR/kg, source: sheet, analysis: { CaO: 30.6, MgO: 21.5 } }
  - { name: talc, kind: mineral, basis: as supplied, loss_on_ignition: 5.5, price: 1.3 EUR/kg, source: sheet, analysis: { SiO2: 61.0, Al2O3: 0.6, CaO: 0.3, MgO: 31.8, Fe2O3: 0.3 } }
  - { name: tin oxide, kind: colourant, basis: fired, loss_on_ignition: 0, price: 40 EUR/kg, source: sheet, analysis: { SnO2: 99.5 } }
";

fn lamplight(additions: &str) -> (Library, Glaze) {
    let library = library(SHEETS);
    let glaze = glaze(
        &library,
        "feldspar A: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6",
        additions,
    );
    (library, glaze)
}

fn ask(library: &Library, glaze: &Glaze, phrases: &[&str], with: &[&str], least: Least) -> AdjustAnswer {
    let question = AdjustQuestion {
        glaze,
        fluxes: &FluxList::default(),
        aims: phrases
            .iter()
            .map(|phrase| Asked::Phrase(parse_phrase(phrase, library).unwrap()))
            .collect(),
        with: with.iter().map(|name| library.find(name).unwrap().clone()).collect(),
        least,
        distance_from: None,
        sure: None,
    };
    adjust(&question).unwrap()
}

fn found(answer: AdjustAnswer) -> (Glaze, f64, bool) {
    match answer {
        AdjustAnswer::Possible {
            glaze,
            objective,
            certified,
            ..
        } => (*glaze, objective, certified),
        other => panic!("{other:?}"),
    }
}

fn unity(glaze: &Glaze, oxide: Oxide) -> f64 {
    Analysis::of(glaze, &FluxList::default(), Additions::In)
        .unwrap()
        .unity
        .unwrap()
        .get(oxide)
}

fn change(new: &Glaze, old: &Glaze) -> f64 {
    let before = |name: &str| {
        old.base
            .iter()
            .find(|portion| portion.material.name == name)
            .map_or(0.0, |portion| portion.percent)
    };
    new.base
        .iter()
        .map(|portion| {
            let x0 = before(&portion.material.name);
            ((portion.percent - x0) / (0.1 * x0).max(1.0)).powi(2)
        })
        .sum()
}

#[test]
fn more_silica_is_reached_with_the_least_change() {
    let (library, old) = lamplight("tin oxide: 5");
    let aims = [
        "SiO2 >= 3.3",
        "Al2O3 in 0.36..0.40",
        "keep kaolin",
        "loss on ignition <= 11.5",
    ];
    let (new, objective, certified) = found(ask(&library, &old, &aims, &[], Least::Weights));
    assert!(certified);
    assert!(unity(&new, Oxide::SiO2) >= 3.3 - 1e-6);
    assert!((0.36 - 1e-6..=0.40 + 1e-6).contains(&unity(&new, Oxide::Al2O3)));
    let analysis = Analysis::of(&new, &FluxList::default(), Additions::In).unwrap();
    assert!(analysis.loss_on_ignition_percent <= 11.5 + 1e-6);
    assert!((objective - change(&new, &old)).abs() < 1e-6);
    assert!(
        new.base
            .iter()
            .find(|portion| portion.material.name == "kaolin")
            .unwrap()
            .percent
            >= 12.0 - 1e-6
    );
    // Steps of a thousandth of a part towards any other recipe that meets the aims cost more.
    for from in 0..new.base.len() {
        for to in 0..new.base.len() {
            let mut other = new.clone();
            other.base[from].percent -= 1e-3;
            other.base[to].percent += 1e-3;
            let loss = Analysis::of(&other, &FluxList::default(), Additions::In)
                .unwrap()
                .loss_on_ignition_percent;
            let kaolin = other
                .base
                .iter()
                .find(|portion| portion.material.name == "kaolin")
                .unwrap()
                .percent;
            let meets = unity(&other, Oxide::SiO2) >= 3.3
                && (0.36..=0.40).contains(&unity(&other, Oxide::Al2O3))
                && loss <= 11.5
                && kaolin >= 12.0;
            assert!(!meets || change(&other, &old) >= objective - 1e-9);
        }
    }
}

#[test]
fn what_already_holds_changes_nothing() {
    let (library, old) = lamplight("");
    let (new, objective, _) = found(ask(&library, &old, &["SiO2 >= 3.0", "no talc"], &[], Least::Change));
    assert!(objective < 1e-12);
    for (a, b) in new.base.iter().zip(&old.base) {
        assert!((a.percent - b.percent).abs() < 1e-9);
    }
}

#[test]
fn the_cheapest_within_aims_costs_no_more_and_meets_them() {
    let (library, old) = lamplight("");
    let aims = [
        "SiO2 in 2.9..3.2",
        "Al2O3 in 0.34..0.38",
        "K2O >= 0.12",
        "MgO in 0.05..0.15",
    ];
    let (new, cost, _) = found(ask(&library, &old, &aims, &["talc"], Least::Cost));
    let price = |glaze: &Glaze| -> f64 {
        glaze
            .base
            .iter()
            .map(|portion| portion.percent / 100.0 * portion.material.price.as_ref().unwrap().per_kg)
            .sum()
    };
    assert!((price(&new) - cost).abs() < 1e-9);
    assert!(cost <= price(&old) + 1e-9);
    assert!((2.9 - 1e-6..=3.2 + 1e-6).contains(&unity(&new, Oxide::SiO2)));
    assert!(unity(&new, Oxide::K2O) >= 0.12 - 1e-6);
}

#[test]
fn a_clash_names_aims_of_which_none_can_go() {
    let (library, old) = lamplight("");
    let aims = [
        "SiO2:Al2O3 in 7..10",
        "SiO2 >= 3.5",
        "Al2O3 <= 0.30",
        "whiting <= 15 %",
        "keep kaolin",
    ];
    let AdjustAnswer::Impossible {
        clash,
        nearest,
        misses,
        certified,
        ..
    } = ask(&library, &old, &aims, &[], Least::Change)
    else {
        panic!("a recipe was found")
    };
    assert!(certified && !clash.is_empty());
    assert!(nearest.is_some() && !misses.is_empty());
    for left_out in 0..clash.len() {
        let rest: Vec<&str> = clash
            .iter()
            .enumerate()
            .filter(|(index, _)| *index != left_out)
            .map(|(_, aim)| aim.as_str())
            .collect();
        if !rest.is_empty() {
            assert!(
                matches!(
                    ask(&library, &old, &rest, &[], Least::Change),
                    AdjustAnswer::Possible { .. }
                ),
                "{rest:?}"
            );
        }
    }
    let all: Vec<&str> = clash.iter().map(String::as_str).collect();
    assert!(matches!(
        ask(&library, &old, &all, &[], Least::Change),
        AdjustAnswer::Impossible { .. }
    ));
}

#[test]
fn a_lower_expansion_is_confirmed_by_the_model_itself() {
    let (library, old) = lamplight("");
    let model = ExpansionModel::default();
    let value = |glaze: &Glaze| {
        model
            .value(&Analysis::of(glaze, &FluxList::default(), Additions::In).unwrap().moles)
            .unwrap()
    };
    let before = value(&old);
    for target in [6.1, 5.9, 5.6, 5.2] {
        let aims = [format!("expansion <= {target}"), "SiO2:Al2O3 in 7..11".to_owned()];
        let aims: Vec<&str> = aims.iter().map(String::as_str).collect();
        let (new, objective, certified) = found(ask(&library, &old, &aims, &[], Least::Weights));
        assert!(!certified && before > target);
        assert!(value(&new) <= target + 1e-6, "{}", value(&new));
        // As near as a coarse search of all exchanges between two materials gets, or nearer.
        let mut coarse = f64::INFINITY;
        for from in 0..old.base.len() {
            for to in 0..old.base.len() {
                for tenth in 1..400 {
                    let mut other = old.clone();
                    let moved = f64::from(tenth) / 10.0;
                    if from == to || other.base[from].percent < moved {
                        continue;
                    }
                    other.base[from].percent -= moved;
                    other.base[to].percent += moved;
                    let ratio = unity(&other, Oxide::SiO2) / unity(&other, Oxide::Al2O3);
                    if value(&other) <= target && (7.0..=11.0).contains(&ratio) {
                        coarse = coarse.min(change(&other, &old));
                    }
                }
            }
        }
        assert!(objective <= coarse + 1e-6, "{target}: {objective} {coarse}");
    }
    let impossible = ask(
        &library,
        &old,
        &["expansion <= 1", "whiting <= 15 %"],
        &[],
        Least::Change,
    );
    let AdjustAnswer::Impossible {
        clash,
        certified,
        misses,
        ..
    } = impossible
    else {
        panic!("{impossible:?}")
    };
    assert_eq!((clash, certified), (vec!["expansion <= 1".to_owned()], false));
    assert!(
        misses
            .iter()
            .any(|miss| miss.quantity == "expansion" && miss.reached > 1.0)
    );
}

/// Distance from the old glaze as every other screen takes it.
fn distance(old: &Glaze, new: &Glaze) -> f64 {
    let fluxes = FluxList::default();
    let comparison = glost_core::recipes::swap::Comparison::with(old, &fluxes)
        .unwrap()
        .unwrap();
    let moles = Analysis::of(new, &fluxes, Additions::In).unwrap().moles;
    comparison.yardstick().distance(&moles)
}

fn cost_per_kg(glaze: &Glaze) -> f64 {
    let price = |portion: &glost_chemistry::glaze::Portion| portion.material.price.as_ref().unwrap().per_kg;
    glaze
        .base
        .iter()
        .map(|portion| portion.percent / 100.0 * price(portion))
        .sum()
}

#[test]
fn the_cheapest_within_a_distance_spends_all_of_it_and_no_trial_is_cheaper() {
    let (library, glaze) = lamplight("");
    let mut before = cost_per_kg(&glaze);
    for most in [0.5, 2.0, 8.0] {
        let phrase = format!("distance <= {most}");
        let (new, cost, certified) = found(ask(&library, &glaze, &[&phrase], &["talc"], Least::Cost));
        assert!(certified);
        assert!((distance(&glaze, &new) - most).abs() < 1e-6 * most);
        assert!((cost - cost_per_kg(&new)).abs() < 1e-9);
        assert!(cost < before, "{cost} {before}");
        before = cost;
        // The cone is convex: moving a little from one material to another is
        // never both cheaper and inside.
        for from in 0..new.base.len() {
            for to in 0..new.base.len() {
                let mut trial = new.clone();
                let step = 0.01_f64.min(trial.base[from].percent);
                trial.base[from].percent -= step;
                trial.base[to].percent += step;
                let cheaper = cost_per_kg(&trial) < cost - 1e-9;
                assert!(!(cheaper && distance(&glaze, &trial) < most), "{from} {to}");
            }
        }
    }
}

#[test]
fn the_least_distance_within_an_aim_is_beaten_by_no_trial() {
    let (library, glaze) = lamplight("");
    let (same, none, _) = found(ask(&library, &glaze, &["SiO2 >= 2"], &[], Least::Distance));
    assert!(none < 1e-4, "{none}");
    assert!((same.base[0].percent - 38.0).abs() < 1e-3);
    let (new, least, _) = found(ask(&library, &glaze, &["SiO2 >= 3.3"], &["talc"], Least::Distance));
    assert!(unity(&new, Oxide::SiO2) > 3.3 - 1e-6);
    assert!((distance(&glaze, &new) - least).abs() < 1e-9);
    for from in 0..new.base.len() {
        for to in 0..new.base.len() {
            let mut trial = new.clone();
            let step = 0.05_f64.min(trial.base[from].percent);
            trial.base[from].percent -= step;
            trial.base[to].percent += step;
            let nearer = distance(&glaze, &trial) < least - 1e-6;
            assert!(!(nearer && unity(&trial, Oxide::SiO2) >= 3.3), "{from} {to}");
        }
    }
}

#[test]
fn a_distance_can_clash_with_an_aim() {
    let (library, glaze) = lamplight("");
    let phrases = ["distance <= 1", "SiO2 >= 4.5", "Al2O3 >= 0.1"];
    let AdjustAnswer::Impossible { mut clash, nearest, .. } = ask(&library, &glaze, &phrases, &[], Least::Change)
    else {
        panic!("possible");
    };
    let nearest = nearest.unwrap();
    assert!(unity(&nearest, Oxide::SiO2) > 4.5 - 1e-6 && distance(&glaze, &nearest) > 1.0);
    clash.sort();
    assert_eq!(clash, ["SiO2 >= 4.5", "distance <= 1"]);
    assert!(parse_phrase("distance >= 1", &library).is_err());
}
