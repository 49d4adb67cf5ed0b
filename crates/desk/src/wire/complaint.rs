//! A complaint in JSON.

use glost_chemistry::diagnostic::Diagnostic;
use serde::{Serialize, Serializer};
use serde_json::Value;

/// `{"code", "message", "file", "line", "column", "help"}`.
#[derive(Debug, Clone, Copy)]
pub struct Complaint<'a>(pub &'a Diagnostic);

#[derive(Serialize, schemars::JsonSchema)]
struct ComplaintJson<'a> {
    code: &'a str,
    message: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    help: Option<&'a str>,
}

impl Serialize for Complaint<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let place = self.0.place.as_deref();
        ComplaintJson {
            code: self.0.code,
            message: &self.0.message,
            file: place.map(|place| &*place.file),
            line: place.map(|place| place.mark.line),
            column: place.map(|place| place.mark.column),
            help: self.0.help.as_deref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Complaint<'_>: ComplaintJson<'_>);

/// Writes into an answer's JSON what it had to leave out, under `incomplete`; nothing where
/// nothing was left out.
///
/// # Errors
/// As of any serialising.
pub fn incomplete(answer: &mut Value, left_out: &[Diagnostic]) -> serde_json::Result<()> {
    if !left_out.is_empty() {
        let complaints: Vec<Complaint<'_>> = left_out.iter().map(Complaint).collect();
        answer["incomplete"] = serde_json::to_value(complaints)?;
    }
    Ok(())
}
