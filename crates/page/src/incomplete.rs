//! What is said of an answer that had to leave something out.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::read::push_row;

use crate::Csv;
use crate::layout::indented;

/// The last lines of a text; nothing where nothing was left out.
pub fn text(left_out: &[Diagnostic]) -> String {
    if left_out.is_empty() {
        return String::new();
    }
    let files: Vec<String> = left_out.iter().map(short).collect();
    let said = format!(
        "this answer leaves out what couldn't be read: {}. Mend that and ask again.",
        files.join("; ")
    );
    format!("\n{}", indented("Incomplete: ", &said))
}

/// What is wrong and where, on one line.
fn short(why: &Diagnostic) -> String {
    match why.place.as_deref() {
        Some(place) => format!("{}, line {}: {}", place.file, place.mark.line, why.message),
        None => why.message.clone(),
    }
}

impl Csv {
    /// With a last row for each thing that was left out, in its first cell.
    #[must_use]
    pub fn without(mut self, left_out: &[Diagnostic]) -> Csv {
        let headings = self.rows.lines().next().unwrap_or("");
        let columns = headings.matches(',').count() + 1;
        for why in left_out {
            let mut row = vec![format!("incomplete: {}", short(why))];
            row.resize(columns, String::new());
            push_row(&mut self.rows, &row);
        }
        self
    }
}
