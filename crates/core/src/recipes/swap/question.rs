//! What a swap is asked, and why there may be none.

use std::sync::Arc;

use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis};
use glost_chemistry::material::{Library, Material};

use super::newcomers::allowed;
use glost_chemistry::distance::ChemistryDistance;

/// A swap to be worked out.
#[derive(Debug, Clone)]
pub struct SwapQuestion<'a> {
    /// The old recipe.
    pub glaze: &'a Glaze,
    /// All materials in sight.
    pub library: &'a Library,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// The materials that are gone.
    pub out: Vec<Arc<Material>>,
    /// The only newcomers allowed; empty: by rule.
    pub with: Vec<Arc<Material>>,
    /// How many newcomers at most; `None`: 2 by rule, no limit where they are named.
    pub at_most: Option<usize>,
    /// How many proposals.
    pub show: usize,
    /// Whether shipped materials may come in (only where there is no studio).
    pub shipped_may_come: bool,
}

/// Why there is no swap to work out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SwapTrouble {
    /// The recipe doesn't hold this material.
    NotInRecipe(String),
    /// These materials' analyses are unknown.
    UnknownAnalysis(Vec<String>),
    /// The glaze has no flux: its unity formula is undefined.
    NoFlux,
    /// Nothing is to be had that could come in.
    NothingToSwapTo,
    /// A named newcomer is itself gone, or already in the recipe.
    NotANewcomer(String),
    /// So many newcomers, so many at most: more sets than can all be tried.
    TooManySets {
        /// Newcomers to choose from.
        newcomers: usize,
        /// How many of them at most were asked for.
        at_most: usize,
    },
    /// The numbers are beyond what can be solved.
    Unsolvable,
}

/// The old recipe's chemistry, to measure others against.
pub(super) fn target(question: &SwapQuestion<'_>) -> Result<ChemistryDistance, SwapTrouble> {
    for out in &question.out {
        if !question.glaze.holds(out) {
            return Err(SwapTrouble::NotInRecipe(out.name.clone()));
        }
    }
    let analysis = Analysis::of(question.glaze, question.fluxes, Additions::In).map_err(|trouble| match trouble {
        NoAnalysis::Unknown(names) => SwapTrouble::UnknownAnalysis(names),
        NoAnalysis::NothingLeft => SwapTrouble::NoFlux,
    })?;
    let unity = analysis.unity.ok_or(SwapTrouble::NoFlux)?;
    Ok(ChemistryDistance::new(&unity, question.fluxes))
}

/// The materials that may come in.
pub(super) fn newcomers(question: &SwapQuestion<'_>) -> Result<Vec<Arc<Material>>, SwapTrouble> {
    if question.with.is_empty() {
        return Ok(allowed(
            question.glaze,
            &question.out,
            question.library,
            question.shipped_may_come,
        ));
    }
    let mut named: Vec<Arc<Material>> = Vec::new();
    for material in &question.with {
        if material.fired.is_none() {
            return Err(SwapTrouble::UnknownAnalysis(vec![material.name.clone()]));
        }
        if question.out.iter().any(|out| out.name == material.name) {
            return Err(SwapTrouble::NotANewcomer(material.name.clone()));
        }
        // What stays of the old recipe may come in anyway.
        if !question.glaze.holds(material) && !named.iter().any(|known| known.name == material.name) {
            named.push(material.clone());
        }
    }
    Ok(named)
}
