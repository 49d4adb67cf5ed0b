//! A reading as the text of a glaze file, its doubts as comments.

use glost_chemistry::glaze::write_glaze;

use super::doubt::Doubt;
use super::reading::{Reading, Role};

/// The glaze file of a reading: doubts and open lines stand above it as
/// comments in the words of `say`, open lines in its `notes` too. `None` where there is no base yet.
///
/// # Errors
/// A name that YAML can't hold; none is known.
pub fn write_reading(
    reading: &Reading,
    decimals: i32,
    say: &dyn Fn(&Doubt) -> String,
) -> Result<Option<String>, String> {
    let Some(glaze) = &reading.glaze else {
        return Ok(None);
    };
    let mut comments = vec!["Read from a notebook page. Parts are per cent of the base.".to_owned()];
    for line in &reading.lines {
        for doubt in &line.doubts {
            comments.push(format!("line {}, `{}`: {}", line.line, line.text, say(doubt)));
        }
    }
    comments.extend(reading.doubts.iter().map(|doubt| format!("page: {}", say(doubt))));
    let open: Vec<&str> = reading
        .lines
        .iter()
        .filter(|line| line.role == Role::Open)
        .map(|line| line.text.as_str())
        .collect();
    let mut glaze = glaze.clone();
    if !open.is_empty() {
        glaze.about.notes = Some(format!("Not in it yet: {}.", open.join("; ")));
    }
    let mut text: String = comments
        .iter()
        .map(|comment| format!("# {}\n", one_line(comment)))
        .collect();
    text.push_str(&write_glaze(&glaze, decimals)?);
    Ok(Some(text))
}

fn one_line(text: &str) -> String {
    text.chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect()
}
