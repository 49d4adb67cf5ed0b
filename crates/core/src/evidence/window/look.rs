//! What was looked at: pieces of a glaze, at an age, counted.

use super::settings::{Belief, WindowSettings};

/// At which end of the window a glaze fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Too high an expansion: it crazes.
    Craze,
    /// Too low: it shivers.
    Shiver,
}

impl Edge {
    /// Both ends.
    pub const BOTH: [Edge; 2] = [Edge::Craze, Edge::Shiver];

    /// How far past the edge a glaze of this expansion lies, 1e-6/K; negative inside.
    pub(super) fn past(self, expansion: f64, edge: f64) -> f64 {
        match self {
            Edge::Craze => expansion - edge,
            Edge::Shiver => edge - expansion,
        }
    }
}

/// How a glaze's expansion is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Known {
    /// Computed from its composition.
    Computed,
    /// Printed on the bag.
    Printed,
    /// Not at all.
    Unknown,
}

/// A glaze's expansion as it is believed before its pieces are looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Believed {
    /// The value and one standard deviation, 1e-6/K.
    pub belief: Belief,
    /// How it is known.
    pub known: Known,
}

impl Believed {
    /// Computed, 1e-6/K of the default model.
    pub fn computed(expansion: f64, settings: &WindowSettings) -> Believed {
        Believed {
            belief: Belief::new(expansion, settings.computed_sd),
            known: Known::Computed,
        }
    }

    /// Printed on the bag, 1e-6/K.
    pub fn printed(expansion: f64, settings: &WindowSettings) -> Believed {
        Believed {
            belief: Belief::new(expansion, settings.printed_sd),
            known: Known::Printed,
        }
    }

    /// Of a glaze of which nobody tells anything.
    pub fn unknown(settings: &WindowSettings) -> Believed {
        Believed {
            belief: settings.unknown,
            known: Known::Unknown,
        }
    }

    /// The expansion, where it is known at all.
    pub fn expansion(&self) -> Option<f64> {
        (self.known != Known::Unknown).then_some(self.belief.mean)
    }
}

/// One look at some pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Days since the kiln.
    pub age_days: f64,
    /// How many pieces.
    pub pieces: u32,
    /// How many had crazed; `None` where nobody looked for it.
    pub crazed: Option<u32>,
    /// How many had shivered; `None` where nobody looked for it.
    pub shivered: Option<u32>,
    /// The batch: looks at one batch are looks at the same pieces.
    pub batch: Option<String>,
    /// Line of the notebook, from 1.
    pub line: usize,
    /// When it was noted, as written.
    pub noted_on: String,
}

impl Look {
    /// How many failed, where it was looked for.
    pub fn failed(&self, edge: Edge) -> Option<u32> {
        match edge {
            Edge::Craze => self.crazed,
            Edge::Shiver => self.shivered,
        }
    }
}

/// A glaze, in one version, with the looks at its pieces on one clay at one firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Witness {
    /// The glaze's name.
    pub glaze: String,
    /// The version, where it isn't today's recipe.
    pub version: Option<String>,
    /// Its expansion.
    pub believed: Believed,
    /// The looks.
    pub looks: Vec<Look>,
}

impl Witness {
    /// The looks that count for an edge: of each batch the one at the greatest age, then on
    /// the latest line; every look without a batch.
    pub fn latest(&self, edge: Edge) -> Vec<&Look> {
        let mut kept: Vec<&Look> = Vec::new();
        for look in self.looks.iter().filter(|look| look.failed(edge).is_some()) {
            let same = kept
                .iter_mut()
                .find(|other| look.batch.is_some() && other.batch == look.batch);
            match same {
                None => kept.push(look),
                Some(other) if (look.age_days, look.line) >= (other.age_days, other.line) => *other = look,
                Some(_) => {}
            }
        }
        kept
    }

    /// How many pieces were looked at, and how many of them failed.
    pub fn counted(&self, edge: Edge) -> (u64, u64) {
        self.latest(edge).iter().fold((0, 0), |(pieces, failed), look| {
            let more = look.failed(edge).unwrap_or(0);
            (pieces + u64::from(look.pieces), failed + u64::from(more))
        })
    }

    /// Whether enough pieces held for long enough, none of its pieces failing.
    pub fn held(&self, edge: Edge, settings: &WindowSettings) -> bool {
        let old_enough = self.latest(edge).into_iter();
        let pieces: u64 = old_enough
            .filter(|look| look.age_days >= settings.tested_days)
            .map(|look| u64::from(look.pieces))
            .sum();
        let failed = self
            .looks
            .iter()
            .filter_map(|look| look.failed(edge))
            .any(|failed| failed > 0);
        pieces >= u64::from(settings.tested_pieces) && !failed
    }
}
