//! Lengths of bars and walls.

use super::number::{NumberTrouble, parse_fraction, split_units, unit_trouble};
use crate::diagnostic::is_no;

/// One inch in millimetres, exact (international yard and pound agreement, 1959).
const MILLIMETRES_PER_INCH: f64 = 25.4;

/// A length in millimetres, above zero and at most 10 m.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Millimetres(f64);

impl Millimetres {
    /// From a number of millimetres; `None` unless it is above zero and at most 10 000.
    pub fn new(millimetres: f64) -> Option<Millimetres> {
        (millimetres > 0.0 && millimetres <= 10_000.0).then_some(Millimetres(millimetres))
    }

    /// The number of millimetres.
    pub fn millimetres(self) -> f64 {
        self.0
    }

    /// Reads `100 mm`, `9.4 cm`, `4 1/2 in`.
    ///
    /// # Errors
    /// No unit, an unknown unit, nothing or an absurd length.
    pub fn parse(text: &str) -> Result<Millimetres, NumberTrouble> {
        const HELP: &str = "write mm, cm or in, for example 94.5 mm";
        let pairs = split_units(text);
        let [(number, unit)] = pairs.as_slice() else {
            return Err(unit_trouble(text, "length", HELP));
        };
        let factor = match unit.to_lowercase().trim_end_matches('.') {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => 1.0,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => 10.0,
            "in" | "inch" | "inches" => MILLIMETRES_PER_INCH,
            _ => return Err(unit_trouble(unit, "length", HELP)),
        };
        Millimetres::new(parse_fraction(number)?.value * factor).ok_or_else(|| NumberTrouble {
            message: is_no(text, "length of a bar"),
            help: Some(HELP.to_owned()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_measured_in_millimetres_or_inches() {
        let read = |text: &str| Millimetres::parse(text).map(Millimetres::millimetres);
        assert_eq!(read("100 mm"), Ok(100.0));
        assert_eq!(read("9,4 cm"), Ok(94.0));
        assert!(read("4 1/2 in").is_ok_and(|length| (length - 114.3).abs() < 1e-9));
        for text in ["100", "0 mm", "-3 mm", "5 furlongs", "100 mm 3 mm", "", "1e9 mm"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
