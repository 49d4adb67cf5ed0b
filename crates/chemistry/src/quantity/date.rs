//! Days of the Gregorian calendar, counted and written.
//!
//! There is no clock here: whoever needs today is told it. Day numbers follow
//! the civil-date arithmetic of H. Hinnant, "chrono-Compatible Low-Level Date
//! Algorithms" (eras of 400 years, 146,097 days).

use crate::diagnostic::is_no;
use std::fmt;

use super::number::NumberTrouble;

const DAYS_PER_ERA: i64 = 146_097;
/// From 0000-03-01 to 1970-01-01.
const DAYS_TO_EPOCH: i64 = 719_468;
/// Years that are taken for a slip of the pen otherwise.
const YEARS: std::ops::RangeInclusive<i64> = 1900..=2999;

/// The English names of the months.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A day, from 1900-01-01 to 2999-12-31.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: i64,
    month: u8,
    day: u8,
}

impl Date {
    /// A day of the calendar; `None` where there is no such day, or outside
    /// the years 1900 to 2999.
    pub fn new(year: i64, month: u8, day: u8) -> Option<Date> {
        let real =
            YEARS.contains(&year) && (1..=12).contains(&month) && (1..=days_in_month(year, month)).contains(&day);
        real.then_some(Date { year, month, day })
    }

    /// Reads `2026-11-24`.
    ///
    /// # Errors
    /// Any other shape, or a day that no calendar has.
    pub fn parse(text: &str) -> Result<Date, NumberTrouble> {
        let text = text.trim();
        let parts: Vec<&str> = text.split('-').collect();
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write year, month and day: 2026-11-24".to_owned()),
        };
        let digits = |part: &str, count: usize| part.len() == count && part.bytes().all(|sign| sign.is_ascii_digit());
        let [year, month, day] = parts.as_slice() else {
            return Err(trouble(is_no(text, "date")));
        };
        if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
            return Err(trouble(is_no(text, "date")));
        }
        let date = match (year.parse(), month.parse(), day.parse()) {
            (Ok(year), Ok(month), Ok(day)) => Date::new(year, month, day),
            _ => None,
        };
        date.ok_or_else(|| trouble(format!("there is no day {text}")))
    }

    /// Days since 1970-01-01, negative before it.
    pub fn day_number(self) -> i64 {
        let year = if self.month <= 2 { self.year - 1 } else { self.year };
        let era = year.div_euclid(400);
        let year_of_era = year.rem_euclid(400);
        let month_from_march = (i64::from(self.month) + 9) % 12;
        let day_of_year = (153 * month_from_march + 2) / 5 + i64::from(self.day) - 1;
        let day_of_era = 365 * year_of_era + year_of_era / 4 - year_of_era / 100 + day_of_year;
        era * DAYS_PER_ERA + day_of_era - DAYS_TO_EPOCH
    }

    /// The day with this number of days since 1970-01-01; `None` outside the
    /// years 1900 to 2999.
    pub fn from_day_number(days: i64) -> Option<Date> {
        let days = days.checked_add(DAYS_TO_EPOCH)?;
        let era = days.div_euclid(DAYS_PER_ERA);
        let day_of_era = days.rem_euclid(DAYS_PER_ERA);
        let year_of_era =
            (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / (DAYS_PER_ERA - 1)) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month_from_march = (5 * day_of_year + 2) / 153;
        let day = u8::try_from(day_of_year - (153 * month_from_march + 2) / 5 + 1).ok()?;
        let month = u8::try_from((month_from_march + 2) % 12 + 1).ok()?;
        let year = year_of_era + 400 * era + i64::from(month <= 2);
        Date::new(year, month, day)
    }

    /// So many days later (earlier where negative), held at the ends of the
    /// calendar that is known.
    #[must_use]
    pub fn plus_days(self, days: i64) -> Date {
        let (first, last) = (
            Date {
                year: 1900,
                month: 1,
                day: 1,
            },
            Date {
                year: 2999,
                month: 12,
                day: 31,
            },
        );
        let number = self.day_number().saturating_add(days);
        Date::from_day_number(number).unwrap_or(if days < 0 { first } else { last })
    }

    /// Days from `earlier` to this day; negative where it comes later.
    pub fn days_since(self, earlier: Date) -> i64 {
        self.day_number() - earlier.day_number()
    }

    /// The year.
    pub fn year(self) -> i64 {
        self.year
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u8 {
        self.day
    }

    /// As people say it: `24 November 2026`.
    pub fn words(self) -> String {
        // From 1 to 12, by construction.
        let month = MONTHS[usize::from(self.month) - 1];
        format!("{} {month} {}", self.day, self.year)
    }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

fn days_in_month(year: i64, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        Date::parse(text).unwrap_or_else(|why| panic!("{why:?}"))
    }

    /// Day numbers from the Unix epoch: `date -u -d DAY +%s` of GNU coreutils, over 86,400.
    #[test]
    fn known_days_have_their_numbers() {
        for (text, number) in [
            ("1900-01-01", -25_567),
            ("1969-12-31", -1),
            ("1970-01-01", 0),
            ("2000-02-29", 11_016),
            ("2024-02-29", 19_782),
            ("2026-11-24", 20_781),
            ("2100-03-01", 47_541),
            ("2999-12-31", 376_199),
        ] {
            assert_eq!(date(text).day_number(), number, "{text}");
            assert_eq!(
                Date::from_day_number(number).map(|day| day.to_string()).as_deref(),
                Some(text)
            );
        }
    }

    #[test]
    fn every_day_of_eleven_centuries_comes_back() {
        let mut before: Option<Date> = None;
        for number in -25_567..=376_199 {
            let Some(day) = Date::from_day_number(number) else {
                panic!("{number} is no day");
            };
            assert_eq!(day.day_number(), number);
            assert!(before.is_none_or(|before| before < day));
            before = Some(day);
        }
        assert_eq!(Date::from_day_number(376_200), None);
        assert_eq!(Date::from_day_number(i64::MAX), None);
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in [
            "",
            "2026",
            "24.11.2026",
            "2026-11-31",
            "2025-02-29",
            "2026-13-01",
            "2026-00-10",
            "1899-12-31",
            "26-11-24",
            "2026-1-2",
            "+026-01-01",
            "2026-11-24T10:00",
        ] {
            assert!(Date::parse(text).is_err(), "{text}");
        }
        assert_eq!(date("2026-11-24").words(), "24 November 2026");
        assert_eq!(date("2026-01-31").plus_days(30).to_string(), "2026-03-02");
        assert_eq!(date("2026-01-31").plus_days(i64::MAX).to_string(), "2999-12-31");
        assert_eq!(date("2026-03-02").days_since(date("2026-01-31")), 30);
    }

    #[test]
    fn the_calendar_ends_where_it_says() {
        let day = |year, month, day| Date::new(year, month, day).map(|day| (day.year(), day.month(), day.day()));
        assert_eq!(day(1900, 1, 1), Some((1900, 1, 1)));
        assert_eq!(day(2999, 12, 31), Some((2999, 12, 31)));
        // 1900 and 2100 were and will be no leap years, 2000 was one.
        assert_eq!(
            (day(1900, 2, 29), day(2100, 2, 29), day(2000, 2, 29).is_some()),
            (None, None, true)
        );
        for (year, month, number) in [
            (1899, 12, 31),
            (3000, 1, 1),
            (2026, 0, 1),
            (2026, 13, 1),
            (2026, 4, 31),
            (2026, 6, 31),
            (2026, 9, 31),
            (2026, 1, 0),
            (2026, 1, 32),
        ] {
            assert_eq!(day(year, month, number), None, "{year}-{month}-{number}");
        }
        assert_eq!(date("2026-01-31").plus_days(i64::MIN).to_string(), "1900-01-01");
        assert_eq!(date("1900-01-01").plus_days(-1).to_string(), "1900-01-01");
        assert_eq!(date("1900-01-01").plus_days(0).to_string(), "1900-01-01");
        assert_eq!(date("2026-01-31").days_since(date("2026-03-02")), -30);
        assert_eq!(Date::from_day_number(-25_568), None);
    }
}
