//! Temperatures.

use super::number::{NumberTrouble, parse_number};
use crate::diagnostic::{is_no, of_typed};

/// A temperature in deg C between -273.15 and 3000.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Celsius(f64);

impl Celsius {
    /// From degrees Celsius; `None` outside -273.15 to 3000.
    pub fn new(degrees: f64) -> Option<Celsius> {
        (-273.15..=3000.0).contains(&degrees).then_some(Celsius(degrees))
    }

    /// Degrees Celsius.
    pub fn celsius(self) -> f64 {
        self.0
    }

    /// Reads `1220 C`, `1220°C`, `2232 F`; a bare number is refused.
    ///
    /// # Errors
    /// No unit, or no temperature.
    pub fn parse(text: &str) -> Result<Celsius, NumberTrouble> {
        let bare = text.trim().replace('°', " ").replace("deg", " ");
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it such as 1220 C or 2232 F".to_owned()),
        };
        let (number, fahrenheit) = match (bare.trim().strip_suffix('C'), bare.trim().strip_suffix('F')) {
            (Some(number), _) => (number, false),
            (_, Some(number)) => (number, true),
            _ => return Err(trouble(of_typed(text, "doesn't say C or F"))),
        };
        let value = parse_number(number)
            .map_err(|_| trouble(is_no(text, "temperature")))?
            .value;
        let celsius = if fahrenheit { (value - 32.0) / 1.8 } else { value };
        Celsius::new(celsius).ok_or_else(|| trouble(is_no(text, "temperature")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fahrenheit_comes_in_at_the_door() {
        assert_eq!(Celsius::parse("2232 F").map(|peak| peak.celsius().round()), Ok(1222.0));
        assert_eq!(Celsius::parse("1220 C").map(Celsius::celsius), Ok(1220.0));
        assert!(Celsius::parse("1220").is_err());
    }

    /// 3000 C are 5432 F; nothing is colder than -273.15 C.
    #[test]
    fn no_temperature_lies_outside_the_scale() {
        let read = |text: &str| Celsius::parse(text).map(Celsius::celsius).ok();
        assert_eq!(read("32 F"), Some(0.0));
        assert_eq!((read("-273.15 C"), read("3000 C")), (Some(-273.15), Some(3000.0)));
        assert_eq!((read("5432 deg F"), read("5434 F")), (Some(3000.0), None));
        for text in ["-274 C", "3001°C", "hot C", "nan C", "C", "1220 K"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
