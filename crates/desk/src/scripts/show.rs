//! One script: what it does, or its text.

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

use super::Card;
use crate::rulebook::Rulebook;
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
            let (name, text) = super::shipped_or(desk, &self.name)?;
            return Ok(Answer::Text {
                name: name.to_owned(),
                text: text.to_owned(),
            });
        }
        let book = super::book(desk)?;
        if self.whole
            && let Some((name, text)) = being_written(&book, &self.name)
        {
            return Ok(Answer::Text {
                name: name.to_owned(),
                text: text.to_owned(),
            });
        }
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

/// The shipped text of a script whose file of the studio's own is empty: it is being written
/// just now, `script show NAME --text > scripts/NAME.rhai`.
fn being_written(book: &Rulebook, name: &str) -> Option<(&'static str, &'static str)> {
    // A name that leads to no text is told by whoever looks it up next.
    let text = book.store.text(name).ok()?;
    let empty = text.text.trim().is_empty();
    empty.then(|| super::shipped(name).ok()).flatten()
}
