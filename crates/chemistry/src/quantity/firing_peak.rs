//! How hot and how fast a firing is, as people say it.

use super::cone::{Cone, ConeFamily};
use super::number::{NumberTrouble, parse_number};
use super::temperature::Celsius;
use crate::diagnostic::is_no;

/// Rates that people fire at, C/h.
const RATES: std::ops::RangeInclusive<f64> = 1.0..=2000.0;

/// How hot a firing is: by cone or by temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FiringPeak {
    /// A cone, its family where it is named.
    Cone(Cone, Option<ConeFamily>),
    /// A temperature.
    Temperature(Celsius),
}

impl FiringPeak {
    /// Reads `6`, `cone 6`, `small 6`, `04 self-supporting`, `1220 C`.
    ///
    /// # Errors
    /// No cone and no temperature.
    pub fn parse(text: &str) -> Result<FiringPeak, NumberTrouble> {
        if let Ok(celsius) = Celsius::parse(text) {
            return Ok(FiringPeak::Temperature(celsius));
        }
        let mut family = None;
        let mut rest = Vec::new();
        for word in text.replace(',', " ").split_whitespace() {
            match ConeFamily::from_word(word) {
                Some(named) => family = Some(named),
                None if word.eq_ignore_ascii_case("cone") => {}
                None => rest.push(word.to_owned()),
            }
        }
        Cone::parse(&rest.join(" "))
            .map(|cone| FiringPeak::Cone(cone, family))
            .map_err(|mut trouble| {
                trouble.message = is_no(text.trim(), "cone that Glost knows, and no temperature");
                trouble.help = trouble.help.map(|help| format!("{help}; or write 1220 C"));
                trouble
            })
    }
}

/// Reads a heating rate: `60 C/h`, `108 F/h`, `60`.
///
/// # Errors
/// No rate of heating, or none that a kiln can do.
pub fn parse_heating_rate(text: &str) -> Result<f64, NumberTrouble> {
    let trouble = || NumberTrouble {
        message: is_no(text.trim(), "heating rate"),
        help: Some("write it such as 60 C/h: the rate of the last 100 C".to_owned()),
    };
    let bare = text.replace(['°', ' '], "");
    let (number, per) = match (bare.strip_suffix("F/h"), bare.strip_suffix("C/h")) {
        (Some(number), _) => (number, 1.8),
        (_, Some(number)) => (number, 1.0),
        _ => (bare.as_str(), 1.0),
    };
    let rate = parse_number(number).map_err(|_| trouble())?.value / per;
    RATES.contains(&rate).then_some(rate).ok_or_else(trouble)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_peak_is_a_cone_or_a_temperature() {
        let cone = |text: &str| match FiringPeak::parse(text) {
            Ok(FiringPeak::Cone(cone, family)) => Some((cone.name(), family)),
            _ => None,
        };
        assert_eq!(cone("6"), Some(("6", None)));
        assert_eq!(cone("small 6"), Some(("6", Some(ConeFamily::Small))));
        assert_eq!(
            cone("cone 5 1/2, self-supporting"),
            Some(("5.5", Some(ConeFamily::SelfSupporting)))
        );
        assert!(matches!(FiringPeak::parse("2232 F"), Ok(FiringPeak::Temperature(_))));
        assert!(FiringPeak::parse("hot").is_err());
        assert_eq!(parse_heating_rate("60 C/h"), Ok(60.0));
        assert_eq!(parse_heating_rate("108 F/h"), Ok(60.0));
        for text in ["", "fast", "0 C/h", "-5 C/h", "1e9 C/h"] {
            assert!(parse_heating_rate(text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_word_cone_may_stand_anywhere() {
        for text in ["6 cone", "small 6 Cone", "Cone small 6", "small, cone 6"] {
            let read = FiringPeak::parse(text);
            assert!(
                matches!(read, Ok(FiringPeak::Cone(cone, _)) if cone.name() == "6"),
                "{text}"
            );
        }
        let why = FiringPeak::parse("99").unwrap_err();
        assert!(why.message.contains("`99` is no cone"), "{why:?}");
        assert!(why.help.is_some_and(|help| help.ends_with("or write 1220 C")));
    }

    #[test]
    fn a_kiln_heats_by_one_to_two_thousand_degrees_an_hour() {
        assert_eq!(parse_heating_rate("60"), Ok(60.0));
        assert_eq!(parse_heating_rate("1 °C/h"), Ok(1.0));
        assert_eq!(parse_heating_rate("2000 C/h"), Ok(2000.0));
        // 3600 F/h are 2000 C/h.
        assert_eq!(parse_heating_rate("3600 F/h"), Ok(2000.0));
        assert!(parse_heating_rate("2001 C/h").is_err() && parse_heating_rate("0.9 C/h").is_err());
    }
}
