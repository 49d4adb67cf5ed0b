//! Which tile to fire next: the one whose result narrows the threshold most.

use super::evidence::Evidence;
use super::ladder::Lowering;
use super::learn::Window;
use super::look::{Believed, Edge, FamilyPlace, Known, Step};
use super::posterior::Pieces;

/// Pieces of one test, and their age when they are looked at (common practice: five cups,
/// looked at after a month).
const TEST_PIECES: u32 = 5;
/// Days until a test is looked at.
const TEST_DAYS: f64 = 30.0;
/// Steps of a ladder, wt % on the base.
pub const LADDER_PERCENT: [f64; 4] = [0.0, 3.0, 6.0, 9.0];

/// A step of a ladder that could be tried on a glaze.
#[derive(Debug, Clone, PartialEq)]
pub struct LadderStep {
    /// What is added.
    pub step: Step,
    /// What that is by its analysis.
    pub lowering: Lowering,
    /// Where it stands in the glaze's family.
    pub place: FamilyPlace,
    /// Its expansion before its family is looked at.
    pub believed: Believed,
}

/// One tile that could be fired next.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What is added to the glaze; `None`: another batch of the same.
    pub step: Option<Step>,
    /// What that is by its analysis.
    pub lowering: Option<Lowering>,
    /// Its expansion, 1e-6/K, where the glaze's is computed.
    pub expansion: Option<f64>,
    /// The chance that a piece of it crazes within three years, by what is known now.
    pub p_craze: f64,
    /// By how much its result is expected to reduce the threshold's variance, 0 to 1.
    pub reduces_variance_by: f64,
}

/// Another batch of the glaze and the steps of its ladders, the most telling first. Ties go
/// to less of the addition.
pub fn ladder(window: &Window, evidence: &Evidence) -> Vec<Candidate> {
    let mut line = window.craze.clone();
    let mut candidate = |step: Option<&LadderStep>| {
        let (place, believed) = match step {
            Some(step) => (step.place, step.believed),
            None => (evidence.place, evidence.believed),
        };
        let pieces = Pieces {
            place,
            lot: evidence.present_lot,
        };
        let p_craze = if window.edge(Edge::Craze).has_looks(place.family) {
            line.chance_of(&pieces)
        } else {
            line.chance(believed.belief)
        };
        let reduced = line.expected_reduction(&pieces, TEST_PIECES, TEST_DAYS);
        Candidate {
            step: step.map(|step| step.step.clone()),
            lowering: step.map(|step| step.lowering),
            expansion: (believed.known == Known::Computed).then_some(believed.belief.mean),
            p_craze,
            reduces_variance_by: reduced.max(0.0),
        }
    };
    let mut found = vec![candidate(None)];
    found.extend(evidence.ladder.iter().map(|step| candidate(Some(step))));
    let percent = |candidate: &Candidate| candidate.step.as_ref().map_or(0.0, |step| step.percent);
    found.sort_by(|one, other| {
        other
            .reduces_variance_by
            .total_cmp(&one.reduces_variance_by)
            .then(percent(one).total_cmp(&percent(other)))
    });
    found
}
