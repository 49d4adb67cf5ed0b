//! Places as the protocol counts them: lines and columns from 0, columns in units of UTF-16.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Place, Severity, Source};
use lsp_types::{DiagnosticSeverity, NumberOrString, Position, Range};

/// What editors put after a byte-order mark stands one further on than our reader counts.
const ORDER_MARK: char = '\u{FEFF}';

/// The units of UTF-16 of the first so many characters.
fn units(line: &str, characters: usize) -> u32 {
    let units: usize = line.chars().take(characters).map(char::len_utf16).sum();
    // A line has as many characters as a text may have bytes, far below.
    u32::try_from(units).unwrap_or(u32::MAX)
}

fn range(place: &Place, text: &str) -> Range {
    let line = u32::try_from(place.mark.line.saturating_sub(1)).unwrap_or(u32::MAX);
    let shift = u32::from(line == 0 && text.starts_with(ORDER_MARK));
    let before = place.mark.column.saturating_sub(1);
    let at = |characters: usize| Position::new(line, units(&place.source_line, characters) + shift);
    Range::new(at(before), at(before + place.width))
}

/// The place that somebody points at, as our readers count.
pub(super) fn mark(position: Position, text: &str) -> Mark {
    let line = text.lines().nth(position.line as usize).unwrap_or("");
    let mut left = position.character as usize;
    let mut characters = 0;
    for sign in line.chars() {
        if left < sign.len_utf16() {
            break;
        }
        left -= sign.len_utf16();
        // Our reader doesn't count the mark of the byte order.
        characters += usize::from(sign != ORDER_MARK);
    }
    Mark {
        line: position.line as usize + 1,
        column: characters + 1,
    }
}

/// From a place up to where somebody stands in the same line.
pub(super) fn from_mark(from: Mark, to: Position, text: &str) -> Range {
    let line = text.lines().nth(from.line.saturating_sub(1)).unwrap_or("");
    let shift = usize::from(line.starts_with(ORDER_MARK));
    let start = Position::new(
        u32::try_from(from.line.saturating_sub(1)).unwrap_or(u32::MAX),
        units(line, from.column.saturating_sub(1) + shift),
    );
    Range::new(start.min(to), to)
}

/// A word of so many characters in a text.
pub(super) fn word(mark: Mark, width: usize, text: &str) -> Range {
    range(&Source::from_text("", text).place(mark, width), text)
}

/// A complaint of a document with this text.
pub(super) fn diagnostic(complaint: &Diagnostic, text: &str) -> lsp_types::Diagnostic {
    let message = match &complaint.help {
        Some(help) => format!("{}\nhelp: {help}", complaint.message),
        None => complaint.message.clone(),
    };
    lsp_types::Diagnostic {
        range: complaint
            .place
            .as_ref()
            .map_or_else(Range::default, |place| range(place, text)),
        severity: Some(match complaint.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Caution => DiagnosticSeverity::WARNING,
        }),
        code: Some(NumberOrString::String(complaint.code.to_owned())),
        source: Some("glost".to_owned()),
        message,
        ..lsp_types::Diagnostic::default()
    }
}

/// A complaint of a file that isn't open: its line tells all that the place needs.
pub(super) fn of_file(complaint: &Diagnostic) -> lsp_types::Diagnostic {
    diagnostic(complaint, "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_in_units_of_utf_16() {
        let text = "\u{FEFF}a\nö😀whitting";
        let source = Source::from_text("x", text);
        let place = |line, column, width| range(&source.place(Mark { line, column }, width), text);
        assert_eq!(place(2, 3, 8), Range::new(Position::new(1, 3), Position::new(1, 11)));
        assert_eq!(place(1, 1, 1), Range::new(Position::new(0, 1), Position::new(0, 2)));
        let back = |line, character| mark(Position::new(line, character), text);
        assert_eq!(back(1, 3), Mark { line: 2, column: 3 });
        assert_eq!(back(0, 2), Mark { line: 1, column: 2 });
        assert_eq!(back(7, 2), Mark { line: 8, column: 1 });
        // Past the end of its line there is nothing to underline.
        assert_eq!(place(1, 9, 2), Range::new(Position::new(0, 2), Position::new(0, 2)));
    }
}
