//! How pieces were looked at, and what else than the fit made them fail.

use serde::Serialize;

/// How pieces were looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Looked {
    /// With washable ink or dye, wiped back.
    Ink,
    /// With a loupe.
    Loupe,
    /// With the eye alone.
    Eye,
    /// Nobody said.
    Unsaid,
}

impl Looked {
    /// The ways that can be named.
    pub const NAMED: [Looked; 3] = [Looked::Ink, Looked::Loupe, Looked::Eye];

    /// The notebook's word.
    pub fn word(self) -> &'static str {
        match self {
            Looked::Ink => "ink",
            Looked::Loupe => "loupe",
            Looked::Eye => "eye",
            Looked::Unsaid => "not said",
        }
    }

    /// From the notebook's word, without case.
    pub fn from_word(word: &str) -> Option<Looked> {
        let word = word.trim();
        Looked::NAMED
            .into_iter()
            .find(|looked| looked.word().eq_ignore_ascii_case(word))
    }

    /// The share of crazed pieces that is found so: guesses, no source.
    pub fn finds(self) -> f64 {
        match self {
            Looked::Ink => 0.98,
            Looked::Loupe => 0.90,
            Looked::Eye => 0.70,
            Looked::Unsaid => 0.85,
        }
    }
}

/// Why pieces failed, where that was not the fit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// The glaze was too thick.
    Thick,
    /// They were taken out of the kiln hot.
    PulledHot,
    /// They were shocked by cold.
    ColdShock,
    /// They were knocked.
    Chip,
    /// Something else.
    Other(String),
}

impl Cause {
    /// The causes that have a name here.
    pub const NAMED: [Cause; 4] = [Cause::Thick, Cause::PulledHot, Cause::ColdShock, Cause::Chip];

    /// The notebook's words.
    pub fn word(&self) -> &str {
        match self {
            Cause::Thick => "thick",
            Cause::PulledHot => "pulled hot",
            Cause::ColdShock => "cold shock",
            Cause::Chip => "chip",
            Cause::Other(text) => text,
        }
    }

    /// From the notebook's words, without case.
    pub fn from_text(text: &str) -> Cause {
        let text = text.trim();
        let named = Cause::NAMED
            .into_iter()
            .find(|cause| cause.word().eq_ignore_ascii_case(text));
        named.unwrap_or_else(|| Cause::Other(text.to_owned()))
    }
}
