//! Volumes, and water per weight of powder.

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
        for (number, unit) in split_units(text) {
            let value = parse_fraction(&number)?.value;
            if !(0.0..=1e9).contains(&value) {
                return Err(NumberTrouble {
                    message: format!("`{text}` is no volume that can be used"),
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

/// What a unit holds. Spoons are the metric ones of 15 and 5 ml (convention;
/// Australia's tablespoon is 20).
fn volume_unit(unit: &str) -> Result<VolumeUnit, NumberTrouble> {
    const CUBIC_INCH: f64 = 2.54 * 2.54 * 2.54;
    let lower = unit.trim_end_matches('.').to_lowercase();
    let singular = lower.trim_end_matches('s');
    let known = match singular {
        "ml" | "millilitre" | "milliliter" | "cc" | "cm3" => 1.0,
        "cl" | "centilitre" | "centiliter" => 10.0,
        "dl" | "decilitre" | "deciliter" => 100.0,
        "l" | "litre" | "liter" => 1000.0,
        "m3" | "cubic metre" | "cubic meter" => 1e6,
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
    /// Reads `0.9 l/kg`, `5 3/4 cups/kg`, `90 ml per 100 g`.
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
    /// Reads `0.9 l/kg`, `5 3/4 cups/kg`, `90 ml per 100 g`.
    ///
    /// # Errors
    /// Not a volume per weight.
    pub fn parse(text: &str) -> Result<SaidWaterPerKilo, NumberTrouble> {
        let split = text.split_once(" per ").or_else(|| text.rsplit_once('/'));
        let trouble = || NumberTrouble {
            message: format!("`{text}` is no water per weight"),
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
        assert!(per_kilo("90 ml per 100 g").is_ok_and(|water| (water - 900.0).abs() < 1e-9));
        assert!(per_kilo("1 pint/kg").is_err_and(|trouble| trouble.message == "which pint?"));
        assert!(per_kilo("0.9").is_err());
    }
}
