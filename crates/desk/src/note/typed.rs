//! What people say about pieces, as numbers: `2/5`, `30d`, `6 months`,
//! `2025-03`, `gloss=4`, `0.4 mm`.

use glost_chemistry::diagnostic::{is_no, of_typed, under};
use glost_chemistry::quantity::{Date, MONTHS, NumberTrouble, parse_number};

use glost_core::evidence::notes::{GRADES, Grade, OLDEST_DAYS, THICKEST_MM};

/// Days of a year and of a month as ages count them: 365, and a twelfth of it.
const DAYS_PER_YEAR: f64 = 365.0;
const DAYS_PER_MONTH: f64 = DAYS_PER_YEAR / 12.0;

fn trouble(message: impl Into<String>, help: impl Into<String>) -> NumberTrouble {
    NumberTrouble {
        message: message.into(),
        help: Some(help.into()),
    }
}

/// So many of so many: `2/5`, `2 of 5`; the second is absent in `2`.
///
/// # Errors
/// Anything else, nothing looked at, or more of them than there are.
pub fn parse_share(text: &str) -> Result<(u32, Option<u32>), NumberTrouble> {
    let text = text.trim();
    let odd = || trouble(is_no(text, "count"), "write how many of how many, such as 2/5 or 0/5");
    let (some, of) = match text.split_once('/').or_else(|| text.split_once(" of ")) {
        Some((some, of)) => (some, Some(of)),
        None => (text, None),
    };
    let count = |part: &str| part.trim().parse::<u32>().map_err(|_| odd());
    let (some, of) = (count(some)?, of.map(count).transpose()?);
    match of {
        Some(0) => Err(trouble(
            "0 pieces were looked at",
            "write how many of how many, such as 2/5 or 0/5",
        )),
        Some(of) if some > of => Err(trouble(
            format!("{some} of {of}: more than there are"),
            format!("first how many it happened to, then how many were looked at: {of}/{some}?"),
        )),
        _ => Ok((some, of)),
    }
}

/// An age in days: `30d`, `30 days`, `6 weeks`, `6 months`, `1 year`, `fresh`.
/// A month is a twelfth of 365 days; months and years are rounded to whole days.
///
/// # Errors
/// A number that doesn't say what it counts, unless `bare_days`; anything else;
/// more than 100 years.
pub fn parse_age(text: &str, bare_days: bool) -> Result<f64, NumberTrouble> {
    let text = text.trim();
    let lower = text.to_lowercase();
    if matches!(lower.as_str(), "fresh" | "new" | "from the kiln") {
        return Ok(0.0);
    }
    let help = "write 30d, 6 weeks, 6 months, 1 year, or `fresh` for pieces straight from the kiln";
    let split = lower.find(|sign: char| sign.is_alphabetic()).unwrap_or(lower.len());
    let (amount, unit) = lower.split_at(split);
    let amount = parse_number(amount)
        .map_err(|_| trouble(is_no(text, "age"), help))?
        .value;
    let days = match unit.trim().trim_end_matches('.') {
        "d" | "day" | "days" => amount,
        "h" | "hour" | "hours" => amount / 24.0,
        "w" | "wk" | "wks" | "week" | "weeks" => 7.0 * amount,
        "mo" | "month" | "months" => (DAYS_PER_MONTH * amount).round(),
        "y" | "yr" | "yrs" | "year" | "years" => (DAYS_PER_YEAR * amount).round(),
        "m" => {
            return Err(trouble(
                under(text, "months or minutes?"),
                "write it out, such as 6 months",
            ));
        }
        "" if bare_days => amount,
        "" => {
            return Err(trouble(
                of_typed(text, "doesn't say what it counts"),
                format!("write `{text}d`, `{text} months` or `{text} years`"),
            ));
        }
        _ => return Err(trouble(is_no(text, "age"), help)),
    };
    if (0.0..=OLDEST_DAYS).contains(&days) {
        Ok(days)
    } else {
        Err(trouble(is_no(text, "age of a piece"), help))
    }
}

/// A day that pieces were made on, with how many days it may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MadeOn {
    /// The day, or the middle of the month or year.
    pub day: Date,
    /// How many days it may be off: 0, 15 or 182.
    pub plus_minus_days: i64,
}

/// When pieces were made: `2025-03-14`, `2025-03`, `March 2025`, `2025`. A
/// month counts from its 15th, a year from 1 July.
///
/// # Errors
/// Anything else.
pub fn parse_made(text: &str) -> Result<MadeOn, NumberTrouble> {
    let text = text.trim();
    let odd = || {
        trouble(
            of_typed(text, "says no day, month or year"),
            "write 2025-03-14, 2025-03 or 2025",
        )
    };
    let year_of = |text: &str| {
        let digits = text.len() == 4 && text.bytes().all(|sign| sign.is_ascii_digit());
        digits.then(|| text.parse::<i64>().ok()).flatten()
    };
    let month_of = |text: &str| {
        let lower = text.to_lowercase();
        let named = |name: &&str| lower.len() >= 3 && name.to_lowercase().starts_with(&lower);
        let index = MONTHS.iter().position(named);
        index.and_then(|index| u8::try_from(index + 1).ok())
    };
    let (day, plus_minus_days) = if let Some(year) = year_of(text) {
        (Date::new(year, 7, 1), 182)
    } else if let Some((month, year)) = text.split_once(' ') {
        let month = month_of(month).ok_or_else(odd)?;
        let year = year_of(year.trim()).ok_or_else(odd)?;
        (Date::new(year, month, 15), 15)
    } else if text.len() == 7 {
        (Date::parse(&format!("{text}-15")).ok(), 15)
    } else {
        (
            Some(Date::parse(text).map_err(|bad| NumberTrouble {
                help: odd().help,
                ..bad
            })?),
            0,
        )
    };
    day.map(|day| MadeOn { day, plus_minus_days }).ok_or_else(odd)
}

/// A grade: `gloss=4`, `gloss: 4`, `gloss 4`.
///
/// # Errors
/// Anything else, or a grade outside 0 to 5.
pub fn parse_grade(text: &str) -> Result<Grade, NumberTrouble> {
    let text = text.trim();
    let split = text.rfind(['=', ':']).or_else(|| text.rfind(' '));
    let odd = || trouble(is_no(text, "grade"), "write what is graded and how: gloss=4");
    let (property, grade) = split.map(|at| text.split_at(at)).ok_or_else(odd)?;
    let property = property.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let grade = parse_number(grade.trim_start_matches(['=', ':', ' ']))
        .map_err(|_| odd())?
        .value;
    if property.is_empty() || property.chars().any(char::is_control) {
        return Err(odd());
    }
    if !GRADES.contains(&grade) {
        return Err(trouble(
            under(text, "grades run from 0 to 5"),
            "0 is none of it, 5 as much as can be; gloss=5 is a mirror, gloss=0 dead matt",
        ));
    }
    Ok(Grade { property, grade })
}

/// A thickness in mm: `0.4 mm`, `400 um`; a bare number only where `bare_mm`.
///
/// # Errors
/// Anything else; nothing at all, or more than 50 mm.
pub fn parse_thickness(text: &str, bare_mm: bool) -> Result<f64, NumberTrouble> {
    let text = text.trim();
    let help = "write it in mm: 0.4 mm";
    let split = text
        .find(|sign: char| sign.is_alphabetic() || sign == 'µ')
        .unwrap_or(text.len());
    let (amount, unit) = text.split_at(split);
    let amount = parse_number(amount)
        .map_err(|_| trouble(is_no(text, "thickness"), help))?
        .value;
    let millimetres = match unit.trim() {
        "mm" => amount,
        "um" | "µm" | "μm" | "microns" | "micrometres" => amount / 1000.0,
        "" if bare_mm => amount,
        _ => return Err(trouble(of_typed(text, "doesn't say what it counts"), help)),
    };
    if millimetres > 0.0 && millimetres <= THICKEST_MM {
        Ok(millimetres)
    } else {
        Err(trouble(is_no(text, "thickness of a glaze"), help))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_ages_as_people_say_them() {
        assert_eq!(parse_share("2/5"), Ok((2, Some(5))));
        assert_eq!(parse_share(" 0 of 20 "), Ok((0, Some(20))));
        assert_eq!(parse_share("2"), Ok((2, None)));
        for wrong in ["5/2", "0/0", "", "two", "-1/5", "2/5/7", "1.5/5"] {
            assert!(parse_share(wrong).is_err(), "{wrong}");
        }
        for (text, days) in [
            ("30d", 30.0),
            ("30 days", 30.0),
            ("6 weeks", 42.0),
            ("1 month", 30.0),
            ("6 months", 183.0),
            ("14 months", 426.0),
            ("1 year", 365.0),
            ("1,5 years", 548.0),
            ("3 yrs", 1095.0),
            ("fresh", 0.0),
            ("12 h", 0.5),
        ] {
            assert_eq!(parse_age(text, false), Ok(days), "{text}");
        }
        for wrong in ["30", "6m", "-3 days", "old", "200 years", "nan days", ""] {
            assert!(parse_age(wrong, false).is_err(), "{wrong}");
        }
        assert_eq!(parse_age("30", true), Ok(30.0));
    }

    #[test]
    fn when_it_was_made() {
        let made = |text: &str| parse_made(text).map(|made| (made.day.to_string(), made.plus_minus_days));
        assert_eq!(made("2025-03"), Ok(("2025-03-15".to_owned(), 15)));
        assert_eq!(made("March 2025"), Ok(("2025-03-15".to_owned(), 15)));
        assert_eq!(made("Sept 2025"), Ok(("2025-09-15".to_owned(), 15)));
        assert_eq!(made("2025"), Ok(("2025-07-01".to_owned(), 182)));
        assert_eq!(made("2025-03-14"), Ok(("2025-03-14".to_owned(), 0)));
        for wrong in ["", "spring", "2025-13", "03.2025", "Ma 2025", "2025-3", "2025-02-30"] {
            assert!(parse_made(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn grades_and_thickness() {
        let grade = |text: &str| parse_grade(text).map(|grade| (grade.property, grade.grade));
        assert_eq!(grade("gloss=4"), Ok(("gloss".to_owned(), 4.0)));
        assert_eq!(grade("Surface  feel: 3,5"), Ok(("surface feel".to_owned(), 3.5)));
        assert_eq!(grade("gloss 0"), Ok(("gloss".to_owned(), 0.0)));
        for wrong in ["gloss=7", "gloss=-1", "gloss", "=4", "4", "gloss=nan", ""] {
            assert!(grade(wrong).is_err(), "{wrong}");
        }
        assert_eq!(parse_thickness("0.4 mm", false), Ok(0.4));
        assert_eq!(parse_thickness("400um", false), Ok(0.4));
        for wrong in ["0.4", "0 mm", "4 m", "60 mm", "thick"] {
            assert!(parse_thickness(wrong, false).is_err(), "{wrong}");
        }
    }
}
