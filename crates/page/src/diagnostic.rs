//! Complaints as text and as JSON.

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

/// The source line (or the part of a long one around the place) and a caret.
fn excerpt(line: &str, column: usize, width: usize) -> String {
    const BEFORE: usize = 50;
    const SHOWN: usize = 74;
    let signs: Vec<char> = line
        .chars()
        .map(|sign| if sign == '\t' || sign.is_control() { ' ' } else { sign })
        .collect();
    let at = column.saturating_sub(1).min(signs.len());
    let start = if signs.len() > SHOWN {
        at.saturating_sub(BEFORE)
    } else {
        0
    };
    let end = (start + SHOWN).min(signs.len());
    let shown: String = signs[start..end].iter().collect();
    let caret = width.min(end.saturating_sub(at).max(1));
    format!("    {shown}\n    {}{}\n", " ".repeat(at - start), "^".repeat(caret))
}

/// A complaint as JSON, `{"error": {...}}`.
pub fn json(diagnostic: &Diagnostic) -> Value {
    json!({"error": Complaint(diagnostic)})
}
