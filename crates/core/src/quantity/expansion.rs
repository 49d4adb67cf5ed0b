//! Thermal expansions as bags print them, in one unit.

use super::number::{NumberTrouble, parse_number};

/// A mean linear expansion with the range it was printed for.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedExpansion {
    /// Mean linear expansion in 1e-6 per kelvin.
    pub per_million_per_kelvin: f64,
    /// The range in deg C, where it is printed.
    pub range_celsius: Option<(f64, f64)>,
    /// The text as printed.
    pub printed: String,
}

impl PrintedExpansion {
    /// Reads `7.7e-6/K at 20-500 C`, `77.7e-7`, `77.7 x 10^-7`, `0.258 % at 500 C`.
    /// A percentage is taken from 20 deg C: `0.258 % at 500 C` is 0.258 % over 480 K.
    ///
    /// # Errors
    /// Not an expansion, or one outside 0.1 to 30 x 1e-6/K.
    pub fn parse(text: &str) -> Result<PrintedExpansion, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it as on the bag: 7.7e-6/K at 20-500 C, 77.7e-7, or 0.258 % at 500 C".to_owned()),
        };
        let whole = || trouble(format!("`{text}` is no expansion"));
        let (value, range) = match text.split_once(" at ") {
            Some((value, range)) => (value, Some(parse_range(range).ok_or_else(whole)?)),
            None => (text, None),
        };
        let value = value.trim();
        let per_million_per_kelvin = if let Some(percent) = value.strip_suffix('%') {
            let percent = parse_number(percent).map_err(|_| whole())?.value;
            let (low, high) = range.ok_or_else(|| trouble(format!("`{text}`: a percentage needs its temperature")))?;
            percent / 100.0 / (high - low) * 1e6
        } else {
            let bare: String = value
                .trim_end_matches("/K")
                .trim_end_matches("/C")
                .trim_end_matches("/°C")
                .replace(" x 10^", "e")
                .replace("x10^", "e")
                .replace(" × 10^", "e")
                .replace("×10^", "e")
                .replace("x10-", "e-")
                .replace('−', "-");
            parse_number(&bare).map_err(|_| whole())?.value * 1e6
        };
        if !(0.1..=30.0).contains(&per_million_per_kelvin) {
            return Err(trouble(format!(
                "`{text}` would be {per_million_per_kelvin:.3} x 1e-6/K: no ceramic does that"
            )));
        }
        Ok(PrintedExpansion {
            per_million_per_kelvin,
            range_celsius: range,
            printed: text.trim().to_owned(),
        })
    }
}

/// `20-500 C`, or `500 C` counted from 20.
fn parse_range(text: &str) -> Option<(f64, f64)> {
    let bare = text
        .trim()
        .trim_end_matches(['C', '°', ' '])
        .trim_end_matches("deg")
        .trim();
    let (low, high) = match bare.split_once(['-', '–']) {
        Some((low, high)) => (parse_number(low).ok()?.value, parse_number(high).ok()?.value),
        None => (20.0, parse_number(bare).ok()?.value),
    };
    (low < high && high <= 1500.0 && low >= -50.0).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_styles_of_bag_give_one_unit() {
        let value = |text: &str| {
            PrintedExpansion::parse(text).map(|read| (read.per_million_per_kelvin * 1000.0).round() / 1000.0)
        };
        assert_eq!(value("7.7e-6/K at 20-500 C"), Ok(7.7));
        assert_eq!(value("77.7e-7"), Ok(7.77));
        assert_eq!(value("77.7 x 10^-7"), Ok(7.77));
        assert_eq!(value("0.258 % at 500 C"), Ok(5.375));
        for text in ["0.258 %", "fine", "7.7", "7e-6/K at 500-20 C"] {
            assert!(value(text).is_err(), "{text}");
        }
    }
}
