//! One requirement on a recipe, as a typed value.

use std::fmt;
use std::sync::Arc;

use crate::rules::Subject;
use glost_chemistry::glaze::FluxList;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Celsius;

use super::sum::{OxideSum, R2O};

/// What an aim is about.
#[derive(Debug, Clone)]
pub enum Quantity {
    /// Moles in the unity formula, a sum of them, or SiO2 : Al2O3, or the alkali share.
    Chemistry(Subject),
    /// Moles of a sum of oxides in the unity formula.
    Sum(OxideSum),
    /// One sum of oxides over another, by moles.
    Ratio(OxideSum, OxideSum),
    /// Expansion by the default model, 1e-6/K, mean of 20-400 deg C.
    Expansion,
    /// log10 of the melt's viscosity in Pa s at a temperature, by the melt curve.
    Melt(MeltAim),
    /// wt % of the dry batch with its additions.
    LossOnIgnition,
    /// Currency per kg of dry batch with its additions.
    Cost,
    /// Chemistry distance from the old glaze, in tolerances.
    Distance,
    /// These materials together, per cent of the base (additions: on the base).
    Share(Vec<Arc<Material>>),
    /// Raw clay as weighed, unfired, per cent of the base.
    RawClay,
}

/// Where the melt's viscosity is asked for, and what is left out of the melt
/// because the curve knows too few glasses with as much.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltAim {
    /// The temperature.
    pub at: Celsius,
    /// Left out on both sides.
    pub left_out: Vec<Oxide>,
}

/// A requirement: a quantity between two bounds.
#[derive(Debug, Clone)]
pub struct Aim {
    /// As it was typed.
    pub phrase: String,
    /// What it is about.
    pub quantity: Quantity,
    /// The least value.
    pub low: Option<f64>,
    /// The most.
    pub high: Option<f64>,
    /// The value that the least change heads for, where it isn't the nearest
    /// one that the bounds allow.
    pub wanted: Option<f64>,
}

impl Quantity {
    /// The unit that a bound is counted in.
    pub fn unit(&self) -> &'static str {
        match self {
            Quantity::Chemistry(Subject::SilicaToAlumina | Subject::AlkaliShare) | Quantity::Ratio(..) => "",
            Quantity::Chemistry(_) | Quantity::Sum(_) => "mol",
            Quantity::Expansion => "x 1e-6/K",
            Quantity::Melt(_) => "power of ten",
            Quantity::LossOnIgnition | Quantity::Share(_) | Quantity::RawClay => "%",
            Quantity::Cost => "per kg",
            Quantity::Distance => "tolerances",
        }
    }
}

impl fmt::Display for Quantity {
    /// In the trade's words.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Quantity::Chemistry(subject) => f.write_str(subject.name()),
            Quantity::Expansion => f.write_str("expansion"),
            Quantity::Melt(melt) => write!(f, "melt at {:.0} C", melt.at.celsius()),
            Quantity::LossOnIgnition => f.write_str("loss on ignition"),
            Quantity::Cost => f.write_str("cost"),
            Quantity::Distance => f.write_str("distance"),
            Quantity::Sum(sum) => sum.fmt(f),
            Quantity::Ratio(above, below) => write!(f, "{above}:{below}"),
            Quantity::Share(materials) => {
                let names: Vec<&str> = materials.iter().map(|material| material.name.as_str()).collect();
                f.write_str(&names.join(" + "))
            }
            Quantity::RawClay => f.write_str("raw clay"),
        }
    }
}

impl Quantity {
    /// The oxide, where it is about one by itself.
    pub fn only_oxide(&self) -> Option<Oxide> {
        match self {
            Quantity::Chemistry(Subject::Oxide(oxide)) => Some(*oxide),
            Quantity::Sum(sum) => sum.only_oxide(),
            _ => None,
        }
    }

    /// The oxides that it is about.
    pub fn oxides(&self, fluxes: &FluxList) -> Vec<Oxide> {
        match self {
            Quantity::Chemistry(Subject::Oxide(oxide)) => vec![*oxide],
            Quantity::Chemistry(Subject::Sum(_, oxides)) => oxides.to_vec(),
            Quantity::Chemistry(Subject::SilicaToAlumina) => vec![Oxide::SiO2, Oxide::Al2O3],
            Quantity::Chemistry(Subject::AlkaliShare) => R2O.to_vec(),
            Quantity::Sum(sum) => sum.oxides(fluxes),
            Quantity::Ratio(above, below) => [above.oxides(fluxes), below.oxides(fluxes)].concat(),
            _ => Vec::new(),
        }
    }

    /// Whether it counts in per cent.
    pub(super) fn in_percent(&self) -> bool {
        matches!(self, Quantity::Share(_) | Quantity::LossOnIgnition | Quantity::RawClay)
    }
}

impl fmt::Display for Aim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.phrase)
    }
}
