//! One requirement on a recipe, as a typed value.

use std::fmt;
use std::sync::Arc;

use crate::rules::Subject;
use glost_chemistry::material::Material;

/// What an aim is about.
#[derive(Debug, Clone)]
pub enum Quantity {
    /// Moles in the unity formula, a sum of them, or SiO2 : Al2O3, or the alkali share.
    Chemistry(Subject),
    /// Expansion by the default model, 1e-6/K, mean of 20-400 deg C.
    Expansion,
    /// wt % of the dry batch with its additions.
    LossOnIgnition,
    /// Currency per kg of dry batch with its additions.
    Cost,
    /// Chemistry distance from the old glaze, in tolerances.
    Distance,
    /// Per cent of the base.
    Share(Arc<Material>),
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
}

impl Quantity {
    /// In the trade's words.
    pub fn name(&self) -> String {
        match self {
            Quantity::Chemistry(subject) => subject.name().to_owned(),
            Quantity::Expansion => "expansion".to_owned(),
            Quantity::LossOnIgnition => "loss on ignition".to_owned(),
            Quantity::Cost => "cost".to_owned(),
            Quantity::Distance => "distance".to_owned(),
            Quantity::Share(material) => material.name.clone(),
        }
    }

    /// The unit that a bound is counted in.
    pub fn unit(&self) -> &'static str {
        match self {
            Quantity::Chemistry(Subject::SilicaToAlumina | Subject::AlkaliShare) => "",
            Quantity::Chemistry(_) => "mol",
            Quantity::Expansion => "x 1e-6/K",
            Quantity::LossOnIgnition | Quantity::Share(_) => "%",
            Quantity::Cost => "per kg",
            Quantity::Distance => "tolerances",
        }
    }
}

impl fmt::Display for Aim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.phrase)
    }
}
