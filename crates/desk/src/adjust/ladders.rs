//! What to do where a powder crazes and nobody tells its recipe: ladders, each
//! with what it is known to do.

use glost_core::evidence::window::{Asking, FitAnswer, fit};
use glost_studio::FoundGlaze;
use serde::{Serialize, Serializer};

use crate::wire::Offer;
use crate::{Desk, Failure, Said};

use super::{Question, fit as asked};

/// One series of tiles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ladder {
    /// More silica.
    Silica,
    /// More kaolin.
    Kaolin,
    /// Thicker and thinner coats.
    Thickness,
    /// Hotter and longer firings.
    Firing,
    /// A blend with another powder.
    SecondPowder,
}

/// What is said of a ladder. What it does is common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LadderSaid {
    /// Its tiles.
    Steps(Ladder),
    /// What it does.
    Does(Ladder),
    /// What else it does.
    Besides(Ladder),
    /// The question that plans its tiles for this glaze.
    Command(Ladder, String),
}

impl Ladder {
    /// In the order in which they are told.
    pub const ALL: [Ladder; 5] = [
        Ladder::Silica,
        Ladder::Kaolin,
        Ladder::Thickness,
        Ladder::Firing,
        Ladder::SecondPowder,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Ladder::Silica => "silica",
            Ladder::Kaolin => "kaolin",
            Ladder::Thickness => "thickness",
            Ladder::Firing => "firing",
            Ladder::SecondPowder => "second powder",
        }
    }

    /// What plans its tiles, where a question does.
    pub fn command(self, glaze: &str) -> Option<LadderSaid> {
        match self {
            Ladder::Silica | Ladder::Kaolin | Ladder::SecondPowder => Some(LadderSaid::Command(self, glaze.to_owned())),
            Ladder::Thickness | Ladder::Firing => None,
        }
    }
}

/// The ladders for a powder on a clay.
#[derive(Debug, Clone)]
pub struct Ladders {
    /// What its pieces say.
    pub answer: FitAnswer,
}

/// For a powder whose recipe nobody tells: ladders instead of a recipe.
pub(super) fn of(question: &Question, desk: &Desk, found: &FoundGlaze) -> Result<Option<Ladders>, Failure> {
    let Some((clay, _)) = asked::phrase(question, found)? else {
        return Ok(None);
    };
    if found.glaze.unknown_materials().is_empty() {
        return Ok(None);
    }
    let (pieces, clay) = asked::pieces_on(&clay, desk, found)?;
    let book = pieces.notebook(&found.settings);
    let firing = pieces.firing(desk, question.firing.as_deref())?;
    let asking = Asking {
        firing: firing.as_ref(),
        called: question.firing.as_deref(),
        usage: None,
    };
    Ok(Some(Ladders {
        answer: fit(&book, &found.glaze, &clay, &asking, Some(pieces.today)),
    }))
}

#[derive(Serialize, schemars::JsonSchema)]
struct LadderJson {
    ladder: &'static str,
    steps: Said,
    does: Said,
    side_effects: [Said; 1],
    command: Option<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct FitJson<'a> {
    clay: &'a str,
    p_craze_before: f64,
    p_shiver_before: f64,
    assumptions: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct LaddersJson<'a> {
    possible: bool,
    certified: bool,
    proposal: Option<Offer>,
    objective: Option<f64>,
    binding: [&'a str; 0],
    clash: [&'a str; 0],
    nearest: Option<Offer>,
    fit: FitJson<'a>,
    ways: [&'a str; 0],
    ladders: Vec<LadderJson>,
}

impl Serialize for Ladders {
    /// As of the other adjustments: no recipe, ladders instead.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let answer = &self.answer;
        let ladder = |ladder: Ladder| LadderJson {
            ladder: ladder.name(),
            steps: Said::Ladder(LadderSaid::Steps(ladder)),
            does: Said::Ladder(LadderSaid::Does(ladder)),
            side_effects: [Said::Ladder(LadderSaid::Besides(ladder))],
            command: ladder.command(&answer.glaze).map(Said::Ladder),
        };
        LaddersJson {
            possible: false,
            certified: false,
            proposal: None,
            objective: None,
            binding: [],
            clash: [],
            nearest: None,
            fit: FitJson {
                clay: &answer.clay,
                p_craze_before: answer.craze.chance,
                p_shiver_before: answer.shiver.chance,
                assumptions: answer.assumptions.iter().map(Said::from).collect(),
            },
            ways: [],
            ladders: Ladder::ALL.map(ladder).into(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Ladders: LaddersJson<'_>);
