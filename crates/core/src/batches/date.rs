//! A calendar day.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::quantity::NumberTrouble;

/// A day of the Gregorian calendar, written `2026-11-24` (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// A day; `None` where the calendar has none such between 1900 and 9999.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Date> {
        let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let days = match month {
            2 if leap => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        };
        let real = (1900..=9999).contains(&year) && (1..=12).contains(&month) && (1..=days).contains(&day);
        real.then_some(Date { year, month, day })
    }

    /// Reads `2026-11-24`.
    ///
    /// # Errors
    /// Another order or sign between, or a day that no calendar has.
    pub fn parse(text: &str) -> Result<Date, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write year, month and day: 2026-11-24".to_owned()),
        };
        let text = text.trim();
        let pieces: Vec<&str> = text.split('-').collect();
        let digits =
            |piece: &str, count: usize| piece.len() == count && piece.bytes().all(|sign| sign.is_ascii_digit());
        let [year, month, day] = pieces.as_slice() else {
            return Err(trouble(format!("`{text}` is no date")));
        };
        if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
            return Err(trouble(format!("`{text}` is no date")));
        }
        let date = match (year.parse(), month.parse(), day.parse()) {
            (Ok(year), Ok(month), Ok(day)) => Date::new(year, month, day),
            _ => None,
        };
        date.ok_or_else(|| trouble(format!("the calendar has no {text}")))
    }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Date, D::Error> {
        let text = String::deserialize(from)?;
        Date::parse(&text).map_err(|trouble| serde::de::Error::custom(trouble.message))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_the_calendar_has() {
        for text in ["2026-11-24", "2024-02-29", "2000-02-29"] {
            assert_eq!(Date::parse(text).map(|date| date.to_string()), Ok(text.to_owned()));
        }
        for text in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "24.11.2026",
            "24-11-2026",
            "2026-1-2",
            "today",
            "",
            "0014-01-01",
            "2026-11-24-1",
            "２０２６-11-24",
        ] {
            assert!(Date::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn days_sort_by_time() {
        assert!(Date::parse("2026-09-30").ok() < Date::parse("2026-11-01").ok());
    }
}
