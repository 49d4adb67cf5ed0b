//! What is to go into a bucket: `0.4 % cobalt carbonate`.

use glost_chemistry::diagnostic::{is_no, of_typed, under};
use glost_chemistry::quantity::{Grams, NumberTrouble, parse_fraction, unit_grams};

/// How much of a dose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoseAmount {
    /// Per cent of the dry powder in the bucket.
    Percent(f64),
    /// A weight.
    Weight(Grams),
}

/// A material and how much of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// How much.
    pub amount: DoseAmount,
    /// The material's name as typed.
    pub name: String,
}

impl Dose {
    /// Reads `0.4 % cobalt carbonate`, `1% bentonite`, `51 g cobalt carbonate`.
    ///
    /// # Errors
    /// No number, no unit, no name, more than 100 %.
    pub fn parse(text: &str) -> Result<Dose, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it such as \"0.4 % cobalt carbonate\" or \"51 g cobalt carbonate\"".to_owned()),
        };
        let bare = text.trim();
        let end = bare
            .find(|sign: char| !(sign.is_ascii_digit() || sign.is_whitespace() || ".,/+-½¼¾⅓⅔⅛".contains(sign)))
            .unwrap_or(bare.len());
        let (number, rest) = bare.split_at(end);
        if number.trim().is_empty() {
            return Err(trouble(of_typed(text, "doesn't say how much")));
        }
        let value = parse_fraction(number)?.value;
        if !(value > 0.0 && value <= 1e9) {
            return Err(trouble(is_no(text, "amount that can be added")));
        }
        let named = |name: &str| {
            let name = name.trim();
            if name.is_empty() {
                Err(trouble(of_typed(text, "doesn't say of what")))
            } else {
                Ok(name.to_owned())
            }
        };
        if let Some(name) = rest.strip_prefix('%').or_else(|| rest.strip_prefix("per cent ")) {
            if value > 100.0 {
                return Err(trouble(under(text, "more than there is powder")));
            }
            return Ok(Dose {
                amount: DoseAmount::Percent(value),
                name: named(name)?,
            });
        }
        let (unit, name) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
        let factor = unit_grams(unit).ok_or_else(|| trouble(under(text, "per cent or grams?")))?;
        let weight = Grams::new(value * factor).ok_or_else(|| trouble(is_no(text, "weight")))?;
        Ok(Dose {
            amount: DoseAmount::Weight(weight),
            name: named(name)?,
        })
    }

    /// Grams of it for so much dry powder.
    pub fn grams(&self, dry_grams: f64) -> f64 {
        match self.amount {
            DoseAmount::Percent(percent) => percent / 100.0 * dry_grams,
            DoseAmount::Weight(weight) => weight.grams(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dose_says_how_much_of_what() {
        let read = |text: &str| Dose::parse(text).map(|dose| (dose.amount, dose.name));
        let cobalt = "cobalt carbonate".to_owned();
        assert_eq!(
            read("0.4 % cobalt carbonate"),
            Ok((DoseAmount::Percent(0.4), cobalt.clone()))
        );
        assert_eq!(
            read("0,4% cobalt carbonate"),
            Ok((DoseAmount::Percent(0.4), cobalt.clone()))
        );
        assert!(read("51 g cobalt carbonate").is_ok_and(|(amount, name)| {
            name == cobalt && matches!(amount, DoseAmount::Weight(weight) if weight.grams() == 51.0)
        }));
        assert_eq!(read("1 1/2 % frit 12").map(|dose| dose.1), Ok("frit 12".to_owned()));
        for text in [
            "cobalt",
            "0.4 cobalt",
            "0.4 %",
            "101 % x",
            "-1 % x",
            "0 % x",
            "",
            "1 ml x",
            "nan % x",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_dose_is_weighed_for_the_powder_there_is() {
        let grams = |text: &str| Dose::parse(text).map(|dose| dose.grams(5000.0)).ok();
        assert_eq!(
            (grams("0.4 % cobalt carbonate"), grams("51 g tin oxide")),
            (Some(20.0), Some(51.0))
        );
        assert_eq!(
            (grams("2 per cent tin oxide"), grams("1/2 kg silica")),
            (Some(100.0), Some(500.0))
        );
        assert_eq!((grams("100 % silica"), grams("100.1 % silica")), (Some(5000.0), None));
        assert_eq!(
            (grams("1e9 g x"), grams("1 g"), grams("½ % x")),
            (None, None, Some(25.0))
        );
        let why = |text: &str| Dose::parse(text).unwrap_err().message;
        assert!(
            why("tin").contains("how much") && why("0 % x").contains("no amount") && why("3 g").contains("of what")
        );
        assert!(why("3 spoons tin").contains("per cent or grams"));
    }
}
