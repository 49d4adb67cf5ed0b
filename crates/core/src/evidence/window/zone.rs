//! Where a glaze lies in a clay's window: by what was seen first, then by the chance.

use glost_chemistry::glaze::Use;

use super::look::{Believed, Edge, Known, Witness};
use super::settings::{ClayKnowledge, WindowSettings};

/// So many failed pieces of one glaze say that it fails, of however many; one piece alone may
/// have had a reason of its own.
const SEEN_PIECES: u64 = 2;

/// Where a glaze lies with regard to one edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// Its pieces were seen to fail.
    Fails,
    /// It will more likely fail than not.
    Expected,
    /// Nobody can say.
    Unsure,
    /// The chance is small, and enough of its own pieces held for long enough.
    Held,
    /// The chance is small; its own pieces held, but they are few or young.
    SoFar,
    /// The chance is small, and no piece of it was made on this clay.
    Untried,
}

impl Zone {
    /// The contract's words.
    pub fn word(self, edge: Edge) -> &'static str {
        match (self, edge) {
            (Zone::Fails, Edge::Craze) => "crazes",
            (Zone::Expected, Edge::Craze) => "expect crazing",
            (Zone::Fails | Zone::Expected, Edge::Shiver) => "expect shivering",
            (Zone::Unsure, _) => "unsure",
            (Zone::Held, _) | (Zone::SoFar | Zone::Untried, Edge::Shiver) => "held",
            (Zone::SoFar, Edge::Craze) => "so far",
            (Zone::Untried, Edge::Craze) => "untried",
        }
    }

    /// Whether the answer is no for a use.
    pub fn says_no(self, edge: Edge, usage: Use) -> bool {
        let careful = matches!(usage, Use::Tableware | Use::Outdoor);
        match (self, edge) {
            (Zone::Fails | Zone::Expected, _) => true,
            (Zone::Unsure | Zone::Untried, Edge::Craze) => careful,
            (Zone::Unsure | Zone::Untried, Edge::Shiver) | (Zone::Held | Zone::SoFar, _) => false,
        }
    }
}

/// What a zone is judged by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Judged<'a> {
    pub(super) edge: Edge,
    pub(super) usage: Use,
    pub(super) clay: &'a ClayKnowledge,
    /// Whether pieces of it failed a torture test.
    pub(super) failed_test: bool,
    pub(super) settings: &'a WindowSettings,
}

impl Judged<'_> {
    /// The zone of a glaze by whether its chance to fail reaches a level, and by the pieces of
    /// its own.
    pub(super) fn zone(&self, reaches: impl Fn(f64) -> bool, own: Option<&Witness>) -> Zone {
        let pieces = own.map_or(0, |own| own.counted(self.edge).0);
        let failed = own.map_or(0, |own| own.ever_failed(self.edge));
        if failed >= SEEN_PIECES {
            return Zone::Fails;
        }
        if reaches(self.settings.expect_above) {
            return Zone::Expected;
        }
        if reaches(self.settings.unsure_from(self.usage)) || self.failed_test {
            return Zone::Unsure;
        }
        if pieces == 0 {
            return Zone::Untried;
        }
        if failed == 0 && own.is_some_and(|own| self.held(own)) {
            Zone::Held
        } else {
            Zone::SoFar
        }
    }

    fn held(&self, own: &Witness) -> bool {
        let takes = self.settings.held_takes(self.usage, self.clay);
        let latest = own.latest(self.edge);
        let old_enough = || latest.iter().filter(|look| look.age_days >= takes.days);
        let pieces: u64 = old_enough().map(|look| u64::from(look.pieces)).sum();
        pieces >= u64::from(takes.pieces) && old_enough().count() >= takes.batches as usize
    }
}

/// Whether the sums rest on counts alone: neither the glaze nor any other has a computed
/// expansion.
pub fn rests_on_counts(glaze: &Believed, witnesses: &[Witness]) -> bool {
    let computed = |believed: &Believed| believed.known == Known::Computed;
    !computed(glaze) && !witnesses.iter().any(|witness| computed(&witness.believed))
}
