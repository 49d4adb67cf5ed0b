//! What was looked at: pieces of a glaze, at an age, counted.

use serde::Serialize;

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use glost_chemistry::quantity::Date;

use crate::evidence::notes::Looked;

use super::settings::{Belief, WindowSettings};

/// At which end of the window a glaze fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
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
    pub fn past(self, expansion: f64, edge: f64) -> f64 {
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
    /// Which of its family's lots they were made of.
    pub lot: usize,
    /// How they were looked at.
    pub looked: Looked,
    /// Line of the notebook, from 1.
    pub line: usize,
    /// When it was noted.
    pub noted_on: Date,
}

impl Look {
    /// How many failed, where it was looked for.
    pub fn failed(&self, edge: Edge) -> Option<u32> {
        match edge {
            Edge::Craze => self.crazed,
            Edge::Shiver => self.shivered,
        }
    }

    fn counts_before(&self, other: &Look, edge: Edge) -> bool {
        let rest = |look: &Look| (look.noted_on, look.failed(edge), look.line);
        self.age_days
            .total_cmp(&other.age_days)
            .then_with(|| rest(self).cmp(&rest(other)))
            .is_ge()
    }
}

/// Where a glaze stands in its family: a base with the tiles made of it and its versions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FamilyPlace {
    /// Which family.
    pub family: usize,
    /// Along which of the family's slopes; `None`: the base itself.
    pub slope: Option<usize>,
    /// How far along, in the slope's units.
    pub coordinate: f64,
}

/// A base whose true expansion nobody knows, and what it shares with all that is made of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// The base's expansion.
    pub believed: Believed,
    /// By how much its members differ for each unit of their coordinate, a slope each.
    pub slopes: Vec<Belief>,
}

/// A glaze, in one version or as one step of a ladder, with the looks at its pieces on one
/// clay at one firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Witness {
    /// The glaze's name.
    pub glaze: String,
    /// The version, where it isn't today's recipe.
    pub version: Option<String>,
    /// What was added to its base, where it is a step of a ladder.
    pub step: Option<Step>,
    /// Its expansion.
    pub believed: Believed,
    /// Where it stands in its family.
    pub place: FamilyPlace,
    /// The looks.
    pub looks: Vec<Look>,
}

/// An addition to a base: a step of a ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The material.
    pub material: String,
    /// How much, per cent of the base.
    pub percent: f64,
}

impl Witness {
    /// The looks that count for an edge: of each batch of one lot the one at the greatest
    /// age, then of the latest day, then with the most failed, then on the latest line; every
    /// look without a batch.
    pub fn latest(&self, edge: Edge) -> Vec<&Look> {
        let mut kept: Vec<&Look> = Vec::new();
        let mut of_batch: HashMap<(&str, usize), usize> = HashMap::new();
        for look in self.looks.iter().filter(|look| look.failed(edge).is_some()) {
            let Some(batch) = look.batch.as_deref() else {
                kept.push(look);
                continue;
            };
            match of_batch.entry((batch, look.lot)) {
                Entry::Vacant(vacant) => {
                    vacant.insert(kept.len());
                    kept.push(look);
                }
                Entry::Occupied(known) => {
                    if let Some(other) = kept.get_mut(*known.get())
                        && look.counts_before(other, edge)
                    {
                        *other = look;
                    }
                }
            }
        }
        kept
    }

    /// How many pieces of it were seen to fail at any look: what has crazed stays so, whatever
    /// a later look says.
    pub fn ever_failed(&self, edge: Edge) -> u64 {
        let mut most: HashMap<(&str, usize), u64> = HashMap::new();
        let mut alone = 0;
        for look in &self.looks {
            let failed = u64::from(look.failed(edge).unwrap_or(0));
            match look.batch.as_deref() {
                Some(batch) => {
                    let known = most.entry((batch, look.lot)).or_default();
                    *known = failed.max(*known);
                }
                None => alone += failed,
            }
        }
        alone + most.values().sum::<u64>()
    }

    /// How many pieces were looked at, and how many of them failed.
    pub fn counted(&self, edge: Edge) -> (u64, u64) {
        self.latest(edge).iter().fold((0, 0), |(pieces, failed), look| {
            let more = look.failed(edge).unwrap_or(0);
            (pieces + u64::from(look.pieces), failed + u64::from(more))
        })
    }
}
