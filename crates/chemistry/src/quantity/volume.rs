//! Volumes, and water per weight of powder.

use crate::diagnostic::is_no;
use std::borrow::Cow;

use super::mass::unit_grams;
use super::number::{NumberTrouble, parse_fraction, split_units, unit_trouble};

/// A volume in millilitres, finite and not negative.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Millilitres(f64);

impl Millilitres {
    /// The metric cup, unless a studio says otherwise.
    pub const METRIC_CUP: Millilitres = Millilitres(250.0);

    /// From a number of millilitres; `None` where it is negative, NaN or infinite.
    pub fn new(millilitres: f64) -> Option<Millilitres> {
        (millilitres.is_finite() && millilitres >= 0.0).then_some(Millilitres(millilitres))
    }

    /// The number of millilitres.
    pub fn millilitres(self) -> f64 {
        self.0
    }

    /// Reads `250 ml`, `0.9 l`, `5 3/4 cups` (with the studio's cup in millilitres).
    ///
    /// # Errors
    /// No unit, an unknown unit, a pint, quart or gallon that doesn't say which.
    pub fn parse(text: &str, cup: Millilitres) -> Result<Millilitres, NumberTrouble> {
        Ok(SaidVolume::parse(text)?.with_cup(cup))
    }
}

/// A volume as somebody says it, before it is known whose cup counts.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidVolume {
    parts: Cow<'static, [(f64, VolumeUnit)]>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum VolumeUnit {
    /// So many millilitres.
    Millilitres(f64),
    /// The studio's cup.
    Cup,
}

impl SaidVolume {
    /// A litre.
    pub const LITRE: SaidVolume = SaidVolume {
        parts: Cow::Borrowed(&[(1.0, VolumeUnit::Millilitres(1000.0))]),
    };

    /// Reads `250 ml`, `0.9 l`, `5 3/4 cups`.
    ///
    /// # Errors
    /// As [`Millilitres::parse`].
    pub fn parse(text: &str) -> Result<SaidVolume, NumberTrouble> {
        let mut parts = Vec::new();
        for (number, unit) in split_units(&cubes_in_words(text)) {
            let value = parse_fraction(&number)?.value;
            if !(0.0..=1e9).contains(&value) {
                return Err(NumberTrouble {
                    message: is_no(text, "volume that can be used"),
                    help: None,
                });
            }
            parts.push((value, volume_unit(&unit)?));
        }
        Ok(SaidVolume {
            parts: Cow::Owned(parts),
        })
    }

    /// The volume, with this cup.
    pub fn with_cup(&self, cup: Millilitres) -> Millilitres {
        let mut total = 0.0;
        for (value, unit) in self.parts.iter() {
            total += value
                * match unit {
                    VolumeUnit::Millilitres(millilitres) => *millilitres,
                    VolumeUnit::Cup => cup.0,
                };
        }
        Millilitres(total)
    }

    /// Whether it is nothing, whatever the cup.
    pub fn is_nothing(&self) -> bool {
        self.parts.iter().all(|(value, _)| *value <= 0.0)
    }
}

/// One US gallon in millilitres: 231 cubic inches of 2.54 cm, exact (NIST
/// Handbook 44, appendix C).
pub const US_GALLON_MILLILITRES: f64 = 3_785.411_784;
/// One imperial gallon in millilitres, exact (UK Weights and Measures Act 1985).
pub const IMPERIAL_GALLON_MILLILITRES: f64 = 4_546.09;
/// One imperial pint in millilitres, exact: an eighth of a gallon.
pub const IMPERIAL_PINT_MILLILITRES: f64 = IMPERIAL_GALLON_MILLILITRES / 8.0;

/// `5 m3` as `5 cubic metre`: the 3 is part of the unit, not the next number.
fn cubes_in_words(text: &str) -> Cow<'_, str> {
    let cube = text.trim_end().strip_suffix(['3', '³']).unwrap_or("");
    for (cubed, unit) in [("cm", "ml"), ("dm", "l"), ("m", "cubic metre")] {
        if let Some(number) = cube.strip_suffix(cubed)
            && !number.ends_with(char::is_alphabetic)
        {
            return Cow::Owned(format!("{number} {unit}"));
        }
    }
    Cow::Borrowed(text)
}

/// What a unit holds. Spoons are the metric ones of 15 and 5 ml (convention;
/// Australia's tablespoon is 20).
fn volume_unit(unit: &str) -> Result<VolumeUnit, NumberTrouble> {
    const CUBIC_INCH: f64 = 2.54 * 2.54 * 2.54;
    let lower = unit.trim_end_matches('.').to_lowercase();
    let singular = lower.trim_end_matches('s');
    let known = match singular {
        "ml" | "millilitre" | "milliliter" | "cc" => 1.0,
        "cl" | "centilitre" | "centiliter" => 10.0,
        "dl" | "decilitre" | "deciliter" => 100.0,
        "l" | "litre" | "liter" => 1000.0,
        "cubic metre" | "cubic meter" => 1e6,
        "cubic inch" | "cubic inche" | "cu in" => CUBIC_INCH,
        "cup" => return Ok(VolumeUnit::Cup),
        "metric cup" => Millilitres::METRIC_CUP.0,
        "us cup" => US_GALLON_MILLILITRES / 16.0,
        "imperial cup" => IMPERIAL_GALLON_MILLILITRES / 16.0,
        "tablespoon" | "tbsp" => 15.0,
        "teaspoon" | "tsp" => 5.0,
        "us fl oz" | "us fluid ounce" => US_GALLON_MILLILITRES / 128.0,
        "us pint" => US_GALLON_MILLILITRES / 8.0,
        "us quart" => US_GALLON_MILLILITRES / 4.0,
        "us gallon" => US_GALLON_MILLILITRES,
        "imperial fl oz" | "imperial fluid ounce" => IMPERIAL_GALLON_MILLILITRES / 160.0,
        "imperial pint" => IMPERIAL_PINT_MILLILITRES,
        "imperial quart" => IMPERIAL_GALLON_MILLILITRES / 4.0,
        "imperial gallon" => IMPERIAL_GALLON_MILLILITRES,
        "pint" | "quart" | "gallon" => return Err(which(singular, &lower, "a fifth")),
        "fl oz" | "fluid ounce" => return Err(which(singular, &lower, "a twenty-fifth")),
        _ => return Err(unit_trouble(unit, "volume", "write ml, l or cups")),
    };
    Ok(VolumeUnit::Millilitres(known))
}

fn which(unit: &str, as_typed: &str, apart: &str) -> NumberTrouble {
    NumberTrouble {
        message: format!("which {unit}?"),
        help: Some(format!(
            "write us {as_typed} or imperial {as_typed}: they differ by {apart}"
        )),
    }
}

/// How much water a powder takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterPerKilo {
    /// Millilitres of water per kilogram of dry powder.
    pub millilitres_per_kg: f64,
}

impl WaterPerKilo {
    /// Reads `0.9 l/kg`, `5 3/4 cups/kg`, `90 ml per 100 g`; `5 3/4 cups` is for a kilo.
    ///
    /// # Errors
    /// Not a volume per weight.
    pub fn parse(text: &str, cup: Millilitres) -> Result<WaterPerKilo, NumberTrouble> {
        Ok(SaidWaterPerKilo::parse(text)?.with_cup(cup))
    }
}

/// Water per weight as somebody says it, before it is known whose cup counts.
#[derive(Debug, Clone, PartialEq)]
pub struct SaidWaterPerKilo {
    volume: SaidVolume,
    grams: f64,
}

impl SaidWaterPerKilo {
    /// Reads `0.9 l/kg`, `5 3/4 cups/kg`, `90 ml per 100 g`; `5 3/4 cups` is for a kilo.
    ///
    /// # Errors
    /// Not a volume per weight.
    pub fn parse(text: &str) -> Result<SaidWaterPerKilo, NumberTrouble> {
        // A volume alone is the water for a kilo.
        if let Ok(volume) = SaidVolume::parse(text) {
            return Ok(SaidWaterPerKilo { volume, grams: 1000.0 });
        }
        let split = text.split_once(" per ").or_else(|| text.rsplit_once('/'));
        let trouble = || NumberTrouble {
            message: is_no(text, "water per weight"),
            help: Some("write it such as 0.9 l/kg or 5 3/4 cups/kg".to_owned()),
        };
        let (volume, weight) = split.ok_or_else(trouble)?;
        let volume = SaidVolume::parse(volume)?;
        let weight = weight.trim();
        let grams = match unit_grams(weight) {
            Some(grams) => grams,
            None => super::mass::Grams::parse(weight).map_err(|_| trouble())?.grams(),
        };
        if grams <= 0.0 {
            return Err(trouble());
        }
        Ok(SaidWaterPerKilo { volume, grams })
    }

    /// The water, with this cup.
    pub fn with_cup(&self, cup: Millilitres) -> WaterPerKilo {
        WaterPerKilo {
            millilitres_per_kg: self.volume.with_cup(cup).0 / self.grams * 1000.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_is_told_in_litres_or_cups() {
        let cup = Millilitres::METRIC_CUP;
        let per_kilo = |text: &str| WaterPerKilo::parse(text, cup).map(|water| water.millilitres_per_kg);
        assert_eq!(per_kilo("0.9 l/kg"), Ok(900.0));
        assert_eq!(per_kilo("5 3/4 cups/kg"), Ok(1437.5));
        assert_eq!(per_kilo("5 3/4 cups"), Ok(1437.5));
        assert!(per_kilo("90 ml per 100 g").is_ok_and(|water| (water - 900.0).abs() < 1e-9));
        assert!(per_kilo("1 pint/kg").is_err_and(|trouble| trouble.message == "which pint?"));
        assert!(per_kilo("0.9").is_err());
    }

    /// Millilitres as NIST Special Publication 811, appendix B.8, prints them to seven digits
    /// (US and Canadian-UK liquid measure); an imperial cup is half an imperial pint.
    #[test]
    fn units_hold_what_the_published_factors_say() {
        let read = |text: &str| Millilitres::parse(text, Millilitres::METRIC_CUP).map(Millilitres::millilitres);
        for (unit, millilitres) in [
            ("ml", 1.0),
            ("cc", 1.0),
            ("cl", 10.0),
            ("dl", 100.0),
            ("litre", 1000.0),
            ("cubic metre", 1e6),
            ("cubic inch", 16.38706),
            ("cu in", 16.38706),
            ("cup", 250.0),
            ("metric cup", 250.0),
            ("us cup", 236.5882),
            ("us fl oz", 29.57353),
            ("us fluid ounce", 29.57353),
            ("us pint", 473.1765),
            ("us quart", 946.3529),
            ("us gallon", 3785.412),
            ("imperial cup", 284.1306),
            ("imperial fl oz", 28.41306),
            ("imperial pint", 568.2612),
            ("imperial quart", 1136.523),
            ("imperial gallon", 4546.09),
            ("tablespoon", 15.0),
            ("tsp", 5.0),
        ] {
            let near = |found: f64| (found / millilitres - 1.0).abs() < 5e-7;
            assert!(read(&format!("1 {unit}")).is_ok_and(near), "{unit}: {:?}", read(unit));
            assert!(
                read(&format!("3 {unit}s")).is_ok_and(|three| near(three / 3.0)),
                "{unit}s"
            );
        }
        assert_eq!(
            (read("2 m3"), read("250 cm³"), read("1.5dm3")),
            (Ok(2e6), Ok(250.0), Ok(1500.0))
        );
        assert!(read("2 mm3").is_err() && read("2 km3").is_err());
        assert!(read("1 us pint 2 us fl oz").is_ok_and(|sum| (sum - 532.3236).abs() < 1e-3));
    }

    #[test]
    fn a_pint_has_to_say_which_and_nonsense_is_refused() {
        let help = |text: &str| SaidVolume::parse(text).err().and_then(|bad| bad.help);
        let pints = "write us pints or imperial pints: they differ by a fifth";
        assert_eq!(help("2 pints").as_deref(), Some(pints));
        let ounces = "write us fl oz or imperial fl oz: they differ by a twenty-fifth";
        assert_eq!(help("2 fl oz").as_deref(), Some(ounces));
        for text in ["250", "1 bucket", "-1 l", "2e9 l", "l"] {
            assert!(SaidVolume::parse(text).is_err(), "{text}");
        }
        assert!(SaidVolume::parse("1e9 ml").is_ok());
        assert_eq!(Millilitres::new(0.0).map(Millilitres::millilitres), Some(0.0));
        for no in [-0.1, f64::NAN, f64::INFINITY] {
            assert_eq!(Millilitres::new(no), None);
        }
    }

    #[test]
    fn a_studios_own_cup_counts() {
        let cup = Millilitres(240.0);
        let said = SaidVolume::parse("2 cups 1 tbsp").unwrap();
        assert_eq!(said.with_cup(cup).millilitres(), 2.0 * 240.0 + 15.0);
        assert!(!said.is_nothing() && SaidVolume::parse("0 cups 0 ml").unwrap().is_nothing());
        assert_eq!(SaidVolume::LITRE.with_cup(cup).millilitres(), 1000.0);
        // 1000 ml on 2 lb of 453.59237 g.
        let on_pounds = WaterPerKilo::parse("1 l per 2 lb", cup).map(|water| water.millilitres_per_kg);
        assert!(on_pounds.is_ok_and(|water| (water - 1_000_000.0 / 907.184_74).abs() < 1e-9));
        for text in ["1 l/0 kg", "1 l per clay", "1 l/l"] {
            assert!(WaterPerKilo::parse(text, cup).is_err(), "{text}");
        }
    }
}
