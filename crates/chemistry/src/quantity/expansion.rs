//! Thermal expansions as bags print them, in one unit.

use super::number::{NumberTrouble, parse_number};
use crate::diagnostic::{is_no, under};

/// Expansions that some ceramic has, 1e-6/K.
const POSSIBLE: std::ops::RangeInclusive<f64> = 0.1..=30.0;
/// Degrees Fahrenheit in a kelvin.
const FAHRENHEIT_PER_KELVIN: f64 = 1.8;
/// Where a percentage or a single temperature counts from, deg C.
const ROOM_CELSIUS: f64 = 20.0;

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
    /// Reads `7.7e-6/K at 20-500 C`, `77.7e-7`, `77.7 x 10^-7 (25-500 C)`, `7.8·10⁻⁶/°C`,
    /// `7.8 ppm/K`, `0.258 % at 500 C`. A percentage is taken from 20 deg C: `0.258 % at
    /// 500 C` is 0.258 % over 480 K.
    ///
    /// # Errors
    /// Not an expansion, one outside 0.1 to 30 x 1e-6/K, a percentage without its temperature.
    pub fn parse(text: &str) -> Result<PrintedExpansion, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write it as on the bag: 7.7e-6/K at 20-500 C, 77.7e-7, or 0.258 % at 500 C".to_owned()),
        };
        let whole = || trouble(is_no(text, "expansion"));
        let (value, range) = match value_and_range(text) {
            (value, Some(range)) => (value, Some(parse_range(&range).ok_or_else(whole)?)),
            (value, None) => (value, None),
        };
        let per_million_per_kelvin = if let Some(percent) = value.strip_suffix('%') {
            let percent = parse_number(percent).map_err(|_| whole())?.value;
            let (low, high) = range.ok_or_else(|| NumberTrouble {
                message: under(text, "a percentage needs its temperature"),
                help: Some(
                    "how hot was it when it was longer by that much? write 0.258 % at 500 C; if the bag doesn't say, ask its maker or leave the line out"
                        .to_owned(),
                ),
            })?;
            percent / 100.0 / (high - low) * 1e6
        } else {
            per_kelvin(&value).ok_or_else(whole)? * 1e6
        };
        if !POSSIBLE.contains(&per_million_per_kelvin) {
            let mut trouble = trouble(format!(
                "`{text}` would be {per_million_per_kelvin:.3} x 1e-6/K: no ceramic does that"
            ));
            if POSSIBLE.contains(&(per_million_per_kelvin * 1e-6)) {
                trouble.message = is_no(text, "expansion yet: its power of ten is missing");
                trouble.help = Some(format!(
                    "write {text}e-6 if it is in millionths per degree, as most are"
                ));
            }
            return Err(trouble);
        }
        Ok(PrintedExpansion {
            per_million_per_kelvin,
            range_celsius: range,
            printed: text.trim().to_owned(),
        })
    }
}

/// Parts the value from its range: ` at ...`, ` (...)`, ` from ...`, ` @ ...`.
fn value_and_range(text: &str) -> (String, Option<String>) {
    let text = text.trim().trim_end_matches(')');
    for sign in [" at ", " from ", "@", "(", ", "] {
        if let Some((value, range)) = text.split_once(sign) {
            return (value.trim().to_owned(), Some(range.trim().to_owned()));
        }
    }
    (text.to_owned(), None)
}

/// A number per kelvin in any style of writing.
fn per_kelvin(text: &str) -> Option<f64> {
    // Without its blank a number would end in that 1.
    let text = text.trim().strip_suffix(" 1/K").unwrap_or(text);
    let plain: String = text
        .chars()
        .filter(|sign| !sign.is_whitespace() && *sign != '°')
        .map(|sign| match sign {
            '−' | '–' | '⁻' => '-',
            '×' | '·' | '*' | 'X' => 'x',
            'µ' | 'μ' => 'u',
            '⁶' => '6',
            '⁷' => '7',
            '⁵' => '5',
            '¹' => '1',
            '⁰' => '0',
            other => other,
        })
        .collect();
    let (bare, factor) = if let Some(bare) = plain.strip_suffix("/F") {
        (bare, FAHRENHEIT_PER_KELVIN)
    } else {
        let units = ["/K", "/C", "/degC", "K-1", "K^-1"];
        let bare = units.iter().find_map(|unit| plain.strip_suffix(unit));
        (bare.unwrap_or(&plain), 1.0)
    };
    let (bare, factor) = match ["ppm", "um/m"].iter().find_map(|unit| bare.strip_suffix(unit)) {
        Some(bare) => (bare, factor * 1e-6),
        None => (bare, factor),
    };
    let power = bare
        .replace("x10^", "e")
        .replace("x10-", "e-")
        .replace("x10e", "e")
        .replace("x1e", "e");
    Some(parse_number(&power).ok()?.value * factor)
}

/// `20-500 C`, `25 to 500 C`, `68-932 F`; or `500 C` counted from 20.
fn parse_range(text: &str) -> Option<(f64, f64)> {
    let plain = text
        .replace('°', " ")
        .replace("deg", " ")
        .replace(" to ", "-")
        .replace('–', "-");
    let plain = plain.trim();
    let (bare, fahrenheit) = match plain.strip_suffix('F') {
        Some(bare) => (bare, true),
        None => (plain.strip_suffix('C').unwrap_or(plain), false),
    };
    let degrees = |number: &str| {
        let number = number.trim().trim_end_matches(['C', 'F', ' ']);
        let value = parse_number(number).ok()?.value;
        Some(if fahrenheit {
            (value - 32.0) / FAHRENHEIT_PER_KELVIN
        } else {
            value
        })
    };
    let (low, high) = match bare.trim().split_once('-') {
        Some((low, high)) => (degrees(low)?, degrees(high)?),
        None => (ROOM_CELSIUS, degrees(bare)?),
    };
    (low < high && high <= 1500.0 && low >= -50.0).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(f64, Option<(f64, f64)>)> {
        let read = PrintedExpansion::parse(text).ok()?;
        Some((
            (read.per_million_per_kelvin * 1000.0).round() / 1000.0,
            read.range_celsius,
        ))
    }

    #[test]
    fn every_style_of_bag_gives_one_unit() {
        for (text, value, range) in [
            ("7.7e-6/K at 20-500 C", 7.7, Some((20.0, 500.0))),
            ("7.8e-6", 7.8, None),
            ("77.7e-7", 7.77, None),
            ("77.7 x 10^-7", 7.77, None),
            ("77.7 x 10-7/°C (25-500 °C)", 7.77, Some((25.0, 500.0))),
            ("7,8·10⁻⁶/K", 7.8, None),
            ("7.8 × 10⁻⁶ K⁻¹", 7.8, None),
            ("7.8 ppm/K at 25 to 500 C", 7.8, Some((25.0, 500.0))),
            ("7.8 x 1e-6/K", 7.8, None),
            ("4.0e-6/F", 7.2, None),
            ("0.258 % at 500 C", 5.375, Some((20.0, 500.0))),
            ("0.258% (20-500 C)", 5.375, Some((20.0, 500.0))),
            ("0.23 % from 20-500 C", 4.792, Some((20.0, 500.0))),
            ("0,258 % at 932 F", 5.375, Some((20.0, 500.0))),
        ] {
            assert_eq!(read(text), Some((value, range)), "{text}");
        }
        for text in [
            "0.258 %",
            "fine",
            "7.7",
            "7e-6/K at 500-20 C",
            "",
            "%",
            "at 500 C",
            "7e-6 at noon",
            "7e-3",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_missing_is_named() {
        let said = |text: &str| PrintedExpansion::parse(text).err().map(|trouble| trouble.message);
        assert!(said("0.258 %").is_some_and(|message| message.contains("needs its temperature")));
        assert!(said("7.8").is_some_and(|message| message.contains("power of ten")));
    }

    #[test]
    fn every_way_of_writing_per_degree_reads_alike() {
        for text in [
            "7.8e-6/C",
            "7.8e-6/degC",
            "7.8e-6 K-1",
            "7.8e-6 K^-1",
            "7.8e-6 1/K",
            "7.8 um/m/K",
            "7.8 µm/m/K",
            "7.8x10e-6",
            "7.8 * 10^-6",
            "7.8 X 10^-6",
            "78·10⁻⁷",
            "780000 × 10⁻¹¹",
        ] {
            assert_eq!(read(text).map(|read| read.0), Some(7.8), "{text}");
        }
        // From 20 C where only the upper end stands there; 68 F are 20 C.
        for (text, range) in [
            ("7.8e-6/K, 20-300 C", (20.0, 300.0)),
            ("7.8e-6/K @ 300 C", (20.0, 300.0)),
            ("7.8e-6/K from 68 to 932 F", (20.0, 500.0)),
            ("7.8e-6/K at 25–1000", (25.0, 1000.0)),
            ("7.8e-6/K at 20-1500 C", (20.0, 1500.0)),
        ] {
            assert_eq!(read(text), Some((7.8, Some(range))), "{text}");
        }
        for text in [
            "7.8e-6/K at 20-1501 C",
            "7.8e-6/K at 20 C",
            "7.8e-6/K at 300-300 C",
            "31e-6",
            "0.05e-6",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
        assert_eq!(
            (read("30e-6").map(|read| read.0), read("0.11e-6").map(|read| read.0)),
            (Some(30.0), Some(0.11))
        );
        let message = |text: &str| PrintedExpansion::parse(text).err().map(|bad| bad.message);
        assert!(message("31e-6").is_some_and(|said| said.contains("31.000 x 1e-6/K: no ceramic does that")));
        assert!(message("40").is_some_and(|said| !said.contains("power of ten")));
        assert_eq!(
            PrintedExpansion::parse(" 7.8e-6/K ")
                .map(|read| read.printed)
                .as_deref(),
            Ok("7.8e-6/K")
        );
    }
}
