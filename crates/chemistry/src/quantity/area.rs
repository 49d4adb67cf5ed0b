//! Areas of tile and ware.

use super::number::{NumberTrouble, parse_fraction, split_units, unit_trouble};
use crate::diagnostic::is_no;

/// One foot in metres, exact (international yard and pound agreement, 1959).
const METRES_PER_FOOT: f64 = 0.3048;

/// An area in square metres, finite and not negative.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SquareMetres(f64);

impl SquareMetres {
    /// From a number of square metres; `None` where it is negative, NaN or infinite.
    pub fn new(square_metres: f64) -> Option<SquareMetres> {
        (square_metres.is_finite() && square_metres >= 0.0).then_some(SquareMetres(square_metres))
    }

    /// The number of square metres.
    pub fn square_metres(self) -> f64 {
        self.0
    }

    /// Reads `4.2 m2`, `4.2 square metres`, `150 cm²`, `45 sq ft`, `20 sq in`.
    ///
    /// # Errors
    /// No unit, an unknown unit, a negative or absurd number.
    pub fn parse(text: &str) -> Result<SquareMetres, NumberTrouble> {
        // The 2 of m2 is part of the unit, not the next number.
        let text = text.trim().replace('²', "2");
        let (number, unit) = match ["m2", "cm2", "mm2"].iter().rev().find(|unit| text.ends_with(**unit)) {
            Some(unit) => (text.trim_end_matches(*unit).trim().to_owned(), (*unit).to_owned()),
            None => {
                let pairs = split_units(&text);
                let [(number, unit)] = pairs.as_slice() else {
                    return Err(unit_trouble(
                        &text,
                        "area",
                        "write m2, cm2, sq ft or sq in, for example 4.2 m2",
                    ));
                };
                (number.clone(), unit.to_lowercase())
            }
        };
        let factor = match unit.as_str() {
            "m2" | "square metre" | "square metres" | "square meter" | "square meters" | "sqm" | "sq m" => 1.0,
            "cm2" | "square centimetres" | "square centimeters" | "sq cm" => 1e-4,
            "mm2" => 1e-6,
            "sq ft" | "square foot" | "square feet" => METRES_PER_FOOT * METRES_PER_FOOT,
            "sq in" | "square inch" | "square inches" => (METRES_PER_FOOT / 12.0).powi(2),
            _ => {
                return Err(unit_trouble(
                    &unit,
                    "area",
                    "write m2, cm2, sq ft or sq in, for example 4.2 m2",
                ));
            }
        };
        let value = parse_fraction(&number)?.value;
        if !(0.0..=1e9).contains(&value) {
            return Err(NumberTrouble {
                message: is_no(text, "area that can be used"),
                help: None,
            });
        }
        Ok(SquareMetres(value * factor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn square_feet_come_in_at_the_door() {
        let read = |text: &str| SquareMetres::parse(text).map(|area| (area.0 * 1e8).round() / 1e8);
        assert_eq!(read("4.2 m2"), Ok(4.2));
        assert_eq!(read("4,2 m²"), Ok(4.2));
        assert_eq!(read("150 cm2"), Ok(0.015));
        assert_eq!(read("1 sq ft"), Ok(0.09290304));
        assert_eq!(read("144 sq in"), Ok(0.09290304));
        for text in ["4.2", "m2", "-1 m2", "4 m", "1e30 m2", "nan m2"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
