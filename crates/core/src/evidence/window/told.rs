//! Chances of glazes that nobody looked at, kept as they were worked out: they rise with the
//! expansion (of shivering they fall), so neighbours settle on which side of a level most lie.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::look::Edge;
use super::settings::Belief;

/// Neighbours nearer than this, 1e-6/K, settle nothing: rounding might.
const LEAST_APART: f64 = 1e-6;

/// Expansions, 1e-6/K, in their order, with the chance of each.
type Known = Vec<(f64, f64)>;

/// What was worked out of one edge, by the bits of one standard deviation. Copies share it.
#[derive(Debug, Clone, Default)]
pub(super) struct ChancesTold(Arc<Mutex<HashMap<u64, Known>>>);

impl ChancesTold {
    /// Whether the chance at an expansion is at least `level`; worked out where no neighbour
    /// settles it.
    pub(super) fn reaches(&self, edge: Edge, level: f64, of: Belief, work: impl FnOnce() -> f64) -> bool {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = all.entry(of.sd.to_bits()).or_default();
        let at = known.partition_point(|(expansion, _)| *expansion < of.mean);
        let above = known.get(at).copied();
        if let Some((_, chance)) = above.filter(|(expansion, _)| *expansion == of.mean) {
            return chance >= level;
        }
        let below = at.checked_sub(1).and_then(|before| known.get(before)).copied();
        let (safer, worse) = match edge {
            Edge::Craze => (below, above),
            Edge::Shiver => (above, below),
        };
        let apart = |(expansion, _): &(f64, f64)| (expansion - of.mean).abs() > LEAST_APART;
        if safer.filter(apart).is_some_and(|(_, chance)| chance >= level) {
            return true;
        }
        if worse.filter(apart).is_some_and(|(_, chance)| chance < level) {
            return false;
        }
        let chance = work();
        known.insert(at, (of.mean, chance));
        chance >= level
    }
}
