//! Everything that a person or a program reads: text for a terminal, JSON.
//!
//! Takes results from `core` and lays them out; reads no files and computes no
//! chemistry. JSON keeps full precision, text rounds.

mod answers;
pub mod bench;
pub mod diagnostic;
mod fitted;
pub mod incomplete;
pub mod layout;
pub mod melt_words;
pub mod number;
pub mod over;
pub mod plain;
pub mod print;
pub mod stress;
pub mod words;

use glost_chemistry::diagnostic::Diagnostic;
pub(crate) use glost_desk::label::paper;
use glost_desk::schema::{JsonSchema, list_keys};
use layout::Style;
use print::Printed;
pub(crate) use print::{face, flow, qr, ruled, strip};
pub use print::{sheet, svg};

/// An answer that a person can read.
pub trait Shown {
    /// For a terminal.
    fn text(&self, style: Style) -> String;

    /// What is printed of it beside that. Whatever may be wrong with it is told
    /// before any file is written.
    ///
    /// # Errors
    /// It doesn't fit the paper, or takes more pages than the file holds.
    fn printed(&self) -> Result<Printed, Diagnostic> {
        Ok(Printed::default())
    }

    /// Whether the text is something to be kept as it is: a script, a schema.
    fn is_verbatim(&self) -> bool {
        false
    }

    /// For a spreadsheet, where it has rows.
    fn csv(&self) -> Option<Csv> {
        None
    }
}

impl Csv {
    /// Rows of cells below their headings.
    pub(crate) fn of(headings: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Csv {
        let mut text = String::new();
        glost_chemistry::read::push_row(&mut text, headings);
        for row in rows {
            glost_chemistry::read::push_row(&mut text, &row);
        }
        Csv {
            rows: text,
            beside: Vec::new(),
        }
    }
}

impl Csv {
    /// The list under a key of the answer's JSON, a row an entry; without such a list, the
    /// answer itself is one row. Lists and maps stand in their cells as JSON.
    pub(crate) fn of_json<T: serde::Serialize + JsonSchema>(answer: &T, list: &str) -> Option<Csv> {
        use serde_json::Value;
        // An answer that can't be JSON is told as our fault by whoever prints it.
        let whole = serde_json::to_value(answer).ok()?;
        let entries = match whole.get(list) {
            Some(Value::Array(entries)) => entries.clone(),
            _ => vec![whole],
        };
        let mut headings: Vec<String> = Vec::new();
        for key in entries
            .iter()
            .filter_map(Value::as_object)
            .flat_map(serde_json::Map::keys)
        {
            if !headings.contains(key) {
                headings.push(key.clone());
            }
        }
        if entries.is_empty() {
            headings = list_keys::<T>(list);
        }
        let cell = |value: Option<&Value>| match value {
            None | Some(Value::Null) => String::new(),
            Some(Value::String(text)) => text.clone(),
            Some(other) => other.to_string(),
        };
        let row = |entry: &Value| headings.iter().map(|key| cell(entry.get(key))).collect();
        let rows: Vec<Vec<String>> = entries.iter().map(row).collect();
        let heads: Vec<&str> = headings.iter().map(String::as_str).collect();
        Some(Csv::of(&heads, rows))
    }
}

/// A number for a spreadsheet, in full; blank where there is none.
pub(crate) fn csv_number(number: Option<f64>) -> String {
    number.map_or_else(String::new, |number| number.to_string())
}

/// An answer for a spreadsheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Csv {
    /// The rows with their heading.
    pub rows: String,
    /// Sentences that have no place among the rows.
    pub beside: Vec<String>,
}
