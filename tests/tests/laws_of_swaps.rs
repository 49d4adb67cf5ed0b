//! Laws of swapping and weighing: the nearest recipe really is the nearest.
//!
//! The chemistry distance is written out here once more from its rules (one
//! row an oxide: 2 % + 0.002 of a mole, colouring oxides 5 % + 0.0005;
//! Na2O with K2O and SrO with BaO: 10 % + 0.005 each but 2 % + 0.002
//! together; all fluxes together 0.01; common practice, no source), and the
//! least distance is found with the textbook method of Lawson & Hanson,
//! *Solving Least Squares Problems* (1974), chapter 23.

#[allow(dead_code)]
mod invented;

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::Grams;
use glost_core::recipes::swap::{Candidate, Comparison, SwapQuestion, closest, one_for_one};
use glost_core::workshop::scales::Scales;
use glost_core::workshop::scales::weigh_out;
use glost_solve::plain;
use glost_tests::{library, material};
use invented::{Invented, Sheet, alike, analysis, for_all, invented, name, sheet, shelf};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

const STRONG_COLOURANTS: [&str; 5] = ["CoO", "CuO", "Cr2O3", "NiO", "V2O5"];
const FLUXES: [&str; 9] = ["Li2O", "Na2O", "K2O", "MgO", "CaO", "SrO", "BaO", "ZnO", "PbO"];
const STAND_INS: [[&str; 2]; 2] = [["Na2O", "K2O"], ["SrO", "BaO"]];

fn moles(amounts: &OxideMoles, oxides: &[&str]) -> f64 {
    oxides
        .iter()
        .map(|oxide| amounts.get(Oxide::from_formula(oxide).unwrap()))
        .sum()
}

/// The rows of `amounts` over the tolerances that `target` sets.
fn rows(amounts: &OxideMoles, target: &OxideMoles) -> Vec<f64> {
    let mut rows = Vec::new();
    for oxide in Oxide::ALL {
        let one = [oxide.formula()];
        let class = STAND_INS.iter().find(|class| class.contains(&one[0]));
        let tolerance = match class {
            Some(class) => 0.10 * moles(target, class) + 0.005,
            None if STRONG_COLOURANTS.contains(&one[0]) => 0.05 * moles(target, &one) + 0.0005,
            None if one == ["Fe2O3"] => 0.05 * moles(target, &one) + 0.002,
            None if ["TiO2", "MnO"].contains(&one[0]) => 0.05 * moles(target, &one) + 0.004,
            None if ["P2O5", "ZrO2", "SnO2"].contains(&one[0]) => 0.05 * moles(target, &one) + 0.003,
            None => 0.02 * moles(target, &one) + 0.002,
        };
        rows.push(moles(amounts, &one) / tolerance);
    }
    for class in STAND_INS {
        rows.push(moles(amounts, &class) / (0.02 * moles(target, &class) + 0.002));
    }
    rows.push(moles(amounts, &FLUXES) / 0.01);
    rows
}

/// The distance of some amounts at the scale that makes it least.
fn distance(amounts: &OxideMoles, target: &OxideMoles) -> f64 {
    let (found, wanted) = (rows(amounts, target), rows(target, target));
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let scale = dot(&found, &wanted) / dot(&found, &found);
    let misses = found.iter().zip(&wanted).map(|(found, wanted)| scale * found - wanted);
    misses.map(|miss| miss * miss).sum::<f64>().sqrt()
}

/// Moles per gram of base, held additions included.
fn column(library: &Library, material_name: &str, additions: &[(String, f64)]) -> OxideMoles {
    let per_gram = |name: &str| {
        let fired = material(library, name).fired.clone().unwrap();
        fired.oxides.to_moles().scaled(0.01)
    };
    let mut moles = per_gram(material_name);
    for (name, percent) in additions {
        moles.add_scaled(percent / 100.0, &per_gram(name));
    }
    moles
}

fn target(glaze: &Glaze) -> OxideMoles {
    analysis(glaze).unity.unwrap()
}

fn question<'a>(
    glaze: &'a Glaze,
    library: &'a Library,
    fluxes: &'a FluxList,
    out: &str,
    with: &[String],
) -> SwapQuestion<'a> {
    SwapQuestion {
        glaze,
        library,
        fluxes,
        out: vec![material(library, out)],
        with: with.iter().map(|name| material(library, name)).collect(),
        at_most: None,
        show: 50,
        shipped_may_come: false,
    }
}

/// A recipe whose last material runs out, and sheets of what could come in.
/// Additions, if any, are of other materials.
fn short_of_something() -> impl Strategy<Value = (Invented, Vec<Sheet>)> {
    let enough = |recipe: &Invented| recipe.additions.len() < recipe.sheets.len();
    (
        invented().prop_filter("one is missing from the base only", enough),
        vec(sheet(), 1..=4),
    )
}

struct Bench {
    library: Library,
    glaze: Glaze,
    missing: String,
    newcomers: Vec<String>,
    kept: Vec<String>,
    additions: Vec<(String, f64)>,
}

fn bench(recipe: &Invented, newcomers: &[Sheet]) -> Bench {
    let all: Vec<Sheet> = recipe.sheets.iter().chain(newcomers).cloned().collect();
    let library = shelf(&all);
    let count = recipe.sheets.len();
    Bench {
        glaze: recipe.glaze(&library),
        missing: name(count - 1),
        newcomers: (count..all.len()).map(name).collect(),
        kept: (0..count - 1).map(name).collect(),
        additions: recipe.named_additions(),
        library,
    }
}

impl Bench {
    fn closest(&self) -> Vec<Candidate> {
        let fluxes = FluxList::default();
        closest(&question(
            &self.glaze,
            &self.library,
            &fluxes,
            &self.missing,
            &self.newcomers,
        ))
        .unwrap()
    }

    fn columns(&self) -> Vec<OxideMoles> {
        let names = self.kept.iter().chain(&self.newcomers);
        names.map(|name| column(&self.library, name, &self.additions)).collect()
    }
}

#[test]
fn a_swap_has_the_least_distance_that_exists() {
    for_all(192, short_of_something(), |(recipe, newcomers)| {
        let bench = bench(&recipe, &newcomers);
        let target = target(&bench.glaze);
        let best = bench.closest().remove(0);
        // Recomputed from its parts.
        let mut from_parts = OxideMoles::ZERO;
        for portion in best.glaze.portions() {
            from_parts.add_scaled(portion.percent, &column(&bench.library, &portion.material.name, &[]));
        }
        let recomputed = distance(&from_parts, &target);
        alike(&[best.distance], &[recomputed], 1e-9)?;
        // The textbook method on the same rows.
        let matrix: Vec<f64> = bench
            .columns()
            .iter()
            .flat_map(|column| rows(column, &target))
            .collect();
        let wanted = rows(&target, &target);
        let amounts = plain::nnls(&matrix, &wanted);
        let least = plain::squared_distance(&matrix, &wanted, &amounts).sqrt();
        prop_assert!(
            (recomputed - least).abs() <= 1e-6 * least.max(1e-3),
            "{recomputed}, textbook {least}"
        );
        Ok(())
    });
}

#[test]
fn a_missing_addition_is_replaced_by_additions_of_least_distance() {
    let cases = (short_of_something(), 0.5..12.0_f64, any::<bool>());
    for_all(128, cases, |((recipe, newcomers), percent, in_base_too)| {
        let mut bench = bench(&recipe, &newcomers);
        let base = if in_base_too {
            recipe.named_parts()
        } else {
            recipe.named_parts()[..bench.kept.len()].to_vec()
        };
        let mut additions = bench.additions.clone();
        additions.push((bench.missing.clone(), percent));
        bench.glaze = recipe.glaze_of(&bench.library, &base, &additions);
        let target = target(&bench.glaze);
        let best = bench.closest().remove(0);
        let mut from_parts = OxideMoles::ZERO;
        for portion in best.glaze.portions() {
            from_parts.add_scaled(portion.percent, &column(&bench.library, &portion.material.name, &[]));
        }
        alike(&[best.distance], &[distance(&from_parts, &target)], 1e-9)?;
        let mut columns: Vec<OxideMoles> = bench
            .newcomers
            .iter()
            .map(|name| column(&bench.library, name, &[]))
            .collect();
        let base = if in_base_too {
            bench.columns()
        } else {
            bench.columns()[..bench.kept.len()].to_vec()
        };
        columns.extend(base);
        let matrix: Vec<f64> = columns.iter().flat_map(|column| rows(column, &target)).collect();
        let wanted = rows(&target, &target);
        let amounts = plain::nnls(&matrix, &wanted);
        let least = plain::squared_distance(&matrix, &wanted, &amounts).sqrt();
        prop_assert!(
            (best.distance - least).abs() <= 1e-6 * least.max(1e-3),
            "{}, textbook {least}",
            best.distance
        );
        // Nothing that was held has moved, and nothing of the missing is left.
        for (held, portion) in bench.additions.iter().zip(&best.glaze.additions) {
            prop_assert_eq!(held, &(portion.material.name.clone(), portion.percent));
        }
        prop_assert!(
            best.glaze
                .portions()
                .all(|portion| portion.material.name != bench.missing)
        );
        Ok(())
    });
}

#[test]
fn no_recipe_drawn_at_random_is_nearer() {
    let draws = vec(vec(0.0..1.0_f64, 9), 40);
    for_all(64, (short_of_something(), draws), |((recipe, newcomers), draws)| {
        let bench = bench(&recipe, &newcomers);
        let target = target(&bench.glaze);
        let best = bench.closest().remove(0);
        let columns = bench.columns();
        for draw in draws {
            let mut drawn = OxideMoles::ZERO;
            // Cubed, so that many materials come in as traces.
            for (column, amount) in columns.iter().zip(&draw) {
                drawn.add_scaled(amount.powi(3), column);
            }
            prop_assert!(distance(&drawn, &target) >= best.distance * (1.0 - 1e-9) - 1e-9);
        }
        // Nor is one beside the best itself.
        for (index, nudge) in [(0, 1.01), (1, 0.99)] {
            let mut nudged = OxideMoles::ZERO;
            for (place, portion) in best.glaze.base.iter().enumerate() {
                let factor = if place == index { nudge } else { 1.0 };
                let column = column(&bench.library, &portion.material.name, &bench.additions);
                nudged.add_scaled(factor * portion.percent, &column);
            }
            prop_assert!(distance(&nudged, &target) >= best.distance * (1.0 - 1e-9) - 1e-9);
        }
        Ok(())
    });
}

#[test]
fn a_proposal_is_a_recipe() {
    for_all(96, short_of_something(), |(recipe, newcomers)| {
        let bench = bench(&recipe, &newcomers);
        let proposals = bench.closest();
        for proposal in &proposals {
            let base = &proposal.glaze.base;
            alike(&[base.iter().map(|portion| portion.percent).sum()], &[100.0], 1e-9)?;
            prop_assert!(base.iter().all(|portion| portion.percent >= 0.0));
            prop_assert!(base.iter().all(|portion| portion.material.name != bench.missing));
            // Additions are held as they are.
            let held: Vec<(String, f64)> = proposal
                .glaze
                .additions
                .iter()
                .map(|portion| (portion.material.name.clone(), portion.percent))
                .collect();
            prop_assert_eq!(&held, &bench.additions);
        }
        prop_assert!(proposals.windows(2).all(|pair| pair[0].distance <= pair[1].distance));
        Ok(())
    });
}

/// Sheets with a twin of the last one after them.
fn with_a_twin(recipe: &Invented) -> Bench {
    let last = recipe.sheets[recipe.sheets.len() - 1].clone();
    bench(recipe, &[last])
}

#[test]
fn a_material_swapped_for_its_twin_changes_nothing() {
    let recipes = invented().prop_filter("missing from the base only", |recipe| {
        recipe.additions.len() < recipe.sheets.len()
    });
    for_all(192, recipes, |recipe| {
        let bench = with_a_twin(&recipe);
        let best = bench.closest().remove(0);
        prop_assert!(best.distance < 1e-6, "{}", best.distance);
        let unity = |glaze: &Glaze| *target(glaze).as_slice();
        alike(&unity(&best.glaze), &unity(&bench.glaze), 1e-7)?;
        let exchanged = one_for_one(
            &bench.glaze,
            &material(&bench.library, &bench.missing),
            &material(&bench.library, &bench.newcomers[0]),
        );
        prop_assert_eq!(unity(&exchanged), unity(&bench.glaze));
        let percents = |glaze: &Glaze| glaze.base.iter().map(|portion| portion.percent).collect::<Vec<_>>();
        prop_assert_eq!(percents(&exchanged), percents(&bench.glaze));
        Ok(())
    });
}

#[test]
fn a_twin_is_weighed_in_as_the_missing_one_was() {
    // Four unlike oxides, so that the chemistry settles the weights.
    let shelf = library(
        "materials:
  - { name: potash spar, basis: as supplied, loss_on_ignition: 0.4, source: invented, buyable: true, analysis: { SiO2: 67.0, Al2O3: 18.1, K2O: 11.5, Na2O: 3.0 } }
  - { name: its twin, basis: as supplied, loss_on_ignition: 0.4, source: invented, buyable: true, analysis: { SiO2: 67.0, Al2O3: 18.1, K2O: 11.5, Na2O: 3.0 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.9, source: invented, buyable: true, analysis: { SiO2: 46.5, Al2O3: 39.6 } }
  - { name: whiting, basis: as supplied, loss_on_ignition: 43.9, source: invented, buyable: true, analysis: { CaO: 56.1 } }
  - { name: silica, basis: as supplied, loss_on_ignition: 0.1, source: invented, buyable: true, analysis: { SiO2: 99.9 } }
",
    );
    for_all(64, vec(5.0..60.0_f64, 4), |parts| {
        let parts = format!(
            "potash spar: {}, silica: {}, whiting: {}, kaolin: {}",
            parts[0], parts[1], parts[2], parts[3]
        );
        let glaze = glost_tests::glaze(&shelf, &parts, "");
        let fluxes = FluxList::default();
        // Named or found on the shelf, it is the first answer.
        for with in [vec!["its twin".to_owned()], Vec::new()] {
            let best = closest(&question(&glaze, &shelf, &fluxes, "potash spar", &with)).unwrap();
            let best = &best[0];
            prop_assert!(best.distance < 1e-6, "{}", best.distance);
            for (old, new) in glaze.base.iter().zip(&best.glaze.base) {
                let same = old.material.name == new.material.name
                    || (old.material.name == "potash spar" && new.material.name == "its twin");
                prop_assert!(same, "{} {}", old.material.name, new.material.name);
                alike(&[new.percent], &[old.percent], 1e-6)?;
            }
        }
        Ok(())
    });
}

#[test]
fn what_nobody_named_brings_at_least_half_a_part_or_stays_out() {
    for_all(96, short_of_something(), |(recipe, newcomers)| {
        let all: Vec<Sheet> = recipe.sheets.iter().chain(&newcomers).cloned().collect();
        let mut text = "materials:\n".to_owned();
        for (index, sheet) in all.iter().enumerate() {
            // Every second one is only on paper: neither in stock nor to be bought.
            text += &sheet.entry(&name(index), if index % 2 == 0 { "buyable: true," } else { "" });
        }
        let library = library(&text);
        let glaze = recipe.glaze(&library);
        let fluxes = FluxList::default();
        let missing = name(recipe.sheets.len() - 1);
        let Ok(found) = closest(&question(&glaze, &library, &fluxes, &missing, &[])) else {
            return Ok(());
        };
        for candidate in found {
            prop_assert!(candidate.newcomers.len() <= 2);
            for newcomer in &candidate.newcomers {
                prop_assert!(newcomer.buyable, "{}", newcomer.name);
                let portion = candidate
                    .glaze
                    .base
                    .iter()
                    .find(|portion| portion.material.name == newcomer.name);
                prop_assert!(portion.is_some_and(|portion| portion.percent >= 0.5 - 1e-9));
            }
        }
        Ok(())
    });
}

/// Steps that scales read to, in grams; the last is an eighth of an ounce.
const STEPS: [f64; 11] = [
    0.01,
    0.02,
    0.05,
    0.1,
    0.125,
    0.2,
    0.25,
    0.5,
    1.0,
    5.0,
    28.349_523_125 / 8.0,
];

#[test]
fn what_is_weighed_keeps_the_total_and_each_line_to_the_step() {
    let cases = (invented(), select(STEPS.to_vec()), 20.0..20_000.0_f64);
    for_all(256, cases, |(recipe, step, dry_grams)| {
        let glaze = recipe.glaze(&shelf(&recipe.sheets));
        let fluxes = FluxList::default();
        let own = ChemistryDistance::new(&target(&glaze), &fluxes);
        let scales = Scales {
            reads_to: Grams::new(step).unwrap(),
            up_to: None,
        };
        let weighed = weigh_out(&glaze, &fluxes, &own, dry_grams, &scales);
        let close = 1e-6 * dry_grams;
        let total: f64 = weighed.base.iter().map(|line| line.grams).sum();
        prop_assert!(
            (total - (dry_grams / step).round() * step).abs() <= close,
            "{total} of {dry_grams} at {step}"
        );
        for (line, portion) in weighed.base.iter().zip(&glaze.base) {
            let exact = portion.percent / 100.0 * dry_grams;
            prop_assert!((line.grams - exact).abs() <= step + close, "{line:?} {exact}");
            let steps = line.grams / step;
            prop_assert!((steps - steps.round()).abs() * step <= close, "{line:?}");
        }
        for (line, portion) in weighed.additions.iter().zip(&glaze.additions) {
            let exact = portion.percent / 100.0 * dry_grams;
            prop_assert!((line.grams - exact).abs() <= step / 2.0 + close, "{line:?} {exact}");
        }
        Ok(())
    });
}

#[test]
fn what_is_weighed_is_analysed_as_it_is_weighed() {
    for_all(64, (invented(), select(vec![0.1, 1.0, 5.0])), |(recipe, step)| {
        let shelf = shelf(&recipe.sheets);
        let glaze = recipe.glaze(&shelf);
        let fluxes = FluxList::default();
        let comparison = Comparison::with(&glaze, &fluxes).unwrap().unwrap();
        let scales = Scales {
            reads_to: Grams::new(step).unwrap(),
            up_to: None,
        };
        let weighed = comparison
            .propose(glaze.clone(), 200.0, &scales)
            .unwrap()
            .unwrap()
            .weighed;
        let mut moles = OxideMoles::ZERO;
        for line in weighed.base.iter().chain(&weighed.additions) {
            moles.add_scaled(line.grams, &column(&shelf, &line.material, &[]));
        }
        let unity = fluxes.unity(&moles).unwrap();
        alike(unity.as_slice(), weighed.unity.unwrap().as_slice(), 1e-9)?;
        alike(&[weighed.distance.unwrap()], &[distance(&moles, &target(&glaze))], 1e-6)
    });
}

const WITH_CLAYS: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, loss_on_ignition: 0.4, source: sheet, buyable: true, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3, CaO: 0.5 } }
  - { name: silica, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, source: sheet, buyable: true, analysis: { SiO2: 99.5 } }
  - { name: whiting, kind: mineral, basis: as supplied, loss_on_ignition: 43.8, source: sheet, buyable: true, analysis: { CaO: 55.8 } }
  - { name: kaolin, kind: clay, basis: as supplied, loss_on_ignition: 13.8, source: sheet, analysis: { SiO2: 46, Al2O3: 38, K2O: 0.6, Fe2O3: 0.5 } }
  - { name: calcined clay, kind: mineral, basis: as supplied, loss_on_ignition: 0.2, source: sheet, buyable: true, analysis: { SiO2: 53.5, Al2O3: 44.5, K2O: 0.7, Fe2O3: 0.6 } }
  - { name: ball clay, kind: clay, basis: as supplied, loss_on_ignition: 10.4, source: sheet, buyable: true, analysis: { SiO2: 55, Al2O3: 28.6, K2O: 2.2, MgO: 0.4, Fe2O3: 1, TiO2: 1.3 } }
  - { name: bentonite, kind: clay, basis: as supplied, loss_on_ignition: 10.4, source: sheet, buyable: true, analysis: { SiO2: 59.8, Al2O3: 18.7, Fe2O3: 3.6, MgO: 2.7, CaO: 1.3, Na2O: 2.2 } }
";

/// Who asks for one recipe gets what stands first where many are asked for: the others are
/// only worked as far as it takes to know that they don't.
#[test]
fn the_one_recipe_asked_for_is_the_first_of_many() {
    let library = library(WITH_CLAYS);
    let fluxes = FluxList::default();
    for_all(64, vec(1.0..60.0_f64, 4), |parts| {
        let names = ["spar", "silica", "whiting", "kaolin"];
        let lines: Vec<String> = names
            .iter()
            .zip(&parts)
            .map(|(name, part)| format!("{name}: {part}"))
            .collect();
        let glaze = glost_tests::glaze(&library, &lines.join(", "), "");
        for out in names {
            for at_most in [Some(0), Some(1), None] {
                let asked = |show| {
                    let found = closest(&SwapQuestion {
                        at_most,
                        show,
                        ..question(&glaze, &library, &fluxes, out, &[])
                    });
                    let first = found.map(|found| found.into_iter().next());
                    first.map(|first| first.map(|first| (first.distance, lines_of(&first.glaze))))
                };
                prop_assert_eq!(asked(1), asked(9), "without {}", out);
            }
        }
        Ok(())
    });
}

fn lines_of(glaze: &Glaze) -> Vec<(String, f64)> {
    let lines = glaze.portions();
    lines
        .map(|portion| (portion.material.name.clone(), portion.percent))
        .collect()
}

/// Invented sheets: calcined clay has the chemistry of the kaolin that is gone, and
/// nothing that keeps a bucket afloat; ball clay has that.
#[test]
fn a_recipe_whose_clay_is_gone_keeps_raw_clay_and_takes_no_heap_of_bentonite() {
    let library = library(WITH_CLAYS);
    let old = glost_tests::glaze(&library, "spar: 42, silica: 24, whiting: 18, kaolin: 16", "");
    let found = closest(&SwapQuestion {
        glaze: &old,
        library: &library,
        fluxes: &FluxList::default(),
        out: vec![material(&library, "kaolin")],
        with: Vec::new(),
        at_most: None,
        show: 3,
        shipped_may_come: false,
    })
    .unwrap();
    let clay = |glaze: &Glaze| -> f64 {
        let parts = glaze.base.iter();
        parts
            .map(|portion| portion.percent * portion.material.raw_clay_fraction)
            .sum()
    };
    // Half of 16 is 8; 1.5 of slack (common practice, no source).
    assert!(clay(&found[0].glaze) > 6.4, "{:?}", found[0].glaze.base);
    let heap = |glaze: &Glaze| {
        glaze
            .base
            .iter()
            .any(|portion| portion.material.name == "bentonite" && portion.percent > 3.0 + 1e-6)
    };
    assert!(!heap(&found[0].glaze));
    assert!(found[0].distance < 5.0, "{}", found[0].distance);
}
