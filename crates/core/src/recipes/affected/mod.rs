//! Which glazes suffer when a material goes, or when a lot changes.

use std::sync::Arc;

use crate::recipes::swap::{SwapQuestion, SwapTrouble, closest};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis, Portion};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use serde::Serialize;

/// What happens to the studio's materials.
#[derive(Debug, Clone)]
pub enum Event {
    /// A material is gone.
    Out(Arc<Material>),
    /// Materials of these names come with new sheets.
    NewLot(Vec<Arc<Material>>),
}

/// What there is to choose from for the quick swap.
#[derive(Debug, Clone, Copy)]
pub struct Shelf<'a> {
    /// All materials in sight.
    pub library: &'a Library,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// Whether shipped materials may come in (only where there is no studio).
    pub shipped_may_come: bool,
}

/// What an event does to one glaze.
#[derive(Debug, Clone)]
pub struct Affected {
    /// The glaze's name.
    pub glaze: String,
    /// Share of the batch that the event touches, wt %.
    pub touched_percent: f64,
    /// What is left is this far from the old glaze, in tolerances: with a new
    /// lot, the old weights; with a material gone, the quick swap. `None` where
    /// it can't be told, or nothing is to be had.
    pub distance: Option<f64>,
    /// New less old unity formula of that recipe.
    pub unity_change: Vec<(Oxide, f64)>,
    /// New less old expansion by the default model, 1e-6/K, with its 90 % band.
    pub expansion_change: Option<(f64, f64)>,
    /// The quick swap: at most one newcomer; with a new lot, the same materials
    /// in new weights.
    pub quick_swap: Option<QuickSwap>,
    /// Why there are no numbers.
    pub trouble: Option<NoNumbers>,
}

/// Why there are no numbers of what an event does to a glaze.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoNumbers {
    /// It has no flux, so no unity formula.
    NoFlux,
    /// Nobody tells what is in these of its materials.
    Unknown(Vec<String>),
    /// Nothing of it is left after firing.
    NothingLeft,
    /// Nothing is to be had in place of what is gone.
    NothingInItsPlace,
    /// Its amounts can't be solved.
    BeyondSolving,
    /// Nobody tells what is in the new lot.
    UnknownNewLot,
}

/// A recipe that mends a glaze.
#[derive(Debug, Clone)]
pub struct QuickSwap {
    /// The recipe.
    pub glaze: Glaze,
    /// Its newcomers.
    pub newcomers: Vec<String>,
    /// Its distance from the old glaze.
    pub distance: f64,
}

impl Event {
    fn touches(&self, material: &Material) -> bool {
        match self {
            Event::Out(out) => out.name == material.name,
            Event::NewLot(lots) => lots.iter().any(|lot| lot.name.eq_ignore_ascii_case(&material.name)),
        }
    }
}

/// What the event does to a glaze; `None` where it doesn't touch it.
pub fn affected(glaze: &Glaze, event: &Event, shelf: &Shelf<'_>) -> Option<Affected> {
    let weight: f64 = glaze.portions().map(|portion| portion.percent).sum();
    let touched: f64 = glaze
        .portions()
        .filter(|portion| event.touches(&portion.material))
        .map(|portion| portion.percent)
        .sum();
    if touched <= 0.0 {
        return None;
    }
    let mut found = Affected {
        glaze: glaze.name.clone(),
        touched_percent: 100.0 * touched / weight,
        distance: None,
        unity_change: Vec::new(),
        expansion_change: None,
        quick_swap: None,
        trouble: None,
    };
    let before = match Analysis::of(glaze, shelf.fluxes, Additions::In) {
        Ok(Analysis {
            unity: Some(unity),
            moles,
            ..
        }) => (unity, moles),
        Ok(_) => {
            found.trouble = Some(NoNumbers::NoFlux);
            return Some(found);
        }
        Err(NoAnalysis::Unknown(names)) => {
            found.trouble = Some(NoNumbers::Unknown(names));
            return Some(found);
        }
        Err(NoAnalysis::NothingLeft) => {
            found.trouble = Some(NoNumbers::NothingLeft);
            return Some(found);
        }
    };
    match event {
        Event::Out(out) => without(&mut found, glaze, out, shelf, &before),
        Event::NewLot(lots) => with_new_lots(&mut found, glaze, lots, shelf, &before),
    }
    Some(found)
}

fn without(
    found: &mut Affected,
    glaze: &Glaze,
    out: &Arc<Material>,
    shelf: &Shelf<'_>,
    before: &(OxideMoles, OxideMoles),
) {
    let question = SwapQuestion {
        glaze,
        library: shelf.library,
        fluxes: shelf.fluxes,
        out: vec![out.clone()],
        with: Vec::new(),
        at_most: Some(1),
        show: 1,
        shipped_may_come: shelf.shipped_may_come,
    };
    match closest(&question) {
        Ok(mut candidates) if !candidates.is_empty() => {
            let best = candidates.swap_remove(0);
            compare(found, &best.glaze, shelf, before);
            found.quick_swap = Some(QuickSwap {
                newcomers: best.newcomers.iter().map(|newcomer| newcomer.name.clone()).collect(),
                distance: best.distance,
                glaze: best.glaze,
            });
        }
        Ok(_) | Err(SwapTrouble::NothingToSwapTo) => {
            found.trouble = Some(NoNumbers::NothingInItsPlace);
        }
        Err(_) => found.trouble = Some(NoNumbers::BeyondSolving),
    }
}

fn with_new_lots(
    found: &mut Affected,
    glaze: &Glaze,
    lots: &[Arc<Material>],
    shelf: &Shelf<'_>,
    before: &(OxideMoles, OxideMoles),
) {
    let renewed = |portions: &[Portion]| -> Vec<Portion> {
        portions
            .iter()
            .map(|portion| {
                let lot = lots
                    .iter()
                    .find(|lot| lot.name.eq_ignore_ascii_case(&portion.material.name));
                Portion {
                    material: lot.unwrap_or(&portion.material).clone(),
                    percent: portion.percent,
                }
            })
            .collect()
    };
    let new = Glaze {
        base: renewed(&glaze.base),
        additions: renewed(&glaze.additions),
        ..glaze.clone()
    };
    compare(found, &new, shelf, before);
    if found.distance.is_none() {
        found.trouble = Some(NoNumbers::UnknownNewLot);
        return;
    }
    if let Some((recipe, distance)) = crate::recipes::swap::reweighed(&new, &before.0, shelf.fluxes) {
        found.quick_swap = Some(QuickSwap {
            glaze: recipe,
            newcomers: Vec::new(),
            distance,
        });
    }
}

/// How far a recipe is from the old glaze, oxide by oxide and in expansion.
fn compare(found: &mut Affected, new: &Glaze, shelf: &Shelf<'_>, before: &(OxideMoles, OxideMoles)) {
    let Ok(Analysis {
        unity: Some(unity),
        moles,
        ..
    }) = Analysis::of(new, shelf.fluxes, Additions::In)
    else {
        return;
    };
    found.distance = Some(ChemistryDistance::new(&before.0, shelf.fluxes).distance(&moles));
    found.unity_change = Oxide::ALL
        .into_iter()
        .map(|oxide| (oxide, unity.get(oxide) - before.0.get(oxide)))
        .filter(|(_, change)| *change != 0.0)
        .collect();
    found.expansion_change = ExpansionModel::default()
        .difference(&before.1, &moles)
        .map(|change| (change.value_per_million_per_kelvin, change.plus_minus_90));
}

/// Names in the order in which to test again: farthest first, those without
/// numbers before all, ties by name.
pub fn retest_order(found: &[Affected]) -> Vec<String> {
    let mut order: Vec<&Affected> = found.iter().collect();
    let weight = |affected: &Affected| affected.distance.unwrap_or(f64::INFINITY);
    order.sort_by(|a, b| weight(b).total_cmp(&weight(a)).then_with(|| a.glaze.cmp(&b.glaze)));
    order.into_iter().map(|affected| affected.glaze.clone()).collect()
}
