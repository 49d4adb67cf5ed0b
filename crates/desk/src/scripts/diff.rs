//! A script of the studio beside the shipped one that it takes the place of.

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

use super::difference::{Line, differing};
use crate::{Desk, Failure, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The script's name.
    pub name: String,
}

/// What differs.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[schemars(rename = "Difference")]
pub struct Answer {
    /// The script's name.
    pub name: String,
    /// The lines that differ, with some around them; empty where nothing does.
    pub lines: Vec<Line>,
    /// The hash of the shipped text.
    pub shipped: String,
    /// The hash of the text that is used.
    pub used: String,
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            name: words.required("name")?.to_owned(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = super::book(desk)?;
        let name = book.store.whole_name(&self.name)?.to_owned();
        let Some(shipped) = glost_script::shipped_text(&name) else {
            let message = format!("no script called `{name}` comes with Glost: it differs from nothing");
            return Err(Diagnostic::error("nothing-to-compare", message).into());
        };
        let used = book.store.text(&name)?;
        Ok(Answer {
            lines: differing(shipped, &used.text.replace("\r\n", "\n")),
            shipped: glost_script::hash_of(shipped),
            used: glost_script::hash_of(&used.text),
            name,
        })
    }
}
