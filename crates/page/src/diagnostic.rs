//! Complaints as text and as JSON.

use crate::layout;
use glost_chemistry::diagnostic::{Diagnostic, Severity};
use glost_desk::wire::Complaint;
use serde_json::{Value, json};

/// A complaint as text: what, where, the line with a caret, what to do.
pub fn text(diagnostic: &Diagnostic) -> String {
    let word = match diagnostic.severity {
        Severity::Error => "error",
        Severity::Caution => "caution",
    };
    let mut text = format!("{word}: {}\n", diagnostic.message);
    if let Some(place) = &diagnostic.place {
        text.push_str(&format!("{}:{}:{}\n", place.file, place.mark.line, place.mark.column));
        if !place.source_line.is_empty() {
            text.push_str(&excerpt(&place.source_line, place.mark.column, place.width));
        }
    }
    if let Some(help) = &diagnostic.help {
        text.push_str(&format!("help: {help}\n"));
    }
    text
}

/// A complaint as text for a terminal of this width: what is said is wrapped.
pub fn wrapped(diagnostic: &Diagnostic) -> String {
    let mut out = String::new();
    for line in text(diagnostic).lines() {
        let lead = ["error: ", "caution: ", "help: "]
            .into_iter()
            .find(|lead| line.starts_with(lead));
        match lead {
            Some(lead) => out.push_str(&layout::paragraph(line, lead.len())),
            None => {
                out.push_str(line);
                out.push('\n');
            }
        }
    }
    out
}

/// The line at fault with its caret and what to do, as they stand beneath a sentence that told
/// what is wrong.
pub(crate) fn beneath(diagnostic: &Diagnostic) -> String {
    let place = diagnostic.place.as_ref();
    let shown = place.filter(|place| !place.source_line.trim().is_empty());
    let mut text = shown.map_or_else(String::new, |place| {
        excerpt(&place.source_line, place.mark.column, place.width)
    });
    if let Some(help) = &diagnostic.help {
        text.push_str(&layout::indented("    help: ", help));
    }
    text
}

/// The source line (or the part of a long one around the place) and a caret.
fn excerpt(line: &str, column: usize, width: usize) -> String {
    let shown_columns = layout::width().saturating_sub(6).max(20);
    let most_before = shown_columns * 50 / 74;
    let signs: Vec<char> = line
        .chars()
        .map(|sign| if sign == '\t' || sign.is_control() { ' ' } else { sign })
        .collect();
    let at = column.saturating_sub(1).min(signs.len());
    let start = if signs.len() > shown_columns {
        at.saturating_sub(most_before)
    } else {
        0
    };
    let end = (start + shown_columns).min(signs.len());
    let shown: String = signs[start..end].iter().collect();
    let caret = width.min(end.saturating_sub(at).max(1));
    format!("    {shown}\n    {}{}\n", " ".repeat(at - start), "^".repeat(caret))
}

/// A complaint as JSON, `{"error": {...}}`.
pub fn json(diagnostic: &Diagnostic) -> Value {
    json!({"error": Complaint(diagnostic)})
}
