//! The commands that the API answers, by the names of their options.

use std::ffi::OsString;
use std::path::PathBuf;

/// A program to be called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Program {
    /// Its file.
    pub file: PathBuf,
    /// Words that come before those of a call.
    pub before: Vec<OsString>,
}

/// One command, as the command line has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Command {
    /// Its words: `kiln load` has two.
    pub words: Vec<String>,
    /// What it takes.
    pub keys: Vec<Key>,
}

/// One thing that a command takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    /// The long option's name, or that of what has no option.
    pub name: String,
    /// Other names for the same.
    pub other_names: Vec<String>,
    /// What goes with it.
    pub takes: Takes,
    /// Where it stands, of what has no option, from 1.
    pub position: Option<usize>,
    /// Whether it is free text, in which a path means nothing.
    pub is_text: bool,
}

/// What goes with a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Nothing: it is there or not.
    Nothing,
    /// A value.
    Value,
    /// A value, or nothing.
    MaybeValue,
}

impl Command {
    /// The key of this name.
    pub fn key(&self, name: &str) -> Option<&Key> {
        let known_as = |key: &&Key| key.name == name || key.other_names.iter().any(|other| other == name);
        self.keys.iter().find(known_as)
    }
}
