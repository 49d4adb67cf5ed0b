//! What a check says about a glaze.

use std::sync::Arc;

use glost_chemistry::OutsideModel;
use glost_chemistry::diagnostic::Diagnostic;
use serde::{Serialize, Serializer};

use super::{Acceptance, Signature};

/// How a finding weighs, from lightest to heaviest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// The check ran and has nothing to say.
    NothingFound,
    /// A caution that the studio wants to hear of and no more.
    Note,
    /// Something to know.
    Caution,
    /// The check could not run: never taken for a pass.
    NotChecked,
    /// The answer is no.
    Fail,
}

impl Level {
    /// The words used everywhere.
    pub fn words(self) -> &'static str {
        match self {
            Level::NothingFound => "nothing found",
            Level::Note => "note",
            Level::Caution => "caution",
            Level::NotChecked => "not checked",
            Level::Fail => "fail",
        }
    }

    /// What a studio may have a script's cautions weigh.
    pub const FOR_CAUTIONS: [Level; 3] = [Level::Note, Level::Caution, Level::Fail];

    /// Whether the exit code is 1: a *fail*, or a check that did not run.
    pub fn says_no(self) -> bool {
        matches!(self, Level::NotChecked | Level::Fail)
    }
}

/// What a finding says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Message {
    /// A sentence of a script.
    Text(#[serde(serialize_with = "as_text")] Arc<str>),
    /// The value lies outside the bounds of chosen limits, by their title.
    OutsideLimits(#[serde(serialize_with = "as_text")] Arc<str>),
    /// The composition lies outside what the expansion model was checked for.
    OutsideModel(Vec<OutsideModel>),
}

fn as_text<S: Serializer>(text: &Arc<str>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(text)
}

impl Message {
    /// What a script says; `None` for what the engine says.
    pub fn text(&self) -> Option<&str> {
        match self {
            Message::Text(text) => Some(text),
            Message::OutsideLimits(_) | Message::OutsideModel(_) => None,
        }
    }
}

impl<T: Into<Arc<str>>> From<T> for Message {
    fn from(text: T) -> Message {
        Message::Text(text.into())
    }
}

/// One thing that a check found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Name of the script, `check/alkali-balance`.
    pub script: Arc<str>,
    /// How it weighs.
    pub level: Level,
    /// What it is about: an oxide, a ratio, a material.
    pub subject: Arc<str>,
    /// The value found, in the unit that the message names.
    pub value: Option<f64>,
    /// The least allowed value.
    pub low: Option<f64>,
    /// The most allowed value.
    pub high: Option<f64>,
    /// What it says.
    pub message: Message,
    /// Where the rule comes from.
    pub source: Arc<str>,
    /// Line of the script that made it, from 1.
    pub line: Option<usize>,
    /// The very text that says so; `None` for what the engine itself says.
    pub signed: Option<Arc<Signature>>,
    /// Why it weighs no more, where the glaze's maker accepted it.
    pub accepted: Option<Acceptance>,
    /// Why the script could not look, with its line and what to do; `None` for one that did.
    pub broke: Option<Arc<Diagnostic>>,
}

impl Finding {
    /// How it weighs: not at all once it is accepted.
    pub fn weighs(&self) -> Level {
        match self.accepted {
            Some(_) => Level::NothingFound,
            None => self.level,
        }
    }
}
