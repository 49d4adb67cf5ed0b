//! Places as the protocol counts them: lines and columns from 0, columns in units of UTF-16.

use glost_chemistry::diagnostic::{Diagnostic, Place, Severity};
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

/// A complaint of a document with this text.
pub(super) fn diagnostic(complaint: &Diagnostic, text: &str) -> lsp_types::Diagnostic {
    let message = match &complaint.help {
        Some(help) => [complaint.message.as_str(), "\nhelp: ", help].concat(),
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

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::{Mark, Source};

    #[test]
    fn columns_count_in_units_of_utf_16() {
        let text = "\u{FEFF}a\nö😀whitting";
        let source = Source::from_text("x", text);
        let place = |line, column, width| range(&source.place(Mark { line, column }, width), text);
        assert_eq!(place(2, 3, 8), Range::new(Position::new(1, 3), Position::new(1, 11)));
        assert_eq!(place(1, 1, 1), Range::new(Position::new(0, 1), Position::new(0, 2)));
        // Past the end of its line there is nothing to underline.
        assert_eq!(place(1, 9, 2), Range::new(Position::new(0, 2), Position::new(0, 2)));
    }
}
