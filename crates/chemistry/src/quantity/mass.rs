//! Weights.

use super::number::{NumberTrouble, parse_fraction, split_units, unit_trouble};
use crate::diagnostic::is_no;

/// One avoirdupois pound in grams, exact (international yard and pound agreement, 1959).
pub const GRAMS_PER_POUND: f64 = 453.592_37;
/// One avoirdupois ounce in grams, exact: a sixteenth of a pound.
pub const GRAMS_PER_OUNCE: f64 = GRAMS_PER_POUND / 16.0;

const UNITS: [(&str, f64); 16] = [
    ("g", 1.0),
    ("gr", 1.0),
    ("gram", 1.0),
    ("grams", 1.0),
    ("kg", 1000.0),
    ("kilo", 1000.0),
    ("kilos", 1000.0),
    ("kilogram", 1000.0),
    ("kilograms", 1000.0),
    ("mg", 0.001),
    ("lb", GRAMS_PER_POUND),
    ("lbs", GRAMS_PER_POUND),
    ("pound", GRAMS_PER_POUND),
    ("pounds", GRAMS_PER_POUND),
    ("oz", GRAMS_PER_OUNCE),
    ("t", 1e6),
];

/// A weight in grams, finite and not negative.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Grams(f64);

impl Grams {
    /// A tenth of a gram, the step of ordinary studio scales.
    pub const TENTH: Grams = Grams(0.1);

    /// From a number of grams; `None` where it is negative, NaN or infinite.
    pub fn new(grams: f64) -> Option<Grams> {
        (grams.is_finite() && grams >= 0.0).then_some(Grams(grams))
    }

    /// The number of grams.
    pub fn grams(self) -> f64 {
        self.0
    }

    /// Reads `12 kg`, `0.1 g`, `2 lb 3 oz`, `1 1/2 lb`.
    ///
    /// # Errors
    /// No unit, an unknown unit, a negative or absurd number.
    pub fn parse(text: &str) -> Result<Grams, NumberTrouble> {
        let mut total = 0.0;
        for (number, unit) in split_units(text) {
            let factor = unit_grams(&unit)
                .ok_or_else(|| unit_trouble(&unit, "weight", "write g, kg, lb or oz, for example 12 kg"))?;
            let value = parse_fraction(&number)?.value;
            if !(0.0..=1e9).contains(&value) {
                return Err(NumberTrouble {
                    message: is_no(text, "weight that can be used"),
                    help: None,
                });
            }
            total += value * factor;
        }
        Ok(Grams(total))
    }
}

/// Grams per unit of weight; `None` for what is no unit of weight.
pub fn unit_grams(unit: &str) -> Option<f64> {
    let unit = unit.trim_end_matches('.').to_lowercase();
    UNITS
        .iter()
        .find(|known| known.0 == unit || (known.0 == "oz" && (unit == "ounce" || unit == "ounces")))
        .map(|known| known.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pounds_and_ounces_add_up() {
        // 35 oz avoirdupois, exact by definition.
        assert_eq!(
            Grams::parse("2 lb 3 oz").map(|weight| (weight.grams() * 1000.0).round()),
            Ok(992_233.0)
        );
        assert_eq!(Grams::parse("12 kg").map(Grams::grams), Ok(12_000.0));
        assert_eq!(Grams::parse("0.1g").map(Grams::grams), Ok(0.1));
        for text in ["12", "12 litres", "-3 g", "kg", "1e30 kg"] {
            assert!(Grams::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_unit_of_weight_has_its_grams() {
        let read = |text: &str| Grams::parse(text).map(Grams::grams).ok();
        for (text, grams) in [
            ("3 gr", 3.0),
            ("2 kilos", 2000.0),
            ("500 mg", 0.5),
            ("1 lb", 453.592_37),
            ("1 pound", 453.592_37),
            ("16 oz", 453.592_37),
            ("16 Ounces", 453.592_37),
            ("1 ounce.", 28.349_523_125),
            ("1.5 t", 1.5e6),
            ("1e9 g", 1e9),
            ("0 g", 0.0),
            ("1 1/2 lb", 680.388_555),
        ] {
            assert_eq!(read(text), Some(grams), "{text}");
        }
        for text in ["1 ouncess", "-0.1 g", "2e9 g", "1 kg 3 bags"] {
            assert_eq!(read(text), None, "{text}");
        }
        for no in [-0.1, f64::NAN, f64::INFINITY] {
            assert_eq!(Grams::new(no), None);
        }
        assert_eq!(
            (Grams::new(0.0).map(Grams::grams), Grams::TENTH.grams()),
            (Some(0.0), 0.1)
        );
        let help = Grams::parse("12").unwrap_err();
        assert!(help.message.contains("missing"), "{help:?}");
    }
}
