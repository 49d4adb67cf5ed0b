//! What is to be said of a batch that can harm.

use glost_chemistry::oxides::Oxide;
use serde::{Serialize, Serializer};

/// A material with its grams in a batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MaterialGrams {
    /// Its name.
    pub material: String,
    /// Grams.
    pub grams: f64,
}

/// A metal in a batch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MetalGrams {
    /// Its name.
    pub metal: &'static str,
    /// The oxide that it is counted as.
    #[serde(serialize_with = "formula")]
    pub oxide: Oxide,
    /// Grams of that oxide.
    pub grams: f64,
}

fn formula<S: Serializer>(oxide: &Oxide, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(oxide.formula())
}

/// One caution; never in place of the supplier's safety data sheet, local rules or
/// a laboratory.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// The dust.
    Dust {
        /// Grams of crystalline silica that are told.
        silica_grams: f64,
        /// Materials that may hold some and don't say.
        untold: Vec<String>,
        /// Materials of the told ones whose own sheet doesn't say it: it is assumed.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        assumed: Vec<String>,
    },
    /// Poisonous to handle.
    Poisons(Vec<MaterialGrams>),
    /// What dissolves in the bucket.
    Soluble(Vec<String>),
    /// Metals that may leave the fired ware.
    Metals(Vec<MetalGrams>),
    /// Metals whose fumes leave the kiln.
    Fumes(Vec<&'static str>),
    /// Fluorine in wt % of the dry batch: it leaves the kiln as hydrogen fluoride.
    Fluorine(f64),
    /// Materials of which nobody tells what is in them.
    Untold(Vec<String>),
    /// How powder meets water, and where neither may go.
    PowderIntoWater,
}
