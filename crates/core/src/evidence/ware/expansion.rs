//! A clay's thermal expansion over 20 to 400 C, from whatever is known of it.

use glost_chemistry::glass::{DilatometerCurve, PER_20_300_FROM_20_400};
use glost_chemistry::quantity::PrintedExpansion;

use super::clay::Clay;
use super::said::ExpansionSaid;

/// Where quartz changes its form, deg C: on cooling it shrinks by about 0.45 % of its length
/// there (handbooks, from memory).
pub const QUARTZ_INVERSION_CELSIUS: f64 = 573.0;
/// The range of the glaze models, deg C.
const RANGE: (f64, f64) = (20.0, 400.0);
/// A table that begins by here, deg C, counts from room temperature.
const STARTS_BY_CELSIUS: f64 = 50.0;
/// A table that ends below this, deg C, says nothing of fit.
const REACHES_CELSIUS: f64 = 300.0;

/// A clay's mean linear expansion, to be set beside a glaze's over 20-400 C.
#[derive(Debug, Clone, PartialEq)]
pub struct ClayExpansion {
    /// Over 20-400 C, or counted as if it were, 1e-6/K.
    pub per_million_per_kelvin: f64,
    /// The range it was given for, deg C, where that is known.
    pub given_over_celsius: Option<(f64, f64)>,
    /// Measured on this clay at this firing, not only printed on its bag.
    pub measured: bool,
    /// How it was come by, where something was taken for granted.
    pub assumption: Option<ExpansionSaid>,
}

impl ClayExpansion {
    /// Whether the range stops short of the change of quartz at 573 C, or isn't known.
    pub fn misses_quartz(&self) -> bool {
        self.given_over_celsius
            .is_none_or(|(_, high)| high < QUARTZ_INVERSION_CELSIUS)
    }
}

impl Clay {
    /// The expansion to compare with a glaze's over 20-400 C: from the dilatometer's table
    /// where there is one, else as given. Another range counts as printed, except 20-300 C,
    /// which is multiplied by 1.027 (what glasses measured over both show). `None` where
    /// nothing is known, or the table stops below 300 C.
    pub fn expansion_20_400(&self) -> Option<ClayExpansion> {
        let table = self.dilatometer.as_ref().and_then(from_table);
        table.or_else(|| Some(from_print(self.expansion.as_ref()?, self.expansion_measured)))
    }
}

fn from_table(curve: &DilatometerCurve) -> Option<ClayExpansion> {
    let points = curve.points();
    let (first, last) = (points.first()?.celsius, points.last()?.celsius);
    if first > STARTS_BY_CELSIUS || last < REACHES_CELSIUS {
        return None;
    }
    let (low, high) = (first.max(RANGE.0), last.min(RANGE.1));
    let percent = curve.percent_at(high)? - curve.percent_at(low)?;
    let mean = percent / 100.0 / (high - low) * 1e6;
    let mut found = over(mean, (low, high), true);
    found.given_over_celsius = Some((first, last));
    (mean > 0.0).then_some(found)
}

fn from_print(printed: &PrintedExpansion, measured: bool) -> ClayExpansion {
    let value = printed.per_million_per_kelvin;
    match printed.range_celsius {
        Some(range) => over(value, range, measured),
        None => ClayExpansion {
            per_million_per_kelvin: value,
            given_over_celsius: None,
            measured,
            assumption: Some(ExpansionSaid::NoRange),
        },
    }
}

fn over(value: f64, range: (f64, f64), measured: bool) -> ClayExpansion {
    let (low, high) = range;
    let to_300 = (0.0..=30.0).contains(&low) && high == 300.0;
    let (value, assumption) = if to_300 {
        (value * PER_20_300_FROM_20_400, Some(ExpansionSaid::To300))
    } else if (low, high) == RANGE {
        (value, None)
    } else {
        (value, Some(ExpansionSaid::OtherRange(low, high)))
    };
    ClayExpansion {
        per_million_per_kelvin: value,
        given_over_celsius: Some(range),
        measured,
        assumption,
    }
}
