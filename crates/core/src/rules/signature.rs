//! Whose text an answer comes from: what is said under a rule can be followed to the
//! very letters that said it.

use std::fmt::{self, Write};

use serde::{Serialize, Serializer};

/// Whose text a script is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whose {
    /// It came with Glost.
    Shipped,
    /// The studio's own.
    Yours,
    /// The studio's own, where a shipped one has the same name.
    YoursInstead,
    /// It came in with a package.
    Package {
        /// The package's name.
        name: String,
        /// Its version.
        version: String,
        /// Whether a shipped one has the same name.
        instead: bool,
    },
}

impl fmt::Display for Whose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Whose::Shipped => f.write_str("shipped"),
            Whose::Yours => f.write_str("yours"),
            Whose::YoursInstead => f.write_str("yours, instead of the shipped"),
            Whose::Package { name, version, instead } => {
                let instead = if *instead { ", instead of the shipped" } else { "" };
                write!(f, "from {name} {version}{instead}")
            }
        }
    }
}

impl Serialize for Whose {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// The value of a script's option.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum OptionValue {
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// Yes or no.
    YesNo(bool),
}

impl fmt::Display for OptionValue {
    /// As it is written after `--set name=`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OptionValue::Number(number) => write!(f, "{number}"),
            OptionValue::Text(text) => f.write_str(text),
            OptionValue::YesNo(true) => f.write_str("yes"),
            OptionValue::YesNo(false) => f.write_str("no"),
        }
    }
}

/// What an answer of a script is signed with.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// The script's name, `check/alkali-balance`.
    pub script: String,
    /// Whose text it is.
    pub whose: Whose,
    /// The first 12 hex digits of SHA-256 of its text, lines ending with LF.
    pub hash: String,
    /// The options that are not at their default, in the order of the script.
    pub set: Vec<(String, OptionValue)>,
}

impl Signature {
    /// `name=value` of each option that is set, with blanks between.
    pub fn set_words(&self) -> String {
        let mut words = String::new();
        for (name, value) in &self.set {
            let between = if words.is_empty() { "" } else { " " };
            let _ = write!(words, "{between}{name}={value}");
        }
        words
    }
}
