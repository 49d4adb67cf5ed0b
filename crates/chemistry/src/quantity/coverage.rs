//! How much glaze goes on an area.

use super::area::SquareMetres;
use super::mass::Grams;
use super::number::{NumberTrouble, split_units};
use crate::diagnostic::is_no;

/// Dry glaze on an area: kilograms to a square metre, finite and not negative.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Coverage(f64);

impl Coverage {
    /// From kilograms to a square metre; `None` where it isn't finite or is negative.
    pub fn new(kg_per_square_metre: f64) -> Option<Coverage> {
        (kg_per_square_metre.is_finite() && kg_per_square_metre >= 0.0).then_some(Coverage(kg_per_square_metre))
    }

    /// Kilograms to a square metre.
    pub fn kg_per_square_metre(self) -> f64 {
        self.0
    }

    /// Reads `0.9 kg/m2`, `900 g per m2`, `3 oz/sq ft`, `12 g per 150 cm2`.
    ///
    /// # Errors
    /// Not a weight on an area.
    pub fn parse(text: &str) -> Result<Coverage, NumberTrouble> {
        let whole = || NumberTrouble {
            message: is_no(text, "weight on an area"),
            help: Some("write it such as 0.9 kg/m2 or 12 g per 150 cm2".to_owned()),
        };
        let (weight, area) = text
            .split_once(" per ")
            .or_else(|| text.rsplit_once('/'))
            .ok_or_else(whole)?;
        let grams = Grams::parse(weight).map_err(|_| whole())?.grams();
        let counted = split_units(area).first().is_some_and(|(number, _)| !number.is_empty())
            && area.trim().starts_with(|sign: char| sign.is_ascii_digit());
        let area = if counted {
            area.to_owned()
        } else {
            format!("1 {}", area.trim())
        };
        let metres = SquareMetres::parse(&area).map_err(|_| whole())?.square_metres();
        if metres <= 0.0 {
            return Err(whole());
        }
        Coverage::new(grams / 1000.0 / metres).ok_or_else(whole)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_layer_is_a_weight_on_an_area() {
        let read = |text: &str| Coverage::parse(text).map(|layer| (layer.0 * 1e6).round() / 1e6);
        for text in ["0.9 kg/m2", "900 g/m2", "0,9 kg per m²", "13.5 g per 150 cm2"] {
            assert_eq!(read(text), Ok(0.9), "{text}");
        }
        // 1 oz = 28.349523125 g on 0.09290304 m2, both exact.
        assert_eq!(read("1 oz/sq ft"), Ok(0.305152));
        for text in [
            "0.9",
            "0.9 kg",
            "0.9/m2",
            "kg/m2",
            "-1 kg/m2",
            "1 kg/0 m2",
            "1 kg/litre",
            "",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
