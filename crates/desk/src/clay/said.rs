//! What is said beside a clay's numbers.

use glost_core::evidence::ware::{ClayExpansion, ClaySaid, NextFiring, Why};
use serde::Serialize;

/// Something to be said of a clay.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ClayWords {
    /// What is taken for granted.
    Assumed(ClaySaid),
    /// Why a use stands as it does.
    Why(Why),
    /// Where that is from.
    SourceOf(Why),
    /// What to do next.
    Next(NextFiring),
    /// The tile standard's groups are a comparison only.
    GroupIsComparison,
    /// How to test pieces for frost oneself.
    OwnFrostTest,
    /// What no number about a clay can promise.
    NoPromise,
    /// What a range of temperatures leaves out of an expansion.
    ExpansionMisses {
        /// Whether the temperatures are known.
        range_given: bool,
        /// Whether they stop short of the change of quartz, or aren't known.
        misses_quartz: bool,
        /// Measured on this clay, not printed.
        measured: bool,
    },
}

impl ClayWords {
    /// What an expansion can't tell.
    pub fn misses(expansion: &ClayExpansion) -> ClayWords {
        ClayWords::ExpansionMisses {
            range_given: expansion.given_over_celsius.is_some(),
            misses_quartz: expansion.misses_quartz(),
            measured: expansion.measured,
        }
    }
}
