//! Cells of tables that spreadsheets open, and their way back.
//!
//! A spreadsheet runs a cell that begins with `=`, `+`, `-` or `@`. Such a text is
//! written with an apostrophe before it, and read without it, so that every text
//! comes back as it was. Plain numbers stay as they are.

use std::borrow::Cow;
use std::io::Write;

use crate::quantity::{shortest, whole};

/// What a spreadsheet may take for the beginning of a formula, full-width forms too.
const RUNS: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'];

/// Whether a text, apostrophes before it put aside, would be run.
fn runs(text: &str) -> bool {
    let bare = text.trim_start_matches('\'');
    // The first sign counts as it is; blanks before it are passed by as spreadsheets do.
    let first = [bare.chars().next(), bare.trim_start().chars().next()];
    first.into_iter().flatten().any(|sign| RUNS.contains(&sign))
}

/// Whether it is a number and nothing else: `-0.5`, `+3`, `1e-6`.
fn is_number(text: &str) -> bool {
    text.parse::<f64>().is_ok_and(f64::is_finite)
}

/// A text that no spreadsheet runs; [`unguarded`] gives it back.
///
/// ```
/// use glost_chemistry::read::{guarded, unguarded};
///
/// assert_eq!(guarded("=1+2"), "'=1+2");
/// assert_eq!(guarded("-0.5"), "-0.5");
/// assert_eq!(unguarded(&guarded("'=x")), "'=x");
/// ```
pub fn guarded(text: &str) -> Cow<'_, str> {
    if runs(text) && !is_number(text) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// What was written by [`guarded`]; any other text as it is.
pub fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if runs(rest) && !is_number(rest) => rest,
        _ => text,
    }
}

/// Adds a cell: guarded, in quotes where it needs them.
pub fn push_cell(row: &mut String, text: &str) {
    let text = guarded(text);
    let plain = !text.contains([',', ';', '"', '\n', '\r', '\t']) && text.trim() == text;
    if plain {
        row.push_str(&text);
    } else {
        row.push('"');
        row.push_str(&text.replace('"', "\"\""));
        row.push('"');
    }
}

/// Adds a cell to a line that stays one line: guarded, in quotes where it needs them, a line
/// end as a blank.
pub fn push_line_cell(line: &mut Vec<u8>, text: &str) {
    // A letter begins nearly every cell, and is nothing to guard.
    let plain = text.bytes().next().is_some_and(|first| first.is_ascii_alphanumeric());
    let text = if plain { Cow::Borrowed(text) } else { guarded(text) };
    let mut rest = text.as_bytes();
    let breaks = holds(rest, |byte| matches!(byte, b'"' | b'\n' | b'\r'));
    if !breaks && !holds(rest, |byte| byte == b',') {
        return line.extend_from_slice(rest);
    }
    line.push(b'"');
    while breaks && let Some(at) = rest.iter().position(|byte| matches!(byte, b'"' | b'\n' | b'\r')) {
        line.extend_from_slice(&rest[..at]);
        line.extend_from_slice(if rest[at] == b'"' { b"\"\"" } else { b" " });
        rest = &rest[at + 1..];
    }
    line.extend_from_slice(rest);
    line.push(b'"');
}

/// Whether one of the bytes is such a one. Looked at by sixteens: the machine does that at once.
fn holds(bytes: &[u8], such: impl Fn(u8) -> bool) -> bool {
    let (sixteens, rest) = bytes.as_chunks::<16>();
    let among = |bytes: &[u8]| bytes.iter().fold(false, |found, byte| found | such(*byte));
    sixteens.iter().any(|bytes| among(bytes)) || among(rest)
}

/// Adds a number to a line, in the fewest digits that read back as it is.
pub fn push_number_cell(line: &mut Vec<u8>, number: f64) {
    match shortest(number) {
        Some(digits) => line.extend_from_slice(digits.as_bytes()),
        // Writing into memory can't fail.
        None => {
            let _ = write!(line, "{number}");
        }
    }
}

/// Adds a whole number to a line.
pub fn push_count_cell(line: &mut Vec<u8>, count: usize) {
    line.extend_from_slice(whole(count as u64).as_bytes());
}

/// Adds a row of cells with its line end.
pub fn push_row<T: AsRef<str>>(rows: &mut String, cells: impl IntoIterator<Item = T>) {
    for (index, cell) in cells.into_iter().enumerate() {
        if index > 0 {
            rows.push(',');
        }
        push_cell(rows, cell.as_ref());
    }
    rows.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_guarded_and_comes_back() {
        for text in [
            "=1+2", "+tin", "-tin", "@sum", "'=x", "''=x", "\t=x", " =x", "＝x", "'", "''", "plain", "", "'quoted'",
            "-3", "+3.5", "'-3", "''-3", "'+3", "- ", "\r", "'\r",
        ] {
            let written = guarded(text);
            assert_eq!(unguarded(&written), text, "{written:?}");
            let first = written.chars().next();
            let plain = first.is_none_or(|sign| !RUNS.contains(&sign)) || is_number(&written);
            assert!(plain, "{written:?}");
        }
    }

    #[test]
    fn a_cell_of_a_line_stays_on_it() {
        let cell = |text: &str| {
            let mut line = Vec::new();
            push_line_cell(&mut line, text);
            String::from_utf8_lossy(&line).into_owned()
        };
        let told = ["plain", "", "a, b", "\"a\"\nb\r", "=1", "-3", "µ, \"", "3 =1"].map(cell);
        assert_eq!(
            told,
            [
                "plain",
                "",
                "\"a, b\"",
                "\"\"\"a\"\" b \"",
                "'=1",
                "-3",
                "\"µ, \"\"\"",
                "3 =1"
            ]
        );
    }

    #[test]
    fn a_row_is_quoted_where_it_needs_to_be() {
        let mut rows = String::new();
        push_row(&mut rows, ["a, \"b\"", "-3", "=1", "c\nd", " e"]);
        assert_eq!(rows, "\"a, \"\"b\"\"\",-3,'=1,\"c\nd\",\" e\"\n");
    }
}
