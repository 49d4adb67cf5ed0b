//! Past glazes placed along the expansion, for text and for the drawing.

use crate::words::age::age_words;
use glost_core::evidence::window::{Edge, Witness};

use super::FitPage;
use crate::words::few_names;
use crate::words::fit::step_words;

/// Glazes that are placed at most, the nearest: more than these nobody looks through.
const MOST_PLACED: usize = 32;

/// How a past glaze did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Did {
    Held,
    Crazed,
    Shivered,
}

impl Did {
    /// Its mark on the ruler.
    pub(super) fn mark(self) -> char {
        match self {
            Did::Held => 'o',
            Did::Crazed => 'x',
            Did::Shivered => 's',
        }
    }
}

/// A past glaze on the ruler.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) name: String,
    pub(super) expansion: f64,
    pub(super) did: Did,
    /// `0 of 5, 8 months`.
    pub(super) remark: String,
}

/// What the ruler spans and shows, 1e-6/K.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    pub(super) low: f64,
    pub(super) high: f64,
    /// This glaze with its 90 % band for comparing glazes.
    pub(super) this: Option<(f64, f64, f64)>,
    /// Where crazing starts: 5 %, median, 95 %.
    pub(super) craze: (f64, f64, f64),
    /// Below what glazes shiver, where that is within sight.
    pub(super) shiver: Option<(f64, f64, f64)>,
    pub(super) placed: Vec<Placed>,
    /// How many lie further off and aren't shown.
    pub(super) further: usize,
    /// Glazes of which nobody tells an expansion.
    pub(super) nowhere: Vec<String>,
}

impl Scale {
    /// What isn't on it, in words.
    pub(super) fn left_out(&self) -> Vec<String> {
        let mut words = Vec::new();
        match self.further {
            0 => {}
            1 => words.push("one more glaze lies further off".to_owned()),
            more => words.push(format!("{more} more glazes lie further off")),
        }
        if !self.nowhere.is_empty() {
            let names = few_names(&self.nowhere);
            words.push(format!("not placed, for nobody tells their expansion: {names}"));
        }
        words
    }
}

impl FitPage<'_> {
    /// The ruler; `None` where neither this glaze nor a past one has an expansion.
    pub(super) fn scale(&self) -> Option<Scale> {
        let answer = self.answer;
        let mut placed = Vec::new();
        let mut nowhere = Vec::new();
        for witness in answer.evidence.witnesses.iter() {
            match witness.believed.expansion() {
                Some(expansion) => placed.push(place(witness, expansion)),
                None => nowhere.push(named(witness)),
            }
        }
        let this = answer.belief.believed.expansion().map(|mean| {
            let reach = self.comparing;
            (mean - reach, mean, mean + reach)
        });
        if this.is_none() && placed.is_empty() {
            return None;
        }
        let craze = answer.window.craze.band();
        let further = placed.len().saturating_sub(MOST_PLACED);
        let around = this.map_or(craze.median, |(_, mean, _)| mean);
        let off = |glaze: &Placed| (glaze.expansion - around).abs();
        placed.sort_by(|one, other| off(one).total_cmp(&off(other)));
        placed.truncate(MOST_PLACED);
        placed.sort_by(|one, other| one.expansion.total_cmp(&other.expansion));
        let shiver = answer.window.shiver.band();
        let seen = || {
            let own = this.iter().flat_map(|(low, _, high)| [*low, *high]);
            own.chain(placed.iter().map(|glaze| glaze.expansion))
                .chain([craze.low, craze.high])
        };
        let lowest = seen().fold(f64::INFINITY, f64::min);
        let in_sight = shiver.median > lowest - 0.5 || answer.shiver.chance >= answer.window.settings.held_below;
        let low = if in_sight { lowest.min(shiver.low) } else { lowest };
        let high = seen().fold(f64::NEG_INFINITY, f64::max);
        Some(Scale {
            low: (2.0 * (low - 0.05)).floor() / 2.0,
            high: (2.0 * (high + 0.05)).ceil() / 2.0,
            this,
            craze: (craze.low, craze.median, craze.high),
            shiver: in_sight.then_some((shiver.low, shiver.median, shiver.high)),
            placed,
            further,
            nowhere,
        })
    }
}

pub(super) fn named(witness: &Witness) -> String {
    match (&witness.step, &witness.version) {
        (Some(_), _) => step_words(&witness.glaze, witness.step.as_ref()),
        (None, Some(version)) => format!("{} {version}", witness.glaze),
        (None, None) => witness.glaze.clone(),
    }
}

/// An age in words that fit beside the picture.
fn short_age(days: f64) -> String {
    if days < 0.5 { "new".to_owned() } else { age_words(days) }
}

fn place(witness: &Witness, expansion: f64) -> Placed {
    let (pieces, _) = witness.counted(Edge::Craze);
    let (looked, _) = witness.counted(Edge::Shiver);
    let [crazed, shivered] = [Edge::Craze, Edge::Shiver].map(|edge| witness.ever_failed(edge));
    let ages = |edge: Edge, failed: bool| {
        let looks = witness.looks.iter();
        looks
            .filter(move |look| look.failed(edge).is_some_and(|count| (count > 0) == failed))
            .map(|look| look.age_days)
    };
    let first = |edge: Edge| ages(edge, true).fold(f64::INFINITY, f64::min);
    let oldest = ages(Edge::Craze, false)
        .chain(ages(Edge::Shiver, false))
        .fold(0.0, f64::max);
    let (did, remark) = if crazed > 0 {
        (
            Did::Crazed,
            format!("{crazed} of {pieces}, {}", short_age(first(Edge::Craze))),
        )
    } else if shivered > 0 {
        (
            Did::Shivered,
            format!("{shivered} of {looked}, {}", short_age(first(Edge::Shiver))),
        )
    } else {
        (Did::Held, format!("0 of {}, {}", pieces.max(looked), short_age(oldest)))
    };
    Placed {
        name: named(witness),
        expansion,
        did,
        remark,
    }
}
