//! What a call adds to a label: which version, which batch, which day, which tile.

use glost_chemistry::diagnostic::is_no;
use glost_chemistry::quantity::{Date, NumberTrouble};

/// The longest version, batch or tile code.
const LONGEST: usize = 24;

/// What a call adds to a label; what is left out becomes a line to write on.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stamp {
    /// The glaze's version, as `v3`.
    pub version: Option<String>,
    /// The batch's number.
    pub batch: Option<String>,
    /// The day.
    pub day: Option<Date>,
    /// The tile's code.
    pub code: Option<String>,
    /// The lots that it was weighed from.
    pub lots: Vec<(String, String)>,
    /// Who mixed it.
    pub by: Option<String>,
    /// Which of several containers it is.
    pub container: Option<Container>,
}

/// One of several containers of a batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Container {
    /// What it is: `bottle`.
    pub what: String,
    /// Which, from 1.
    pub number: u32,
    /// Of how many.
    pub of: u32,
}

/// Reads a version, a batch or a tile's code: 1 to 24 characters on one line.
///
/// # Errors
/// Nothing, too much, or control characters.
pub fn parse_mark(text: &str) -> Result<String, NumberTrouble> {
    let mark = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if mark.is_empty() || mark.chars().count() > LONGEST || mark.chars().any(char::is_control) {
        return Err(NumberTrouble {
            message: is_no(text.trim(), "mark for a label"),
            help: Some(format!("1 to {LONGEST} characters, such as v3, 14 or A1")),
        });
    }
    Ok(mark)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_short_and_on_one_line() {
        assert_eq!(parse_mark(" A  1 ").as_deref(), Ok("A 1"));
        for wrong in ["", "   ", "a\u{7}b", "a batch with a whole sentence for a number"] {
            assert!(parse_mark(wrong).is_err(), "{wrong}");
        }
    }
}
