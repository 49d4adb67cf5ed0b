//! A reading as the text of a glaze file, its doubts as comments.

use std::fmt::Write;

use glost_chemistry::glaze::write_glaze;
use serde::Serialize;

use super::doubt::Doubt;
use super::reading::{Reading, Role};

/// What is said in the file of a recipe that was read from a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FileRemark {
    /// Where it is from.
    FromPage,
    /// What is doubtful of a line.
    OfLine {
        /// The line's number.
        line: usize,
        /// Its text.
        text: String,
        /// The doubt.
        doubt: Doubt,
    },
    /// What is doubtful of the whole page.
    OfPage(Doubt),
    /// These lines stay open.
    NotInYet(Vec<String>),
}

/// The glaze file of a reading: doubts and open lines stand above it as
/// comments in the words of `say`, open lines in its `notes` too. `None` where there is no base yet.
///
/// # Errors
/// A name that YAML can't hold; none is known.
pub fn write_reading(
    reading: &Reading,
    decimals: i32,
    say: &dyn Fn(FileRemark) -> String,
) -> Result<Option<String>, String> {
    let Some(glaze) = &reading.glaze else {
        return Ok(None);
    };
    let mut comments = vec![say(FileRemark::FromPage)];
    for line in &reading.lines {
        comments.extend(line.doubts.iter().map(|doubt| {
            say(FileRemark::OfLine {
                line: line.line,
                text: line.text.clone(),
                doubt: doubt.clone(),
            })
        }));
    }
    comments.extend(
        reading
            .doubts
            .iter()
            .cloned()
            .map(|doubt| say(FileRemark::OfPage(doubt))),
    );
    let open = reading.lines.iter().filter(|line| line.role == Role::Open);
    let open: Vec<String> = open.map(|line| line.text.clone()).collect();
    let mut glaze = glaze.clone();
    if !open.is_empty() {
        glaze.about.notes = Some(say(FileRemark::NotInYet(open)));
    }
    let mut text = String::new();
    for comment in &comments {
        let _ = writeln!(text, "# {}", one_line(comment));
    }
    text.push_str(&write_glaze(&glaze, decimals)?);
    Ok(Some(text))
}

fn one_line(text: &str) -> String {
    text.chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect()
}
