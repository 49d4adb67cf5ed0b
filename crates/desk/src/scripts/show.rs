//! One script: what it does, or its text.

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

use super::Card;
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The script's name or file.
    pub name: String,
    /// Whether its text is wanted, to copy it.
    pub whole: bool,
}

/// The script.
#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
pub enum Answer {
    /// What is known about it.
    Card(Card),
    /// Its text.
    Text {
        /// Its name.
        name: String,
        /// All of it.
        text: String,
    },
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            name: words.required("name")?.to_owned(),
            whole: words.flag("text"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let script = super::book(desk)?.script(desk.workplace(), &self.name)?;
        if self.whole {
            return Ok(Answer::Text {
                name: script.name.clone(),
                text: script.source.text.to_string(),
            });
        }
        Ok(Answer::Card(Card::of(&script)))
    }
}
