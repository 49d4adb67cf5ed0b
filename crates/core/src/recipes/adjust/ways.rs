//! Several distinct ways to one expansion: more silica, magnesia or lithia for
//! soda, boron and so on.
//!
//! Each way lets one material of a route rise, silica with it, and everything
//! else only fall, and is solved as an adjustment of its own within all aims; so
//! the ways differ in kind, not in the third decimal.

use std::sync::Arc;

use crate::recipes::aims::{Aim, Phrase, Quantity};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;

use super::program::Least;
use super::question::{AdjustAnswer, AdjustQuestion, Asked, adjust};
use super::trouble::AdjustTrouble;

/// Parts by which a way's own material rises at least, else it is no way of its own (ours).
const LEAST_RISE_PERCENT: f64 = 2.0;

/// What rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Route {
    /// Silica.
    Silica,
    /// Clay and alumina.
    Alumina,
    /// Magnesia: talc, dolomite, magnesite.
    Magnesia,
    /// Lithia: lithium minerals.
    Lithia,
    /// Boron: frits and borates.
    Boron,
    /// Zinc oxide.
    Zinc,
    /// Lime: whiting, wollastonite.
    Lime,
    /// Potash and soda: feldspars and alkali frits. Raises the expansion.
    Alkali,
}

impl Route {
    /// In the order in which they are tried.
    pub const ALL: [Route; 8] = [
        Route::Silica,
        Route::Alumina,
        Route::Magnesia,
        Route::Lithia,
        Route::Boron,
        Route::Zinc,
        Route::Lime,
        Route::Alkali,
    ];

    /// The route that a material serves: by the oxide that marks it, in wt % of
    /// what it leaves in the fired glaze (bounds: ours, so that feldspars, frits,
    /// clays and single-oxide materials each fall where the trade puts them).
    pub fn of(material: &Material) -> Option<Route> {
        let fired = material.fired.as_ref()?;
        let total = fired.oxides.total();
        let percent = |oxide: Oxide| 100.0 * fired.oxides.get(oxide) / total;
        if total <= 0.0 {
            return None;
        }
        let marks = [
            (Route::Boron, percent(Oxide::B2O3) >= 10.0),
            (Route::Lithia, percent(Oxide::Li2O) >= 3.0),
            (Route::Zinc, percent(Oxide::ZnO) >= 50.0),
            (Route::Magnesia, percent(Oxide::MgO) >= 15.0),
            (Route::Lime, percent(Oxide::CaO) >= 40.0),
            (Route::Alkali, percent(Oxide::K2O) + percent(Oxide::Na2O) >= 6.0),
            (Route::Silica, percent(Oxide::SiO2) >= 90.0),
            (Route::Alumina, percent(Oxide::Al2O3) >= 30.0),
        ];
        marks.into_iter().find(|mark| mark.1).map(|mark| mark.0)
    }

    /// What rises, in the trade's words.
    pub const fn name(self) -> &'static str {
        match self {
            Route::Silica => "more silica",
            Route::Alumina => "more clay or alumina",
            Route::Magnesia => "magnesia",
            Route::Lithia => "lithia",
            Route::Boron => "boron",
            Route::Zinc => "zinc",
            Route::Lime => "lime",
            Route::Alkali => "more feldspar or alkali",
        }
    }
}

/// Parts by which a way's own material rises at most to be a change of the
/// recipe and not another recipe (ours).
pub const MOST_RISE_PERCENT: f64 = 20.0;

/// One way that meets all aims.
#[derive(Debug, Clone)]
pub struct Way {
    /// By how many parts of 100 its material rises.
    pub rise_percent: f64,
    /// What rises.
    pub route: Route,
    /// The material that does it.
    pub material: Arc<Material>,
    /// The recipe, unrounded.
    pub glaze: Glaze,
    /// The change as of [`Least::Weights`].
    pub objective: f64,
}

/// The ways that meet the question's aims, least change first, one for each
/// route; some may move more than [`MOST_RISE_PERCENT`]. `newcomers` may come in
/// besides those of the question.
///
/// # Errors
/// As of [`adjust`].
pub fn ways(question: &AdjustQuestion<'_>, newcomers: &[Arc<Material>]) -> Result<Vec<Way>, AdjustTrouble> {
    let of_the_base = question.glaze.base.iter().map(|portion| portion.material.clone());
    let mut candidates: Vec<Arc<Material>> = Vec::new();
    for material in of_the_base
        .chain(question.with.iter().cloned())
        .chain(newcomers.iter().cloned())
    {
        if !candidates.iter().any(|known| known.name == material.name) {
            candidates.push(material);
        }
    }
    let mut found: Vec<Way> = Vec::new();
    let raises = question
        .aims
        .iter()
        .any(|asked| matches!(asked, Asked::Fit { low: Some(_), .. }));
    for route in Route::ALL {
        // Alkali raises an expansion: no way down.
        if route == Route::Alkali && !raises {
            continue;
        }
        let mut best: Option<Way> = None;
        for material in candidates.iter().filter(|material| Route::of(material) == Some(route)) {
            let way = way(question, route, material)?;
            if let Some(way) = way
                && best.as_ref().is_none_or(|best| way.objective < best.objective)
            {
                best = Some(way);
            }
        }
        found.extend(best);
    }
    // One that rises only because it must helps where the rest of the recipe
    // then moves less than with silica alone.
    let silica = found.iter().find(|way| way.route == Route::Silica);
    let silica = silica.map_or(f64::INFINITY, |way| way.objective);
    found.retain(|way| {
        let step = (0.1 * share_of(question.glaze, &way.material.name)).max(1.0);
        let rest = way.objective - (way.rise_percent / step).powi(2);
        way.rise_percent > LEAST_RISE_PERCENT + 1e-6 || rest < silica
    });
    found.sort_by(|a, b| a.objective.total_cmp(&b.objective));
    Ok(found)
}

/// Per cent of the base that is this material.
fn share_of(glaze: &Glaze, name: &str) -> f64 {
    let same = glaze.base.iter().filter(|portion| portion.material.name == *name);
    same.fold(0.0, |sum, portion| sum + portion.percent)
}

/// The least change in which this material rises, silica may, and all others only fall.
fn way(question: &AdjustQuestion<'_>, route: Route, material: &Arc<Material>) -> Result<Option<Way>, AdjustTrouble> {
    let before = |name: &str| -> f64 {
        let same = question
            .glaze
            .base
            .iter()
            .filter(|portion| portion.material.name == *name);
        same.map(|portion| portion.percent).sum()
    };
    let share = |material: &Arc<Material>, low: Option<f64>, high: Option<f64>| {
        Asked::Phrase(Phrase::Aim(Aim {
            phrase: format!("{}: {}", route.name(), material.name),
            quantity: Quantity::Share(vec![material.clone()]),
            low,
            high,
            wanted: None,
        }))
    };
    let mut aims = question.aims.clone();
    aims.push(share(material, Some(before(&material.name) + LEAST_RISE_PERCENT), None));
    for portion in &question.glaze.base {
        if portion.material.name == material.name || Route::of(&portion.material) == Some(Route::Silica) {
            continue;
        }
        aims.push(share(&portion.material, None, Some(before(&portion.material.name))));
    }
    let asked = AdjustQuestion {
        aims,
        with: vec![material.clone()],
        // Ways differ in what is weighed, so they are counted in weights.
        least: Least::Weights,
        ..question.clone()
    };
    Ok(match adjust(&asked)? {
        AdjustAnswer::Possible { glaze, objective, .. } => Some(Way {
            rise_percent: share_of(&glaze, &material.name) - share_of(question.glaze, &material.name),
            route,
            material: material.clone(),
            glaze: *glaze,
            objective,
        }),
        AdjustAnswer::Impossible { .. } => None,
    })
}
