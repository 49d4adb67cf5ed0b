//! Many glazes checked at once.

use std::io::Cursor;

use glost_desk::check::over::Question;
use glost_desk::{Desk, Failure};
use glost_page::over::LineFormat;
use serde_json::{Map, Value};

use crate::asked::words;

/// The findings over a table handed in as CSV (else over the one that the question names),
/// a line of JSON each, and the complaints about what can't be read.
pub(crate) fn over(
    desk: &Desk,
    table: Option<String>,
    question: &Map<String, Value>,
) -> Result<(String, Vec<String>), Failure> {
    let question = Question::from_words(&words("check", question)?)?;
    let over = question.open(desk, || Box::new(Cursor::new(table.unwrap_or_default())))?;
    let (mut lines, mut complaints) = (Vec::new(), Vec::new());
    over.run(&LineFormat::JsonLines, |batch| {
        lines.extend_from_slice(batch.lines.as_bytes());
        complaints.extend(batch.complaints.iter().map(glost_page::diagnostic::text));
        complaints.extend(batch.printed.lines().map(str::to_owned));
        Ok(())
    })?;
    let lines = String::from_utf8(lines).map_err(|why| Failure::our_fault("writing findings as JSON", why))?;
    Ok((lines, complaints))
}
