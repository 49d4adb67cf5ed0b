//! The five answers, as people give them.

use crate::workshop::scales::Scales;
use glost_chemistry::diagnostic::{is_no, of_typed};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{Celsius, Cone, Millilitres, NumberTrouble, WaterPerKilo};

/// The longest name that is taken, in characters.
const LONGEST_NAME: usize = 60;

/// What is glazed with.
#[derive(Debug, Clone)]
pub enum Glazing {
    /// A bought powder, by its name.
    Powder(String),
    /// A recipe that was read, with the text of its file.
    Recipe(Box<Glaze>, String),
}

/// How hot.
#[derive(Debug, Clone, PartialEq)]
pub enum Firing {
    /// A peak temperature.
    Peak(Celsius),
    /// A cone, as text: `04` is not 4.
    Cone(String),
}

/// All five.
#[derive(Debug, Clone)]
pub struct Answers {
    /// Powder or recipe.
    pub glazing: Glazing,
    /// The clay's name.
    pub clay: String,
    /// The glost firing.
    pub firing: Firing,
    /// Water for a kilo of powder.
    pub water: WaterPerKilo,
    /// The scales.
    pub scales: Scales,
}

impl Answers {
    /// The glaze's name.
    pub fn glaze_name(&self) -> &str {
        match &self.glazing {
            Glazing::Powder(name) => name,
            Glazing::Recipe(glaze, _) => &glaze.name,
        }
    }
}

fn trouble(message: String, help: &str) -> NumberTrouble {
    NumberTrouble {
        message,
        help: Some(help.to_owned()),
    }
}

/// A name to put into files and on labels.
///
/// # Errors
/// Empty, longer than 60 characters, or with a line end in it.
pub fn parse_name(text: &str) -> Result<String, NumberTrouble> {
    let name = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        return Err(trouble(
            "a name is 1 to 60 characters".to_owned(),
            "write it as on the bag",
        ));
    }
    Ok(name)
}

/// Reads `1060 C`, `1940 F`, `cone 6`, `cone 04`.
///
/// # Errors
/// A bare number; no firing between 500 and 1500 C; no cone.
pub fn parse_firing(text: &str) -> Result<Firing, NumberTrouble> {
    let text = text.trim();
    let lower = text.to_lowercase();
    if let Some(cone) = lower.strip_prefix("cone") {
        return Cone::parse(cone)
            .map(|cone| Firing::Cone(cone.name().to_owned()))
            .map_err(|odd| NumberTrouble {
                message: is_no(text, "cone"),
                help: odd.help,
            });
    }
    if text.chars().all(|sign| sign.is_ascii_digit()) && !text.is_empty() {
        let help = match text.len() {
            1 | 2 => format!("a cone or a temperature? Write `cone {text}`, or a peak such as `1060 C`"),
            _ => format!("write `{text} C` or `{text} F`"),
        };
        return Err(trouble(of_typed(text, "doesn't say what it counts"), &help));
    }
    let upper = text
        .to_uppercase()
        .replace("CELSIUS", "C")
        .replace("FAHRENHEIT", "F")
        .replace("DEG", "");
    let peak =
        Celsius::parse(&upper).map_err(|_| trouble(is_no(text, "firing"), "write it such as 1060 C or cone 6"))?;
    if !(500.0..=1500.0).contains(&peak.celsius()) {
        return Err(trouble(
            format!("`{text}` is {:.0} C: no glost firing", peak.celsius()),
            "glazes are fired between about 700 and 1350 C; is it C or F?",
        ));
    }
    Ok(Firing::Peak(peak))
}

/// Water for a kilo of powder: `5 3/4 cups/kg`, or `5 3/4 cups`, which means a kilo.
///
/// # Errors
/// No volume, or one that makes no glaze: below 0.1 or above 5 l/kg.
pub fn parse_water(text: &str, cup: Millilitres) -> Result<WaterPerKilo, NumberTrouble> {
    let told = text.contains('/')
        && text
            .rsplit('/')
            .next()
            .is_some_and(|end| end.trim().starts_with(char::is_alphabetic));
    let whole = if told || text.contains(" per ") {
        text.to_owned()
    } else {
        format!("{text}/kg")
    };
    let water = WaterPerKilo::parse(&whole, cup)?;
    if !(100.0..=5000.0).contains(&water.millilitres_per_kg) {
        return Err(trouble(
            format!(
                "`{text}` is {:.2} l for a kilo of powder: no glaze",
                water.millilitres_per_kg / 1000.0
            ),
            "most glazes take 0.4 to 1.5 l (2 to 6 cups) for a kilo",
        ));
    }
    Ok(water)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn firings_say_what_they_count() {
        let peak = |degrees: f64| Celsius::new(degrees).map(Firing::Peak);
        assert_eq!(parse_firing("1060 C").ok(), peak(1060.0));
        assert_eq!(parse_firing("1060°c").ok(), peak(1060.0));
        assert_eq!(parse_firing("Cone 04").ok(), Some(Firing::Cone("04".to_owned())));
        for text in ["6", "1060", "cone", "cone 40", "cone six", "20 C", "3000 F", "hot", ""] {
            assert!(parse_firing(text).is_err(), "{text}");
        }
    }

    #[test]
    fn water_as_people_say_it() {
        let cup = Millilitres::METRIC_CUP;
        let water = |text: &str| parse_water(text, cup).map(|water| water.millilitres_per_kg).ok();
        assert_eq!(water("5 3/4 cups"), Some(1437.5));
        assert_eq!(water("5 3/4 cups/kg"), Some(1437.5));
        assert_eq!(water("0.7 l"), Some(700.0));
        assert_eq!(water("70 ml per 100 g"), Some(700.0));
        for text in ["0.7", "50 l", "5 pints", "0 cups", "some"] {
            assert_eq!(water(text), None, "{text}");
        }
    }
}
