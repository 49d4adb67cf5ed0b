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

    /// Whether somebody whose call can't be read is told, too, that there is no
    /// studio: what was named is looked up before that value counts.
    fn tells_where(_: &Words) -> bool {
        false
    }

    /// Answers it.
    ///
    /// # Errors
    /// Why there is no answer: see [`Failure`].
    fn ask(&self, desk: &Desk) -> Result<Self::Answer, Failure>;

    /// The answer, where it needs no studio; none: it does.
    fn at_once(&self) -> Option<Result<Self::Answer, Failure>> {
        None
    }

    /// The same without its deed, where it changes the studio and is to be printed
    /// too: asked first, so that what can't be printed is known before anything is
    /// done.
    fn rehearsal(&self) -> Option<Self> {
        None
    }
}

/// An answer: serialises as the contract's JSON.
pub trait Answer: Serialize {
    /// Whether the answer is no: exit code 1.
    fn says_no(&self) -> bool {
        false
    }

    /// Its JSON, of an answer that may hold a notebook of years: written piece by piece, so
    /// no key of it may come twice. `None`: it is as short as others.
    fn long_json(&self) -> Option<serde_json::Result<String>> {
        None
    }

    /// Why a file beside the answer isn't there, with what was done all the same.
    fn unwritten(&self, why: Diagnostic) -> Diagnostic {
        why
    }
}
