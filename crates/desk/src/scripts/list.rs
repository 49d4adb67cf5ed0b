//! All scripts, the studio's and the shipped ones.

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

use super::{BrokenCard, Card};
use crate::{Desk, Failure, Words};

/// What is asked: everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Question;

/// The scripts, in order of their names.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// Each with what is known before it runs.
    pub scripts: Vec<Card>,
    /// Those that don't load, with what is wrong.
    pub broken: Vec<BrokenCard>,
}

impl crate::Answer for Answer {}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(_words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question)
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let book = super::book(desk)?;
        let all = book.store.all();
        Ok(Answer {
            scripts: all.scripts.iter().map(|script| Card::of(script, &book)).collect(),
            broken: all.broken.into_iter().map(BrokenCard::from).collect(),
        })
    }
}
