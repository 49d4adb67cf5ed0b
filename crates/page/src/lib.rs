//! Everything that a person or a program reads: text for a terminal, JSON.
//!
//! Takes results from `core` and lays them out; reads no files and computes no
//! chemistry. JSON keeps full precision, text rounds.

mod answers;
pub mod bench;
pub mod diagnostic;
mod finding_lines;
mod fitted;
pub mod incomplete;
pub mod layout;
mod listed;
pub mod melt_words;
pub mod number;
pub mod over;
pub mod plain;
pub mod print;
pub mod stress;
pub mod words;

pub use finding_lines::FindingLines;
use glost_chemistry::diagnostic::Diagnostic;
use glost_core::rules::Signature;
pub(crate) use glost_desk::label::paper;
use glost_desk::schema::{JsonSchema, list_keys};
use layout::Style;
use listed::{Cells, cell, each_entry};
use print::Printed;
pub(crate) use print::{face, flow, qr, ruled, strip};
pub use print::{sheet, svg};

/// The column of what is set of a script.
const SET: &str = "set";

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
        Csv::of_json_signed(answer, list, None)
    }

    /// As [`Csv::of_json`], each row signed: it may be copied anywhere.
    pub(crate) fn of_json_signed<T: serde::Serialize + JsonSchema>(
        answer: &T,
        list: &str,
        by: Option<&Signature>,
    ) -> Option<Csv> {
        let signed = |mut entry: Cells| -> Cells {
            for (_, cell) in entry.iter_mut().filter(|(key, _)| key == SET) {
                *cell = set_words(cell);
            }
            entry.extend(by.into_iter().flat_map(signature_cells));
            entry
        };
        let mut rows = Rows::default();
        if !each_entry(answer, list, &mut |entry| rows.take(signed(entry))) {
            rows = Rows::default();
            // An answer that can't be JSON is told as our fault by whoever prints it.
            let whole = serde_json::to_value(answer).ok()?;
            let cells = |entry: &serde_json::Value| -> Cells {
                let map = entry.as_object().into_iter().flatten();
                map.map(|(key, value)| (key.clone(), cell(value))).collect()
            };
            match whole.get(list) {
                Some(serde_json::Value::Array(entries)) => {
                    entries.iter().for_each(|entry| rows.take(signed(cells(entry))));
                }
                _ => rows.take(signed(cells(&whole))),
            }
        }
        if rows.ends.is_empty() {
            rows.headings = list_keys::<T>(list);
        }
        Some(rows.finish())
    }
}

/// Who proposed a row, in the cells of its own columns.
fn signature_cells(by: &Signature) -> Cells {
    let said = [
        ("script", by.script.to_string()),
        ("whose", by.whose.to_string()),
        ("hash", by.hash.to_string()),
        (SET, by.set_words()),
    ];
    said.map(|(key, cell)| (key.to_owned(), cell)).to_vec()
}

/// What is set of a script as it is typed, where the cell holds it as JSON.
fn set_words(json: &str) -> String {
    let Ok(serde_json::Value::Object(set)) = serde_json::from_str(json) else {
        return json.to_owned();
    };
    let each = set.iter().map(|(name, value)| format!("{name}={}", cell(value)));
    each.collect::<Vec<_>>().join(" ")
}

/// Rows of entries, their headings found on the way.
#[derive(Default)]
struct Rows {
    headings: Vec<String>,
    text: String,
    /// Where each row ends, and of how many cells it is.
    ends: Vec<(usize, usize)>,
}

impl Rows {
    fn take(&mut self, mut entry: Cells) {
        for (key, _) in &entry {
            if !self.headings.contains(key) {
                self.headings.push(key.clone());
            }
        }
        let cells: Vec<String> = self
            .headings
            .iter()
            .map(|heading| {
                let known = entry.iter_mut().find(|(key, _)| key == heading);
                known.map_or_else(String::new, |(_, cell)| std::mem::take(cell))
            })
            .collect();
        glost_chemistry::read::push_row(&mut self.text, &cells);
        self.ends.push((self.text.len(), cells.len()));
    }

    /// With the headings above; rows from before a heading was met have empty cells under it.
    fn finish(self) -> Csv {
        let Rows {
            headings,
            mut text,
            ends,
        } = self;
        let all = headings.len();
        if ends.iter().any(|(_, cells)| *cells < all) {
            let mut filled = String::with_capacity(text.len());
            let mut start = 0;
            for (end, cells) in ends {
                filled.push_str(text[start..end].trim_end_matches("\n"));
                filled.extend(std::iter::repeat_n(',', all - cells.max(1)));
                filled.push('\n');
                start = end;
            }
            text = filled;
        }
        let mut heads = String::new();
        glost_chemistry::read::push_row(&mut heads, &headings);
        text.insert_str(0, &heads);
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
