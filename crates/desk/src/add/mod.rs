//! What is new in a studio: a material, clay or glaze in a file of its own, or a lot of a
//! material that is there.

mod lot;
mod thing;

pub use lot::{Answer as LotAnswer, Opened, Question as LotQuestion};
pub use thing::{Answer as ThingAnswer, Question as ThingQuestion, Sort};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::read::folded;
use serde::Serialize;

use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// A thing with a name of its own.
    Thing(Box<ThingQuestion>),
    /// A lot of a material.
    Lot(Box<LotQuestion>),
}

/// Whether a call is about a lot.
fn is_of_a_lot(words: &Words) -> bool {
    words.text("sort").is_some_and(|sort| folded(sort) == "lot")
}

/// The option that has to be said before what a call names can be added.
///
/// # Errors
/// No sort that can be added.
pub fn must_know(words: &Words) -> Result<Option<&'static str>, Diagnostic> {
    if is_of_a_lot(words) {
        return Ok(None);
    }
    Ok(thing::must_know(thing::sort(words)?))
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(if is_of_a_lot(words) {
            Question::Lot(Box::new(LotQuestion::from_words(words)?))
        } else {
            Question::Thing(Box::new(ThingQuestion::from_words(words)?))
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        match self {
            Question::Thing(thing) => Ok(Answer::Thing(thing.ask(desk)?)),
            Question::Lot(lot) => Ok(Answer::Lot(lot.ask(desk)?)),
        }
    }
}

/// What was added.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// A thing with a name of its own.
    Thing(ThingAnswer),
    /// A lot of a material.
    Lot(LotAnswer),
}

impl crate::Answer for Answer {}
