//! The sum, and why there may be none.

use std::sync::Arc;

use crate::workshop::hazards::locked_metal;
use glost_chemistry::material::{FiredYield, Library, Material};
use glost_chemistry::oxides::Oxide;

use super::forms::{OPACIFIERS, main_oxides, of_same_metal, other_forms, shared};
use super::notes::{NotSummed, Taken, assumptions, notes};

/// How many names a refusal lists.
const MOST_NAMES: usize = 6;

/// One of the two materials.
#[derive(Debug, Clone)]
pub struct Side {
    /// The material.
    pub material: Arc<Material>,
    /// How much of it, in the unit asked.
    pub amount: f64,
    /// What it leaves once fired, per 100 g as supplied.
    pub fired: FiredYield,
    /// The oxide it is weighed in for.
    pub oxide: Oxide,
}

/// What the answer would be if another material of nearly the same name is meant.
#[derive(Debug, Clone)]
pub struct OtherForm {
    /// That material.
    pub material: Arc<Material>,
    /// Whether it would stand for the first of the two.
    pub is_from: bool,
    /// How much of the second it would then be, in the unit asked.
    pub amount: f64,
}

/// The same metal in another form.
#[derive(Debug, Clone)]
pub struct Conversion {
    /// What there is.
    pub from: Side,
    /// What takes its place.
    pub to: Side,
    /// Grams of the second for a gram of the first.
    pub factor: f64,
    /// Change of what is lost on firing, in the unit asked; negative for less.
    pub loss_change: f64,
    /// Other oxides, as much as the amounts bring: the oxide, before, after.
    pub along: Vec<(Oxide, f64, f64)>,
    /// The answer for other materials sold under nearly the same name.
    pub other_forms: Vec<OtherForm>,
    /// What the sum doesn't tell: grain, strength, gas, handling.
    pub notes: Vec<NotSummed>,
    /// What the analyses are taken to be.
    pub assumptions: Vec<Taken>,
}

impl Conversion {
    /// Whether one metal stands in for another, mole for mole.
    pub fn stands_in(&self) -> bool {
        self.from.oxide != self.to.oxide
    }
}

/// Why there is no sum.
#[derive(Debug, Clone, PartialEq)]
pub enum NoConversion {
    /// Both names mean one material.
    Same(String),
    /// Nobody tells what is in it.
    UnknownAnalysis(String),
    /// Nothing of it is left after firing.
    NothingLeft(String),
    /// A metal whose recipes are for arithmetic only, and the material that brings it.
    Locked(&'static str, String),
    /// It is weighed in for no single oxide.
    ManyOxides(String),
    /// They are weighed in for different oxides.
    OtherMetal {
        /// The first's.
        from: Oxide,
        /// The second's.
        to: Oxide,
        /// Whether both are opacifiers.
        opacifiers: bool,
        /// Materials that share the first's.
        instead: Vec<String>,
    },
}

/// How much of `to` holds as much of their metal as `amount` of `from` (grams or
/// per cent on the base; the answer is in the same unit). Moles of the metal's
/// oxide in the fired glaze are held, from the materials' own analyses.
///
/// # Errors
/// See [`NoConversion`].
pub fn convert(
    library: &Library,
    from: &Arc<Material>,
    to: &Arc<Material>,
    amount: f64,
) -> Result<Conversion, NoConversion> {
    if from.name == to.name {
        return Err(NoConversion::Same(from.name.clone()));
    }
    for material in [from, to] {
        if let Some((metal, name)) = locked_metal(&[(material, 1.0)]) {
            return Err(NoConversion::Locked(metal, name.to_owned()));
        }
    }
    let (old, new) = (fired(from)?, fired(to)?);
    let pair = shared(&old.oxides, &new.oxides).ok_or_else(|| refusal(library, from, to, old, new))?;
    let moles = |fired: &FiredYield, oxide: Oxide| fired.oxides.get(oxide) / oxide.grams_per_mole();
    let factor = moles(old, pair.from) / moles(new, pair.to);
    let side = |material: &Arc<Material>, fired: &FiredYield, oxide: Oxide, amount: f64| Side {
        material: material.clone(),
        amount,
        fired: fired.clone(),
        oxide,
    };
    let mut answers = Vec::new();
    for (material, oxide, is_from) in [(from, pair.from, true), (to, pair.to, false)] {
        for other in other_forms(library, material, oxide) {
            let Some(fired) = other
                .fired
                .as_ref()
                .filter(|_| other.name != from.name && other.name != to.name)
            else {
                continue;
            };
            let held = moles(fired, oxide);
            let factor = if is_from {
                held / moles(new, pair.to)
            } else {
                moles(old, pair.from) / held
            };
            answers.push(OtherForm {
                material: other.clone(),
                is_from,
                amount: amount * factor,
            });
        }
    }
    let from = side(from, old, pair.from, amount);
    let to = side(to, new, pair.to, amount * factor);
    Ok(Conversion {
        loss_change: (to.amount * new.loss_grams - from.amount * old.loss_grams) / 100.0,
        along: along(&from, &to),
        notes: notes(&from, &to),
        assumptions: assumptions(&from, &to),
        other_forms: answers,
        factor,
        from,
        to,
    })
}

fn fired(material: &Material) -> Result<&FiredYield, NoConversion> {
    let Some(fired) = &material.fired else {
        return Err(NoConversion::UnknownAnalysis(material.name.clone()));
    };
    if fired.oxides.total() <= 0.0 {
        return Err(NoConversion::NothingLeft(material.name.clone()));
    }
    Ok(fired)
}

fn refusal(library: &Library, from: &Material, to: &Material, old: &FiredYield, new: &FiredYield) -> NoConversion {
    let first = |fired: &FiredYield| main_oxides(&fired.oxides).first().map(|main| main.0);
    let (Some(from_oxide), Some(to_oxide)) = (first(old), first(new)) else {
        let mixed = if first(old).is_none() { from } else { to };
        return NoConversion::ManyOxides(mixed.name.clone());
    };
    NoConversion::OtherMetal {
        from: from_oxide,
        to: to_oxide,
        opacifiers: OPACIFIERS.contains(&from_oxide) && OPACIFIERS.contains(&to_oxide),
        instead: of_same_metal(library, from_oxide, &from.name, MOST_NAMES),
    }
}

/// Other oxides that come or go with the change, from a hundredth of the amount on.
fn along(from: &Side, to: &Side) -> Vec<(Oxide, f64, f64)> {
    const LEAST_SHARE: f64 = 0.01;
    let brings = |side: &Side, oxide: Oxide| side.amount * side.fired.oxides.get(oxide) / 100.0;
    Oxide::ALL
        .into_iter()
        .filter(|oxide| ![from.oxide, to.oxide].contains(oxide))
        .map(|oxide| (oxide, brings(from, oxide), brings(to, oxide)))
        .filter(|(_, before, after)| (before - after).abs() > LEAST_SHARE * from.amount)
        .collect()
}
