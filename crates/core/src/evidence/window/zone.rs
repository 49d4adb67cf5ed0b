//! Where a glaze lies in a clay's window.

use super::look::{Believed, Edge, Known, Witness};
use super::settings::WindowSettings;

/// A glaze vouches for others that are at most so much further out, 1e-6/K.
const VOUCHES_WITHIN: f64 = 0.1;

/// Where a glaze lies with regard to one edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// So far everything held, and something as far out was tested.
    Held,
    /// The chance is small, but nothing as far out was tested.
    NotTestedThisFar,
    /// Nobody can say.
    Unsure,
    /// It will more likely fail than not.
    Expected,
}

impl Zone {
    /// The contract's words.
    pub fn word(self, edge: Edge) -> &'static str {
        match (self, edge) {
            (Zone::Held, _) => "held",
            (Zone::NotTestedThisFar | Zone::Unsure, _) => "unsure",
            (Zone::Expected, Edge::Craze) => "expect crazing",
            (Zone::Expected, Edge::Shiver) => "expect shivering",
        }
    }
}

/// The zone of a glaze with this chance to fail; `own` is the place of its own pieces among
/// the witnesses.
pub(super) fn zone(
    chance: f64,
    edge: Edge,
    glaze: &Believed,
    own: Option<usize>,
    witnesses: &[Witness],
    settings: &WindowSettings,
) -> Zone {
    if chance > settings.expect_above {
        return Zone::Expected;
    }
    if chance >= settings.held_below {
        return Zone::Unsure;
    }
    let vouches = |(index, witness): (usize, &Witness)| {
        let as_far = match (glaze.expansion(), witness.believed.expansion()) {
            (Some(here), Some(there)) => edge.past(there, here) >= -VOUCHES_WITHIN - 1e-9,
            _ => false,
        };
        (own == Some(index) || as_far) && witness.held(edge, settings)
    };
    if witnesses.iter().enumerate().any(vouches) {
        Zone::Held
    } else {
        Zone::NotTestedThisFar
    }
}

/// Whether the sums rest on counts alone: neither the glaze nor any other has a computed
/// expansion.
pub fn rests_on_counts(glaze: &Believed, witnesses: &[Witness]) -> bool {
    let computed = |believed: &Believed| believed.known == Known::Computed;
    !computed(glaze) && !witnesses.iter().any(|witness| computed(&witness.believed))
}
