//! What to fire or to look at next: what narrows the threshold most.

use glost_chemistry::quantity::Date;

use super::evidence::Evidence;
use super::ladder::Lowering;
use super::learn::Window;
use super::look::{Believed, Edge, FamilyPlace, Known, Look, Step, Witness};
use super::posterior::{Older, Pieces};

/// Pieces of one test, and their age when they are looked at (common practice: five cups,
/// looked at after a month).
const TEST_PIECES: u32 = 5;
/// Days until a test is looked at.
const TEST_DAYS: f64 = 30.0;
/// Steps of a ladder, wt % on the base.
pub const LADDER_PERCENT: [f64; 4] = [0.0, 3.0, 6.0, 9.0];
/// So many older pieces are weighed against new tiles.
const OLDER_PIECES: usize = 3;
/// Pieces are worth another look once the line has fallen by this share more since the last.
const LEAST_FALL: f64 = 0.05;
/// Younger pieces wait for their first look, days.
const LEAST_DAYS: f64 = 30.0;

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
    /// Pieces that are there already and may be looked at again, where it is no new tile.
    pub older: Option<OlderPieces>,
}

/// Pieces that held when they were last looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct OlderPieces {
    /// Whose they are, by place among the witnesses.
    pub witness: usize,
    /// The line of that look.
    pub line: usize,
    /// How many.
    pub pieces: u32,
    /// Their age then, days.
    pub then_days: f64,
    /// Their age today.
    pub now_days: f64,
}

/// Another batch of the glaze, the steps of its ladders and older pieces on this clay, the most
/// telling first. Ties go to what is there already, then to less of the addition.
pub fn candidates(window: &Window, evidence: &Evidence, today: Option<Date>) -> Vec<Candidate> {
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
            older: None,
        }
    };
    let mut found = vec![candidate(None)];
    found.extend(evidence.ladder.iter().map(|step| candidate(Some(step))));
    found.extend(today.into_iter().flat_map(|today| again(window, today)));
    let percent = |candidate: &Candidate| match (&candidate.older, &candidate.step) {
        (Some(_), _) => -1.0,
        (None, step) => step.as_ref().map_or(0.0, |step| step.percent),
    };
    found.sort_by(|one, other| {
        other
            .reduces_variance_by
            .total_cmp(&one.reduces_variance_by)
            .then(percent(one).total_cmp(&percent(other)))
    });
    found
}

/// Pieces on this clay that held and have grown older since, those first that most may have
/// become of.
fn again(window: &Window, today: Date) -> Vec<Candidate> {
    let fallen = |days: f64| window.settings.ageing.fallen_by(days);
    let mut older: Vec<(f64, usize, &Witness, &Look, f64)> = Vec::new();
    for (place, witness) in window.witnesses.iter().enumerate() {
        for look in witness.latest(Edge::Craze) {
            let since = today.days_since(look.noted_on).max(0) as f64;
            let now_days = look.age_days + since;
            let fall = fallen(now_days) - fallen(look.age_days);
            if look.crazed == Some(0) && fall >= LEAST_FALL && now_days >= LEAST_DAYS {
                older.push((fall * f64::from(look.pieces).ln_1p(), place, witness, look, now_days));
            }
        }
    }
    // The sort keeps the notebook's order among equals.
    older.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut line = window.craze.clone();
    let candidate = |(_, place, witness, look, now_days): (f64, usize, &Witness, &Look, f64)| {
        let pieces = Pieces {
            place: witness.place,
            lot: look.lot,
        };
        let then = Older {
            pieces: look.pieces,
            looked: look.looked,
            then_days: look.age_days,
            now_days,
        };
        let reduced = line.expected_reduction_again(&pieces, &then);
        Candidate {
            step: witness.step.clone(),
            lowering: None,
            expansion: (witness.believed.known == Known::Computed).then_some(witness.believed.belief.mean),
            p_craze: line.chance_of(&pieces),
            reduces_variance_by: reduced.max(0.0),
            older: Some(OlderPieces {
                witness: place,
                line: look.line,
                pieces: look.pieces,
                then_days: look.age_days,
                now_days,
            }),
        }
    };
    older.into_iter().take(OLDER_PIECES).map(candidate).collect()
}
