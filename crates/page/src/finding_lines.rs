//! Lines of findings as CSV, added one after another to what is written in one piece.
//!
//! Most cells are the same in many lines: those of a glaze in all of its lines, those of a
//! script in all of its findings. They are guarded and quoted once.

use std::sync::Arc;

use glost_chemistry::read::{push_count_cell, push_line_cell, push_number_cell};
use glost_core::rules::{Finding, Level, Signature};
use glost_desk::check::over::Whose;

/// Scripts whose cells are kept at once.
const SCRIPTS_MOST: usize = 100;

/// Lines, and what is likely to come again in the next one.
#[derive(Debug, Default)]
pub struct FindingLines {
    bytes: Vec<u8>,
    begun: Begun,
    scripts: Vec<OfScript>,
    /// The script that spoke last: they come in the same order for each glaze.
    last: usize,
}

/// How the lines of a glaze begin.
#[derive(Debug, Default)]
struct Begun {
    file: String,
    row: Option<usize>,
    glaze: String,
    cells: Vec<u8>,
}

/// What is the same in all findings of a script under its settings.
#[derive(Debug)]
struct OfScript {
    script: Arc<str>,
    source: Arc<str>,
    signed: Option<Arc<Signature>>,
    script_cell: Vec<u8>,
    source_cell: Vec<u8>,
    /// Whose it is, hash and what is set.
    signed_cells: Vec<u8>,
}

impl FindingLines {
    /// What is to be written.
    pub fn as_bytes(&self) -> &[u8] {
        &self.bytes
    }

    pub(crate) fn bytes(&mut self) -> &mut Vec<u8> {
        &mut self.bytes
    }

    /// Adds the line of a finding with what it says.
    pub(crate) fn csv(&mut self, whose: Whose<'_>, finding: &Finding, message: &str) {
        self.begin(whose);
        let place = self.place_of(finding);
        let FindingLines { bytes, scripts, .. } = self;
        let script = &scripts[place];
        bytes.extend_from_slice(&script.script_cell);
        bytes.push(b',');
        bytes.extend_from_slice(finding.level.words().as_bytes());
        bytes.push(b',');
        push_line_cell(bytes, &finding.subject);
        for amount in [finding.value, finding.low, finding.high] {
            bytes.push(b',');
            if let Some(amount) = amount.filter(|amount| amount.is_finite()) {
                push_number_cell(bytes, amount);
            }
        }
        bytes.push(b',');
        push_line_cell(bytes, message);
        bytes.push(b',');
        bytes.extend_from_slice(&script.source_cell);
        bytes.push(b',');
        if let Some(line) = finding.line {
            push_count_cell(bytes, line);
        }
        bytes.extend_from_slice(&script.signed_cells);
        bytes.push(b',');
        if let Some(accepted) = &finding.accepted {
            push_line_cell(bytes, &accepted.because);
        }
        bytes.push(b'\n');
        self.last = place;
    }

    /// Adds the line of a glaze that can't be read.
    pub(crate) fn unreadable_csv(&mut self, whose: Whose<'_>, subject: &str, message: &str) {
        self.begin(whose);
        let bytes = &mut self.bytes;
        bytes.push(b',');
        bytes.extend_from_slice(Level::NotChecked.words().as_bytes());
        bytes.push(b',');
        push_line_cell(bytes, subject);
        bytes.extend_from_slice(b",,,,");
        push_line_cell(bytes, message);
        bytes.extend_from_slice(b",,,,,,\n");
    }

    /// File, row and glaze, with the comma behind them.
    fn begin(&mut self, whose: Whose<'_>) {
        let begun = &mut self.begun;
        let same = begun.row == whose.row && begun.glaze == whose.glaze && begun.file == whose.file;
        if !same || begun.cells.is_empty() {
            begun.row = whose.row;
            begun.file.clear();
            begun.file.push_str(whose.file);
            begun.glaze.clear();
            begun.glaze.push_str(whose.glaze);
            begun.cells.clear();
            push_line_cell(&mut begun.cells, whose.file);
            begun.cells.push(b',');
            if let Some(row) = whose.row {
                push_count_cell(&mut begun.cells, row);
            }
            begun.cells.push(b',');
            push_line_cell(&mut begun.cells, whose.glaze);
            begun.cells.push(b',');
        }
        self.bytes.extend_from_slice(&begun.cells);
    }

    /// The place of a finding's script, kept now unless it is already.
    fn place_of(&mut self, finding: &Finding) -> usize {
        let count = self.scripts.len();
        let from_the_last = (self.last..count).chain(0..self.last.min(count));
        let known = from_the_last
            .into_iter()
            .find(|place| self.scripts[*place].spoke(finding));
        known.unwrap_or_else(|| {
            // Whoever signs each finding anew is not remembered for ever.
            if count == SCRIPTS_MOST {
                self.scripts.clear();
            }
            self.scripts.push(OfScript::of(finding));
            self.scripts.len() - 1
        })
    }
}

impl OfScript {
    fn of(finding: &Finding) -> OfScript {
        let cell = |text: &str| {
            let mut cell = Vec::new();
            push_line_cell(&mut cell, text);
            cell
        };
        OfScript {
            script: finding.script.clone(),
            source: finding.source.clone(),
            signed: finding.signed.clone(),
            script_cell: cell(&finding.script),
            source_cell: cell(&finding.source),
            signed_cells: signed_cells(finding.signed.as_deref()),
        }
    }

    /// Whether a finding is one of this script's: the very texts, not their like.
    fn spoke(&self, finding: &Finding) -> bool {
        let signed = match (&self.signed, &finding.signed) {
            (Some(own), Some(other)) => Arc::ptr_eq(own, other),
            (None, None) => true,
            _ => false,
        };
        signed && Arc::ptr_eq(&self.script, &finding.script) && Arc::ptr_eq(&self.source, &finding.source)
    }
}

/// Whose a script is, its hash and what is set, each with a comma before it.
fn signed_cells(signed: Option<&Signature>) -> Vec<u8> {
    let Some(signed) = signed else {
        return b",,,".to_vec();
    };
    let set = signed.set.iter().map(|(name, value)| format!("{name}={value}"));
    let set = set.collect::<Vec<_>>().join(" ");
    let mut cells = Vec::new();
    for text in [&signed.whose.to_string(), &signed.hash, &set] {
        cells.push(b',');
        push_line_cell(&mut cells, text);
    }
    cells
}
