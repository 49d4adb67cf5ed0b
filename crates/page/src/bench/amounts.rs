//! Numbers as they stand at the bench.

use glost_chemistry::quantity::{Date, trimmed};
/// Kilograms from a thousand grams on.
pub fn weight(grams: f64) -> String {
    if grams >= 1000.0 {
        format!("{} kg", trimmed(grams / 1000.0, 2))
    } else {
        format!("{} g", trimmed(grams, 0))
    }
}

/// Litres with two digits behind the point.
pub fn litres(millilitres: f64) -> String {
    format!("{:.2} l", millilitres / 1000.0)
}

/// Cups to the nearest quarter.
pub fn cups(millilitres: f64, cup_millilitres: f64) -> String {
    let quarters = (millilitres / cup_millilitres * 4.0).round();
    let (whole, rest) = ((quarters / 4.0).floor(), quarters % 4.0);
    let rest = ["", "1/4", "1/2", "3/4"][rest as usize % 4];
    let word = if quarters <= 4.0 { "cup" } else { "cups" };
    match (whole > 0.0, rest.is_empty()) {
        (true, true) => format!("{whole} {word}"),
        (true, false) => format!("{whole} {rest} {word}"),
        (false, false) => format!("{rest} {word}"),
        (false, true) => "less than a quarter cup".to_owned(),
    }
}

/// A day as people say it; what is no day as it is.
pub fn day(day: &str) -> String {
    Date::parse(day).map_or_else(|_| day.to_owned(), Date::words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_reads_in_cups() {
        assert_eq!(cups(1100.0, 250.0), "4 1/2 cups");
        assert_eq!(cups(250.0, 250.0), "1 cup");
        assert_eq!(cups(130.0, 250.0), "1/2 cup");
        assert_eq!(cups(10.0, 250.0), "less than a quarter cup");
        assert_eq!(
            (day("2026-11-04"), day("soon")),
            ("4 November 2026".to_owned(), "soon".to_owned())
        );
        assert_eq!((weight(5000.0), weight(250.0)), ("5 kg".to_owned(), "250 g".to_owned()));
    }
}
