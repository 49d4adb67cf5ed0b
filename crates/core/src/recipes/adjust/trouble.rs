//! Why an adjustment has no answer.

use std::sync::Arc;

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::Oxide;
use glost_solve::KernelError;

use super::melted::MeltTrouble;

/// wt % of a material from which it is worth naming as a source (common practice, no source).
const WORTH_NAMING_PERCENT: f64 = 5.0;
/// Sources named at most.
const MOST_NAMED: usize = 5;

/// Why there is no answer.
#[derive(Debug, Clone)]
pub enum AdjustTrouble {
    /// The recipe, or a newcomer, has an unknown analysis.
    UnknownAnalysis(Vec<String>),
    /// A cost is asked and this material has no price.
    NoPrice(String),
    /// No aim was given.
    NoAims,
    /// An aim is about a material that is neither in the recipe nor named to come in.
    NotThere(Diagnostic),
    /// An aim, as typed, wants oxides that no allowed material brings.
    NoSource {
        /// The aim.
        aim: String,
        /// What nobody brings.
        oxides: Vec<Oxide>,
    },
    /// An aim, as typed, holds an oxide that the glaze lacks.
    NothingToHold {
        /// The aim.
        aim: String,
        /// What the glaze has.
        there: Vec<Oxide>,
    },
    /// The melt can't be aimed at.
    Melt(MeltTrouble),
    /// An aim, as typed, that no chance can be worked out for: it isn't linear.
    NoChance(String),
    /// A glaze without flux has no unity formula.
    NoFlux,
    /// The numbers are beyond what can be solved.
    Unsolvable(KernelError),
}

impl From<MeltTrouble> for AdjustTrouble {
    fn from(trouble: MeltTrouble) -> AdjustTrouble {
        AdjustTrouble::Melt(trouble)
    }
}

impl From<KernelError> for AdjustTrouble {
    fn from(error: KernelError) -> AdjustTrouble {
        AdjustTrouble::Unsolvable(error)
    }
}

/// Materials to be had that bring one of these oxides, richest first, a few.
pub fn sources_of(oxides: &[Oxide], library: &Library) -> Vec<Arc<Material>> {
    let brings = |material: &Material| -> f64 {
        let fired = material.fired.as_ref();
        fired.map_or(0.0, |fired| oxides.iter().map(|&oxide| fired.oxides.get(oxide)).sum())
    };
    let mut found: Vec<Arc<Material>> = library
        .iter()
        .filter(|material| brings(material) >= WORTH_NAMING_PERCENT)
        .filter(|material| material.to_be_had() || material.shipped)
        .cloned()
        .collect();
    found.sort_by(|a, b| {
        let own = |material: &Material| material.to_be_had() && !material.shipped;
        own(b).cmp(&own(a)).then(brings(b).total_cmp(&brings(a)))
    });
    found.truncate(MOST_NAMED);
    found
}
