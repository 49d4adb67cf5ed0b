//! Densities of slurries and powders, in the ways the trade says them.
//!
//! Water counts as 1 g/ml, so that specific gravity and g/ml are one number;
//! at 20 deg C it is 0.998 (CRC Handbook, from memory), a fifth of a per cent off.

use crate::diagnostic::{is_no, under};
use std::ops::RangeInclusive;

use super::mass::{GRAMS_PER_OUNCE, Grams, unit_grams};
use super::number::{NumberTrouble, parse_number};
use super::volume::{IMPERIAL_PINT_MILLILITRES, Millilitres};

/// A density in g/ml, finite and above zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GramsPerMillilitre(f64);

fn trouble(message: String) -> NumberTrouble {
    NumberTrouble {
        message,
        help: Some("write it such as 1.45, 1.45 g/ml, 145 g/100 ml or 29 oz/imperial pint".to_owned()),
    }
}

impl GramsPerMillilitre {
    /// From a number of g/ml; `None` where it isn't finite and above zero.
    pub fn new(grams_per_millilitre: f64) -> Option<GramsPerMillilitre> {
        (grams_per_millilitre.is_finite() && grams_per_millilitre > 0.0)
            .then_some(GramsPerMillilitre(grams_per_millilitre))
    }

    /// Grams per millilitre; also the specific gravity.
    pub fn grams_per_millilitre(self) -> f64 {
        self.0
    }

    /// Avoirdupois ounces per imperial pint; a pint of water weighs 20.04.
    pub fn ounces_per_imperial_pint(self) -> f64 {
        self.0 * IMPERIAL_PINT_MILLILITRES / GRAMS_PER_OUNCE
    }

    /// Reads `1.45` (specific gravity), `1.45 g/ml`, `145 g/100 ml`, `145 g per
    /// 100 ml`, `29 oz/imperial pint`.
    ///
    /// # Errors
    /// Not a density, or a pint that doesn't say which.
    pub fn parse(text: &str) -> Result<GramsPerMillilitre, NumberTrouble> {
        let whole = || trouble(is_no(text, "density"));
        let Some((weight, volume)) = text.split_once(" per ").or_else(|| text.rsplit_once('/')) else {
            let value = parse_number(text).map_err(|_| whole())?.value;
            return GramsPerMillilitre::new(value).ok_or_else(whole);
        };
        let grams = Grams::parse(weight).map_err(|_| whole())?.grams();
        let volume = volume.trim();
        let counted = if volume.starts_with(|sign: char| sign.is_ascii_digit()) {
            volume.to_owned()
        } else {
            format!("1 {volume}")
        };
        if unit_grams(volume).is_some() {
            return Err(whole());
        }
        let millilitres = Millilitres::parse(&counted, Millilitres::METRIC_CUP)?.millilitres();
        if millilitres <= 0.0 {
            return Err(whole());
        }
        GramsPerMillilitre::new(grams / millilitres).ok_or_else(whole)
    }
}

/// The density of a glaze slurry, g/ml, within the one range that a slurry can have.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SlurryDensity(GramsPerMillilitre);

impl SlurryDensity {
    /// Below, a slurry is all but water; above, it is a paste that nothing is dipped
    /// into. Common practice, no source; most glazes are 1.3 to 1.7.
    pub const RANGE: RangeInclusive<f64> = 1.05..=2.2;

    /// `None` outside [`SlurryDensity::RANGE`].
    pub fn new(density: GramsPerMillilitre) -> Option<SlurryDensity> {
        Self::RANGE.contains(&density.0).then_some(SlurryDensity(density))
    }

    /// Reads what [`GramsPerMillilitre::parse`] reads.
    ///
    /// # Errors
    /// No density, or none that a glaze slurry has: the range is said.
    pub fn parse(text: &str) -> Result<SlurryDensity, NumberTrouble> {
        let density = GramsPerMillilitre::parse(text)?;
        SlurryDensity::new(density).ok_or_else(|| NumberTrouble {
            message: format!("{text} is no density of a glaze slurry"),
            help: Some(format!(
                "between {} and {} g/ml; water is 1.00; most glazes are 1.3 to 1.7 g/ml",
                Self::RANGE.start(),
                Self::RANGE.end()
            )),
        })
    }

    /// The density.
    pub fn density(self) -> GramsPerMillilitre {
        self.0
    }

    /// Grams per millilitre; also the specific gravity.
    pub fn grams_per_millilitre(self) -> f64 {
        self.0.grams_per_millilitre()
    }
}

/// The density of a dry powder's grains with what it may be off by, g/ml.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowderDensity {
    value: f64,
    plus_minus: f64,
}

impl PowderDensity {
    /// What a density without a band may be off by, g/ml.
    pub const USUAL_BAND: f64 = 0.1;
    /// A glaze powder of which nothing is known: 2.6 +/- 0.1. Most clay and glaze
    /// materials are 2.5 to 2.6 (M. Cardew, Pioneer Pottery, 1969, p. 269).
    pub const UNKNOWN: PowderDensity = PowderDensity {
        value: 2.6,
        plus_minus: Self::USUAL_BAND,
    };

    /// From g/ml; `None` unless the lower end of the band is above 1.05 (it must
    /// sink in water) and the upper below 12.
    pub fn new(value: f64, plus_minus: f64) -> Option<PowderDensity> {
        let fits = value.is_finite() && plus_minus >= 0.0 && value - plus_minus > 1.05 && value + plus_minus < 12.0;
        fits.then_some(PowderDensity { value, plus_minus })
    }

    /// Grams per millilitre.
    pub fn value(self) -> f64 {
        self.value
    }

    /// Half the width of the band, g/ml.
    pub fn plus_minus(self) -> f64 {
        self.plus_minus
    }

    /// Reads `2.6`, `2.6 +/- 0.1`, `2.6 ± 0.1 g/ml`.
    ///
    /// # Errors
    /// Not a density, or one that no glaze powder has.
    pub fn parse(text: &str) -> Result<PowderDensity, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it such as \"2.6 +/- 0.1\"; most glaze powders are 2.4 to 3.0 g/ml".to_owned()),
        };
        let bare = text.trim().trim_end_matches("g/ml").trim();
        let halves = ["+/-", "±", "+-"].iter().find_map(|sign| bare.split_once(sign));
        let (value, band) = halves.map_or((bare, None), |(value, band)| (value, Some(band)));
        let number = |part: &str| parse_number(part).map(|number| number.value);
        let whole = |_| trouble(is_no(text, "density of a powder"));
        let value = number(value).map_err(whole)?;
        let band = band.map(number).transpose().map_err(whole)?;
        PowderDensity::new(value, band.unwrap_or(Self::USUAL_BAND))
            .ok_or_else(|| trouble(under(text, "no powder in a glaze is that light or that heavy")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_density_said_in_four_ways() {
        let read = |text: &str| GramsPerMillilitre::parse(text).map(|density| (density.0 * 1e6).round() / 1e6);
        for text in [
            "1.45",
            "1,45",
            "1.45 g/ml",
            "145 g/100 ml",
            "145 g per 100 ml",
            "1450 g/l",
        ] {
            assert_eq!(read(text), Ok(1.45), "{text}");
        }
        // 1 oz = 28.349523125 g, 1 imperial pint = 568.26125 ml, both exact.
        assert_eq!(read("29 oz/imperial pint"), Ok(1.446757));
        let pint = GramsPerMillilitre(1.0).ounces_per_imperial_pint();
        assert!((pint - 20.0448).abs() < 1e-4, "{pint}");
        assert!(read("29 oz/pint").is_err_and(|bad| bad.message == "which pint?"));
        for text in ["", "thick", "0", "-1.4", "1.45 g", "1.45 kg/kg", "145 g/0 ml", "nan"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_slurry_is_neither_water_nor_paste() {
        for text in ["1.05", "1.45", "29 oz/imperial pint", "2.2"] {
            assert!(SlurryDensity::parse(text).is_ok(), "{text}");
        }
        for text in ["1.03", "1", "2.21", "14.5"] {
            let bad = SlurryDensity::parse(text).err();
            let help = bad.and_then(|bad| bad.help);
            assert!(
                help.is_some_and(|help| help.starts_with("between 1.05 and 2.2 g/ml")),
                "{text}"
            );
        }
    }

    #[test]
    fn a_powder_density_carries_its_band() {
        let read = |text: &str| PowderDensity::parse(text).map(|density| (density.value, density.plus_minus));
        assert_eq!(read("2.6"), Ok((2.6, 0.1)));
        assert_eq!(read("2.65 +/- 0.05"), Ok((2.65, 0.05)));
        assert_eq!(read("2.65 ± 0.05 g/ml"), Ok((2.65, 0.05)));
        for text in ["1", "0.9", "2.6 +/- -1", "2.6 +/- 2", "40", "clay", "nan"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_sinks_in_water_and_is_no_metal_is_a_powder() {
        let band = |value, plus_minus| PowderDensity::new(value, plus_minus).map(PowderDensity::plus_minus);
        assert_eq!(band(2.6, 0.0), Some(0.0));
        assert_eq!(band(2.6, 0.25), Some(0.25));
        assert_eq!((band(1.05, 0.0), band(1.06, 0.0)), (None, Some(0.0)));
        assert_eq!((band(11.99, 0.0), band(12.0, 0.0)), (Some(0.0), None));
        // Zircon, 4.6 to 4.7: its band counts too.
        assert_eq!(
            (band(4.65, 3.5), band(4.65, 3.7), band(8.0, 4.5)),
            (Some(3.5), None, None)
        );
        assert_eq!(
            (band(2.6, -0.1), band(f64::NAN, 0.1), band(2.6, f64::NAN)),
            (None, None, None)
        );
        assert_eq!(PowderDensity::UNKNOWN.value(), 2.6);
        assert_eq!(PowderDensity::UNKNOWN.plus_minus(), 0.1);
        for no in [0.0, -1.0, f64::INFINITY, f64::NAN] {
            assert_eq!(GramsPerMillilitre::new(no), None);
        }
        let slurry = SlurryDensity::parse("1.45").map(|slurry| (slurry.grams_per_millilitre(), slurry.density().0));
        assert_eq!(slurry, Ok((1.45, 1.45)));
    }
}
