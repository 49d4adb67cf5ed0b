//! What may have caused a fault that is seen on a piece.

use std::sync::Arc;

use super::Signature;

/// What a cause lies in; those that are looked at first come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Where on the ware, and in the kiln, the fault sits.
    Place,
    /// How the glaze was laid on.
    Coat,
    /// How it was fired.
    Firing,
    /// What it is made of.
    Recipe,
}

impl Stage {
    /// Every stage, in the order in which they are looked at.
    pub const ALL: [Stage; 4] = [Stage::Place, Stage::Coat, Stage::Firing, Stage::Recipe];

    /// Its word in scripts and answers.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Place => "place",
            Stage::Coat => "coat",
            Stage::Firing => "firing",
            Stage::Recipe => "recipe",
        }
    }

    /// The stage of a word.
    pub fn from_word(word: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.word() == word)
    }
}

/// Where on a piece, or among pieces, a fault is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Everywhere.
    AllOver,
    /// On rims and edges.
    Rims,
    /// Where the coat is thick.
    Thick,
    /// Where it is thin.
    Thin,
    /// Towards the foot.
    Foot,
    /// On one shelf of the kiln.
    OneShelf,
    /// On one clay of several.
    OneClay,
    /// In one batch of several.
    OneBatch,
}

impl Spot {
    /// Every spot.
    pub const ALL: [Spot; 8] = [
        Spot::AllOver,
        Spot::Rims,
        Spot::Thick,
        Spot::Thin,
        Spot::Foot,
        Spot::OneShelf,
        Spot::OneClay,
        Spot::OneBatch,
    ];

    /// Its word in calls and scripts.
    pub fn word(self) -> &'static str {
        match self {
            Spot::AllOver => "all over",
            Spot::Rims => "rims",
            Spot::Thick => "thick",
            Spot::Thin => "thin",
            Spot::Foot => "foot",
            Spot::OneShelf => "one shelf",
            Spot::OneClay => "one clay",
            Spot::OneBatch => "one batch",
        }
    }

    /// The spot of a word.
    pub fn from_word(word: &str) -> Option<Spot> {
        Spot::ALL.into_iter().find(|spot| spot.word() == word)
    }
}

/// One possible cause.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultCause {
    /// What it lies in.
    pub stage: Stage,
    /// The cause, a sentence.
    pub cause: String,
    /// How much speaks for it, 0 to 1; no probability.
    pub weight: f64,
    /// This recipe's number that it rests on.
    pub number: Option<f64>,
    /// What the number is, with its unit.
    pub of: String,
    /// The one change that tells it apart.
    pub test: String,
    /// Additions in steps that make the test as a series of tiles, `silica 3..9 %`.
    pub series: Option<String>,
    /// Where it comes from.
    pub source: String,
    /// The very text that says so.
    pub signed: Arc<Signature>,
}
