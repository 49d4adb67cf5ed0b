//! Everything that a person or a program reads: text for a terminal, JSON.
//!
//! Takes results from `core` and lays them out; reads no files and computes no
//! chemistry. JSON keeps full precision, text rounds.

mod answers;
pub mod diagnostic;
mod fitted;
pub mod layout;
pub mod melt_words;
pub mod number;
pub mod over;
pub mod print;
pub mod stress;
pub mod words;

use glost_chemistry::diagnostic::Diagnostic;
pub(crate) use glost_desk::label::paper;
use layout::Style;
use print::Printed;
pub(crate) use print::{face, flow, qr, ruled};
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
