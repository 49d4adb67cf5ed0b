//! What a search for the fewest materials comes to.

use std::sync::Arc;

use glost_chemistry::material::Material;

use crate::recipes::swap::Candidate;

/// The fewest materials, and what becomes of each glaze.
#[derive(Debug, Clone)]
pub struct Fewest {
    /// The materials to keep, additions and what is kept anyway among them.
    pub keep: Vec<Arc<Material>>,
    /// The others that bases could be made of.
    pub drop: Vec<Arc<Material>>,
    /// Those of `keep` that additions and glazes of unknown chemistry hold.
    pub held: Vec<Arc<Material>>,
    /// No set with fewer materials than this does it; `keep` has as many where that is
    /// proven.
    pub at_least: usize,
    /// Whether no smaller set does it.
    pub proven: bool,
    /// What was tried: nodes, and each recipe as several.
    pub steps: u64,
    /// Every glaze, in the order asked.
    pub glazes: Vec<KeptGlaze>,
    /// Other sets, and what one material more or less does.
    pub next: Vec<Next>,
    /// Materials of one chemistry.
    pub twins: Vec<(Arc<Material>, Arc<Material>)>,
}

/// A glaze, made of what is kept.
#[derive(Debug, Clone)]
pub struct KeptGlaze {
    /// Its name.
    pub glaze: String,
    /// How it is made.
    pub kept: Kept,
}

/// How a glaze is made of what is kept.
#[derive(Debug, Clone)]
pub enum Kept {
    /// As before: all its materials are kept.
    Unchanged,
    /// By a new recipe that is near.
    New(Candidate),
    /// As before: its chemistry can't be held against anything.
    AsItIs(AsItIs),
    /// Not at all: nothing near is to be had without what is dropped; the nearest, where
    /// there is any.
    Lost(Option<Candidate>),
}

/// Why a glaze stays as it is, with all its materials.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AsItIs {
    /// Nobody tells what is in these.
    Unknown(Vec<String>),
    /// It has no flux, or nothing is left of it: there is no unity formula to be near to.
    NoUnity,
}

/// Another set, beside the one kept.
#[derive(Debug, Clone)]
pub enum Next {
    /// As many materials.
    AsMany {
        /// In the set, not in the one kept.
        with: Vec<Arc<Material>>,
        /// In the one kept, not in the set.
        without: Vec<Arc<Material>>,
    },
    /// One material more.
    OneMore {
        /// Which.
        with: Arc<Material>,
        /// Glazes that can then stay unchanged.
        unchanged: Vec<String>,
        /// By how much the distances of all glazes fall together, in tolerances.
        nearer: f64,
    },
    /// One material less.
    OneLess {
        /// Which.
        without: Arc<Material>,
        /// Glazes that are then no longer near, with their least distance; `None` where
        /// no recipe is left.
        lost: Vec<(String, Option<f64>)>,
    },
}
