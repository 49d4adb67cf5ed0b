//! What can stand at the ends of one plan together.

use crate::workshop::hazards::locked_metal;
use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Material;

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

/// What to know where the ends are fired or used unlike.
pub fn unlike_ends(ends: &[Glaze]) -> Vec<String> {
    let mut said = Vec::new();
    let mut compare = |what: &str, then: &str, of: fn(&Glaze) -> Option<String>| {
        let mut told: Vec<(&str, String)> = Vec::new();
        for end in ends {
            if let Some(value) = of(end)
                && !told.iter().any(|known| known.1 == value)
            {
                told.push((&end.name, value));
            }
        }
        if told.len() > 1 {
            let each: Vec<String> = told.iter().map(|(name, value)| format!("{name} {value}")).collect();
            said.push(format!("the ends {what}: {}; {then}", each.join(", ")));
        }
    };
    compare(
        "are fired unlike",
        "one firing is too cool for some tiles and too hot for others, so settle which it is and expect it to show",
        |end| match (&end.about.cone, end.about.peak) {
            (Some(cone), _) => Some(format!("cone {cone}")),
            (None, Some(peak)) => Some(format!("{:.0} C", peak.celsius())),
            (None, None) => None,
        },
    );
    compare(
        "want unlike kilns",
        "colours and surfaces between them belong to the one that is fired",
        |end| end.about.atmosphere.clone(),
    );
    compare(
        "name unlike firings",
        "fire all tiles in one kiln, and note which",
        |end| end.about.firing.clone(),
    );
    compare(
        "are for unlike clays",
        "make all tiles of one clay, and note which; fit on the other isn't told by them",
        |end| end.about.clay.clone(),
    );
    said
}
