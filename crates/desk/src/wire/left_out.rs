//! What an answer left out, as JSON.

use glost_chemistry::diagnostic::Diagnostic;
use serde::Serialize;

/// A file, or a part of one, that an answer should have read and couldn't.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct LeftOut {
    /// The file.
    pub file: Option<String>,
    /// The line, from 1.
    pub line: Option<usize>,
    /// The column, from 1.
    pub column: Option<usize>,
    /// Which kind of fault, one word.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: Option<String>,
}

impl LeftOut {
    /// By the complaint about it.
    pub fn of(why: &Diagnostic) -> LeftOut {
        let place = why.place.as_deref();
        LeftOut {
            file: place.map(|place| place.file.to_string()),
            line: place.map(|place| place.mark.line),
            column: place.map(|place| place.mark.column),
            code: why.code,
            message: why.message.clone(),
            help: why.help.clone(),
        }
    }
}
