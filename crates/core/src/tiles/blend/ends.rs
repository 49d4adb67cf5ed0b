//! What can stand at the ends of one plan together.

use crate::workshop::hazards::locked_metal;
use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Atmosphere, Glaze, GlazeNotes, Portion};
use glost_chemistry::material::Material;
use serde::Serialize;

/// Shares closer than this, in per cent, are the same.
const SAME_PERCENT: f64 = 1e-9;

/// Whether every end is a glaze of its own that may be mixed.
///
/// # Errors
/// Two ends of one recipe; lead, cadmium or mercury in one.
pub fn check_ends(ends: &[Glaze]) -> Result<(), Diagnostic> {
    for (index, end) in ends.iter().enumerate() {
        if let Some(same) = ends[..index].iter().find(|other| same_recipe(other, end)) {
            return Err(Diagnostic::error(
                "same-ends",
                format!(
                    "`{}` and `{}` are one recipe: every tile between them would be the same",
                    same.name, end.name
                ),
            )
            .help("name a second glaze, or an addition: \"Lamplight clear + 3 % copper carbonate\""));
        }
        let lines: Vec<(&Material, f64)> = end
            .portions()
            .map(|portion| (&*portion.material, portion.percent))
            .collect();
        if let Some((metal, material)) = locked_metal(&lines) {
            return Err(Diagnostic::error(
                "locked",
                format!("{} holds {metal}, from {material}: no plan is made with it", end.name),
            )
            .help(format!(
                "recipes with {metal} are shown for arithmetic only (`glost unity`); match its chemistry without it"
            )));
        }
    }
    Ok(())
}

/// Whether two ends have the same base, so that one batch of it can be split.
pub fn same_base(one: &Glaze, other: &Glaze) -> bool {
    same_portions(&one.base, &other.base)
}

fn same_recipe(one: &Glaze, other: &Glaze) -> bool {
    same_base(one, other) && same_portions(&one.additions, &other.additions)
}

fn same_portions(one: &[Portion], other: &[Portion]) -> bool {
    let percent = |portions: &[Portion], name: &str| -> f64 {
        let own = portions.iter().filter(|portion| portion.material.name == name);
        own.map(|portion| portion.percent).sum()
    };
    one.iter().chain(other).all(|portion| {
        let name = &portion.material.name;
        (percent(one, name) - percent(other, name)).abs() <= SAME_PERCENT
    })
}

/// A material on top of a tile's base.
#[derive(Debug, Clone, PartialEq)]
pub struct Added {
    /// The material's name.
    pub material: String,
    /// Per cent of the base.
    pub percent: f64,
}

/// On a ladder of one addition, how much of it a tile holds; `None` where the two ends
/// differ in anything else, or there are more.
pub(super) fn added(ends: &[Glaze], tile: &Glaze) -> Option<Added> {
    let [one, other] = ends else { return None };
    if !same_base(one, other) {
        return None;
    }
    let percent = |glaze: &Glaze, name: &str| -> f64 {
        let own = glaze.additions.iter().filter(|portion| portion.material.name == name);
        own.map(|portion| portion.percent).sum()
    };
    let mut rising: Vec<&str> = Vec::new();
    for portion in one.additions.iter().chain(&other.additions) {
        let name = portion.material.name.as_str();
        let differs = (percent(one, name) - percent(other, name)).abs() > SAME_PERCENT;
        if differs && !rising.contains(&name) {
            rising.push(name);
        }
    }
    let [material] = rising.as_slice() else { return None };
    Some(Added {
        material: (*material).to_owned(),
        percent: percent(tile, material),
    })
}

/// In what the ends are unlike, with those that say so, each value once.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnlikeEnds {
    /// They are fired to unlike heat.
    Heat(Vec<EndUse>),
    /// They want unlike atmospheres.
    Atmospheres(Vec<EndUse>),
    /// They name unlike firings.
    Firings(Vec<EndUse>),
    /// They are for unlike clays.
    Clays(Vec<EndUse>),
}

/// What an end says of its use.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EndUse {
    /// The end's name.
    pub end: String,
    /// What it says.
    pub says: EndSays,
}

/// How an end is fired or used.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EndSays {
    /// To a cone.
    Cone(String),
    /// To a peak, whole deg C.
    PeakCelsius(f64),
    /// In an atmosphere.
    Atmosphere(Atmosphere),
    /// By the name that its file gives a firing or a clay.
    Named(String),
}

/// In what the ends are fired or used unlike.
pub fn unlike_ends(ends: &[Glaze]) -> Vec<UnlikeEnds> {
    let unlike = |how: fn(Vec<EndUse>) -> UnlikeEnds, of: fn(&GlazeNotes) -> Option<EndSays>| {
        let mut told: Vec<EndUse> = Vec::new();
        for end in ends {
            if let Some(says) = of(&end.about)
                && !told.iter().any(|known| known.says == says)
            {
                let end = end.name.clone();
                told.push(EndUse { end, says });
            }
        }
        (told.len() > 1).then(|| how(told))
    };
    let heat = |about: &GlazeNotes| match (&about.cone, about.peak) {
        (Some(cone), _) => Some(EndSays::Cone(cone.clone())),
        (None, Some(peak)) => Some(EndSays::PeakCelsius(peak.celsius().round())),
        (None, None) => None,
    };
    let found = [
        unlike(UnlikeEnds::Heat, heat),
        unlike(UnlikeEnds::Atmospheres, |about| {
            about.atmosphere.map(EndSays::Atmosphere)
        }),
        unlike(UnlikeEnds::Firings, |about| about.firing.clone().map(EndSays::Named)),
        unlike(UnlikeEnds::Clays, |about| about.clay.clone().map(EndSays::Named)),
    ];
    found.into_iter().flatten().collect()
}
