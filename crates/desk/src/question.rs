//! What every question and every answer can do.

use serde::Serialize;

use glost_chemistry::diagnostic::Diagnostic;

use crate::{Desk, Failure, Words};

/// One question that a studio asks.
pub trait Question: Sized {
    /// What it is answered with.
    type Answer: Answer;

    /// Reads it from the values as typed: the names of long options, and of what
    /// has no option, as keys.
    ///
    /// # Errors
    /// A value that can't be read, with what to write instead.
    fn from_words(words: &Words) -> Result<Self, Diagnostic>;

    /// Answers it.
    ///
    /// # Errors
    /// Why there is no answer: see [`Failure`].
    fn ask(&self, desk: &Desk) -> Result<Self::Answer, Failure>;
}

/// An answer: serialises as the contract's JSON.
pub trait Answer: Serialize {
    /// Whether the answer is no: exit code 1.
    fn says_no(&self) -> bool {
        false
    }
}
