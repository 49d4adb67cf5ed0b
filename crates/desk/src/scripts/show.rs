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
    /// Whether the text that comes with Glost is wanted, whatever lies over it.
    pub shipped: bool,
}

/// The script.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// What is known about it.
    Card(Box<Card>),
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
            shipped: words.flag("shipped"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        if self.shipped {
            let (name, text) = super::shipped(&self.name)?;
            return Ok(Answer::Text {
                name: name.to_owned(),
                text: text.to_owned(),
            });
        }
        let book = super::book(desk)?;
        let script = book.script(desk.workplace(), &self.name)?;
        if self.whole {
            return Ok(Answer::Text {
                name: script.name.clone(),
                text: script.source.text.to_string(),
            });
        }
        Ok(Answer::Card(Box::new(Card::of(&script, &book))))
    }
}
