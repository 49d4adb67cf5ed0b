//! What in a glaze harms whoever handles it, or may leave the fired ware.

use crate::workshop::hazards::{LOCKED, METALS, TRACE};
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Kind;
use glost_chemistry::oxides::Oxide;
use serde::Serialize;

/// What is in the dry powder.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Contents {
    /// Crystalline silica in wt % of the dry powder, from the materials that say it.
    pub free_silica_percent: f64,
    /// Materials whose crystalline silica nobody tells.
    pub silica_untold: Vec<String>,
    /// Materials marked as poisonous.
    pub toxic: Vec<String>,
    /// Materials marked as soluble.
    pub soluble: Vec<String>,
    /// Materials that make gas in a closed wet bucket: gums rot, ash fizzes.
    pub gas: Vec<String>,
    /// Metals of concern with grams of oxide per 100 g of dry powder.
    pub metals: Vec<(&'static str, f64)>,
    /// Materials whose analysis nobody tells.
    pub unknown: Vec<String>,
}

/// Crystalline silica below this, wt %, isn't told in figures.
const TOLD_SILICA_PERCENT: f64 = 0.5;

/// What is in it that harms.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Hazard {
    /// Materials of which nobody tells what is in them.
    Untold(Vec<String>),
    /// Crystalline silica in the dry powder.
    Silica {
        /// Wt % of it.
        percent: f64,
        /// Whether other materials may bring more.
        at_least: bool,
    },
    /// Its dust may be silica dust; how much isn't told.
    SilicaUntold,
    /// Poisonous to handle.
    Poisons(Vec<String>),
    /// What dissolves in the water.
    Soluble(Vec<String>),
    /// What makes gas in a closed bucket.
    Gas(Vec<String>),
    /// Metals that may leave the fired ware.
    Metals(Vec<&'static str>),
}

impl Contents {
    /// Whether the dust scars lungs.
    pub fn is_silica_dust(&self) -> bool {
        self.free_silica_percent >= TOLD_SILICA_PERCENT || !self.silica_untold.is_empty()
    }

    /// A metal in it that no ware for food may hold, whatever its firing.
    pub fn locked(&self) -> Option<&'static str> {
        let too_much = |(metal, percent): &&(&'static str, f64)| {
            let of = LOCKED.iter().find(|locked| locked.1 == *metal);
            of.is_some_and(|(oxide, _)| *percent >= most_for_food(*oxide))
        };
        self.metals.iter().find(too_much).map(|metal| metal.0)
    }

    /// What is in either of two.
    #[must_use]
    pub(super) fn and(mut self, other: &Contents) -> Contents {
        let add = |own: &mut Vec<String>, more: &[String]| {
            for name in more {
                if !own.contains(name) {
                    own.push(name.clone());
                }
            }
        };
        add(&mut self.silica_untold, &other.silica_untold);
        add(&mut self.toxic, &other.toxic);
        add(&mut self.soluble, &other.soluble);
        add(&mut self.gas, &other.gas);
        add(&mut self.unknown, &other.unknown);
        for (metal, grams) in &other.metals {
            match self.metals.iter_mut().find(|known| known.0 == *metal) {
                Some(known) => known.1 = known.1.max(*grams),
                None => self.metals.push((metal, *grams)),
            }
        }
        self.free_silica_percent = self.free_silica_percent.max(other.free_silica_percent);
        self
    }

    /// What is in it that harms, in the order that it is told.
    pub fn hazards(&self) -> Vec<Hazard> {
        let named =
            |names: &[String], hazard: fn(Vec<String>) -> Hazard| (!names.is_empty()).then(|| hazard(names.to_vec()));
        let untold = !self.silica_untold.is_empty();
        let silica = if self.free_silica_percent >= TOLD_SILICA_PERCENT {
            Some(Hazard::Silica {
                percent: self.free_silica_percent,
                at_least: untold,
            })
        } else {
            untold.then_some(Hazard::SilicaUntold)
        };
        let metals: Vec<&'static str> = self.metals.iter().map(|metal| metal.0).collect();
        let hazards = [
            named(&self.unknown, Hazard::Untold),
            silica,
            named(&self.toxic, Hazard::Poisons),
            named(&self.soluble, Hazard::Soluble),
            named(&self.gas, Hazard::Gas),
            (!metals.is_empty()).then_some(Hazard::Metals(metals)),
        ];
        hazards.into_iter().flatten().collect()
    }
}

/// From this much on, wt % of the dry powder, a locked metal bars a glaze from food: as the check
/// of lead and cadmium has it (common practice, no source).
fn most_for_food(oxide: Oxide) -> f64 {
    match oxide {
        Oxide::PbO => 0.01,
        Oxide::CdO => 0.001,
        _ => 100.0 * TRACE,
    }
}

/// What is in a glaze, its additions counted.
pub fn contents(glaze: &Glaze) -> Contents {
    let portions: Vec<&Portion> = glaze.portions().filter(|portion| portion.percent > 0.0).collect();
    let total: f64 = portions.iter().map(|portion| portion.percent).sum();
    let named = |keep: &dyn Fn(&Portion) -> bool| -> Vec<String> {
        portions
            .iter()
            .filter(|portion| keep(portion))
            .map(|portion| portion.material.name.clone())
            .collect()
    };
    let metals = LOCKED.iter().chain(&METALS).filter_map(|&(oxide, name)| {
        let grams: f64 = portions
            .iter()
            .filter_map(|portion| Some(portion.material.fired.as_ref()?.oxides.get(oxide) * portion.percent / total))
            .sum();
        let poison = oxide == Oxide::As2O3 || LOCKED.iter().any(|locked| locked.0 == oxide);
        (grams > if poison { 0.0 } else { 100.0 * TRACE }).then_some((name, grams))
    });
    let silica: f64 = portions
        .iter()
        .filter_map(|portion| Some(portion.material.free_silica_percent? * portion.percent / total))
        .sum();
    Contents {
        free_silica_percent: silica,
        silica_untold: named(&|portion| portion.material.free_silica_percent.is_none() && may_hold_quartz(portion)),
        toxic: named(&|portion| portion.material.toxic),
        soluble: named(&|portion| portion.material.soluble),
        gas: named(&|portion| makes_gas(portion)),
        metals: metals.collect(),
        unknown: named(&|portion| portion.material.fired.is_none()),
    }
}

/// What is called ash and isn't of plants.
const NO_PLANT_ASH: [&str; 5] = ["soda", "pearl", "bone", "volcanic", "fly"];

/// Gums rot; wood ash stands on so many tubs under its own name that the name has to do, its
/// analysis being as various as its wood. Common practice, no source.
fn makes_gas(portion: &Portion) -> bool {
    let material = &portion.material;
    let mut names = std::iter::once(&material.name).chain(&material.other_names);
    let of_plants = |name: &String| {
        let name = name.to_lowercase();
        let has = |wanted: &str| {
            name.split(|sign: char| !sign.is_alphabetic())
                .any(|word| word == wanted)
        };
        has("ash") && !NO_PLANT_ASH.into_iter().any(has)
    };
    material.kind == Kind::Gum || names.any(of_plants)
}

/// Anything with silica in it may hold some as quartz; what has none can't.
fn may_hold_quartz(portion: &Portion) -> bool {
    let material = &portion.material;
    let silica = |fired: &glost_chemistry::material::FiredYield| fired.oxides.get(Oxide::SiO2) > 0.0;
    !material.kind.already_melted() && material.fired.as_ref().is_none_or(silica)
}

#[cfg(test)]
mod tests;
