//! Stiffness.

use super::number::{NumberTrouble, parse_number};
use crate::diagnostic::is_no;

/// Young's modulus in GPa, 1 to 500.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Gigapascals(f64);

impl Gigapascals {
    /// From a number of gigapascals; `None` outside 1 to 500.
    pub fn new(gigapascals: f64) -> Option<Gigapascals> {
        (1.0..=500.0).contains(&gigapascals).then_some(Gigapascals(gigapascals))
    }

    /// The number of gigapascals.
    pub fn gigapascals(self) -> f64 {
        self.0
    }

    /// Reads `45 GPa`.
    ///
    /// # Errors
    /// Another unit, or what no ceramic has.
    pub fn parse(text: &str) -> Result<Gigapascals, NumberTrouble> {
        let trouble = || NumberTrouble {
            message: is_no(text, "Young's modulus of a fired clay"),
            help: Some("write it in GPa, such as 45 GPa; fired clays have 10 to 100".to_owned()),
        };
        let number = text.trim().strip_suffix("GPa").ok_or_else(trouble)?;
        Gigapascals::new(parse_number(number).map_err(|_| trouble())?.value).ok_or_else(trouble)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_modulus_says_its_unit() {
        assert_eq!(Gigapascals::parse("45 GPa").map(Gigapascals::gigapascals), Ok(45.0));
        for text in ["45", "0 GPa", "45 MPa", "nan GPa"] {
            assert!(Gigapascals::parse(text).is_err(), "{text}");
        }
    }
}
