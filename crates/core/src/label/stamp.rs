//! What a call adds to a label: which version, which batch, which day, which tile.

use crate::quantity::NumberTrouble;

/// The longest version, batch or tile code.
const LONGEST: usize = 24;

/// What a call adds to a label; what is left out becomes a line to write on.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stamp {
    /// The glaze's version, as `v3`.
    pub version: Option<String>,
    /// The batch's number.
    pub batch: Option<String>,
    /// The day, as `2026-11-24`.
    pub day: Option<String>,
    /// The tile's code.
    pub code: Option<String>,
}

/// Reads a version, a batch or a tile's code: 1 to 24 characters on one line.
///
/// # Errors
/// Nothing, too much, or control characters.
pub fn parse_mark(text: &str) -> Result<String, NumberTrouble> {
    let mark = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if mark.is_empty() || mark.chars().count() > LONGEST || mark.chars().any(char::is_control) {
        return Err(NumberTrouble {
            message: format!("`{}` is no mark for a label", text.trim()),
            help: Some(format!("1 to {LONGEST} characters, such as v3, 14 or A1")),
        });
    }
    Ok(mark)
}

/// Reads the day on a label, `2026-11-24`.
///
/// # Errors
/// Any other shape, or a day that no calendar has.
pub fn parse_day(text: &str) -> Result<String, NumberTrouble> {
    let day = text.trim();
    let shape = day.len() == 10
        && day.bytes().enumerate().all(|(at, sign)| match at {
            4 | 7 => sign == b'-',
            _ => sign.is_ascii_digit(),
        });
    let number = |from: usize, to: usize| day.get(from..to).and_then(|part| part.parse::<u32>().ok()).unwrap_or(0);
    let (year, month, date) = if shape {
        (number(0, 4), number(5, 7), number(8, 10))
    } else {
        (0, 0, 0)
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    };
    if (1..=days).contains(&date) && (1900..3000).contains(&year) {
        return Ok(day.to_owned());
    }
    Err(NumberTrouble {
        message: format!("`{day}` is no day"),
        help: Some("write year, month and day: 2026-11-24".to_owned()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        assert_eq!(parse_day(" 2024-02-29 ").as_deref(), Ok("2024-02-29"));
        for wrong in [
            "",
            "today",
            "24.11.2026",
            "2026-2-3",
            "2026-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-11-31",
            "２０２６-11-01",
        ] {
            assert!(parse_day(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_mark_is_short_and_on_one_line() {
        assert_eq!(parse_mark(" A  1 ").as_deref(), Ok("A 1"));
        for wrong in ["", "   ", "a\u{7}b", "a batch with a whole sentence for a number"] {
            assert!(parse_mark(wrong).is_err(), "{wrong}");
        }
    }
}
