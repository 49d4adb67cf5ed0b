//! Numbers as people write them.

use crate::diagnostic::{is_no, of_typed};
use std::fmt;

use serde::Serialize;

/// A number that was read, with what had to be said about the reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    /// The value.
    pub value: f64,
    /// To be carried along, where the reading was a guess.
    pub note: Option<DecimalComma>,
}

/// A number that was read with a decimal comma. It prints as a complaint about a file does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DecimalComma {
    /// As written.
    pub written: String,
    /// With a point instead, where all that is written is the number.
    pub read_as: Option<String>,
}

impl fmt::Display for DecimalComma {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` was read with a decimal comma", self.written)?;
        match &self.read_as {
            Some(pointed) => write!(f, ", as {pointed}"),
            None => Ok(()),
        }
    }
}

/// Why a text is no number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NumberTrouble {
    /// What is wrong, one line.
    pub message: String,
    /// What to write instead.
    pub help: Option<String>,
}

fn trouble(message: impl Into<String>, help: &str) -> NumberTrouble {
    NumberTrouble {
        message: message.into(),
        help: (!help.is_empty()).then(|| help.to_owned()),
    }
}

/// Reads a decimal number: `0.8`, `12`, `6.2e-6`, and `0,8` with a note.
///
/// # Errors
/// Text, NaN, infinities, hexadecimal, underscores, two separators, and numbers
/// too large to hold.
pub fn parse_number(text: &str) -> Result<Number, NumberTrouble> {
    let text = text.trim();
    let lower = text.to_ascii_lowercase();
    let bare = lower.trim_start_matches(['+', '-', '.']);
    if text.is_empty() {
        return Err(trouble("a number is missing", "write one, such as 38 or 0.8"));
    }
    if matches!(bare, "nan" | "inf" | "infinity") {
        return Err(trouble(is_no(text, "amount"), "write a plain number"));
    }
    if bare.starts_with("0x") || bare.starts_with("0o") || bare.starts_with("0b") {
        return Err(trouble(
            of_typed(text, "is not a decimal number"),
            "write it in tens: 16, not 0x10",
        ));
    }
    if text.contains('_') {
        return Err(trouble(
            of_typed(text, "has underscores in it"),
            &format!("write {}", text.replace('_', "")),
        ));
    }
    let commas = text.matches(',').count();
    let points = text.matches('.').count();
    if commas > 1 || (commas == 1 && points > 0) || points > 1 {
        return Err(trouble(
            of_typed(text, "could be read in two ways"),
            "write the number without thousands separators, with one decimal point",
        ));
    }
    let pointed = text.replace(',', ".");
    let shape = pointed
        .chars()
        .all(|sign| sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+' | 'e' | 'E'));
    match pointed.parse::<f64>() {
        Ok(value) if shape && value.is_finite() => {
            let note = (commas == 1).then(|| DecimalComma {
                written: text.to_owned(),
                read_as: Some(pointed),
            });
            Ok(Number { value, note })
        }
        Ok(_) if shape => Err(trouble(
            of_typed(text, "is too large a number"),
            "write a smaller one; is the decimal point in its place?",
        )),
        _ => Err(trouble(
            of_typed(text, "is not a number"),
            "write digits with a decimal point, such as 38 or 0.8",
        )),
    }
}

/// What to say of a text with a unit, such as `12,5 kg`, that was read with a
/// decimal comma; `None` where no comma stands between digits.
pub fn decimal_comma(text: &str) -> Option<DecimalComma> {
    let signs: Vec<char> = text.chars().collect();
    let decimal = signs
        .windows(3)
        .any(|three| three[0].is_ascii_digit() && three[1] == ',' && three[2].is_ascii_digit());
    decimal.then(|| DecimalComma {
        written: text.trim().to_owned(),
        read_as: None,
    })
}

/// Reads a number that may be a fraction: `5 3/4`, `1/2`, `½`, `0,8`.
///
/// # Errors
/// As [`parse_number`]; a fraction over zero.
pub fn parse_fraction(text: &str) -> Result<Number, NumberTrouble> {
    let spaced: String = text
        .trim()
        .chars()
        .map(|sign| match sign {
            '½' => " 1/2".to_owned(),
            '¼' => " 1/4".to_owned(),
            '¾' => " 3/4".to_owned(),
            '⅓' => " 1/3".to_owned(),
            '⅔' => " 2/3".to_owned(),
            '⅛' => " 1/8".to_owned(),
            other => other.to_string(),
        })
        .collect();
    let Some((before, below)) = spaced.split_once('/') else {
        return parse_number(&spaced);
    };
    let (whole, above) = before.trim().rsplit_once(' ').unwrap_or(("0", before.trim()));
    let whole = parse_number(whole)?.value;
    let above = parse_number(above)?.value;
    let below = parse_number(below)?.value;
    if below <= 0.0 || above < 0.0 || whole < 0.0 {
        return Err(trouble(
            of_typed(text.trim(), "is not a fraction"),
            "write it such as 5 3/4",
        ));
    }
    Ok(Number {
        value: whole + above / below,
        note: None,
    })
}

/// Splits `2 lb 3 oz` into number texts and unit texts: (`2`, `lb`), (`3`, `oz`).
/// A fraction belongs to the number before its unit.
pub fn split_units(text: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let mut number = String::new();
    let mut unit = String::new();
    let signs: Vec<char> = text.trim().chars().collect();
    for (index, &sign) in signs.iter().enumerate() {
        let exponent = matches!(sign, 'e' | 'E')
            && unit.is_empty()
            && number.ends_with(|last: char| last.is_ascii_digit())
            && signs
                .get(index + 1)
                .is_some_and(|next| next.is_ascii_digit() || matches!(next, '-' | '+'));
        let exponent_sign = matches!(sign, '-' | '+') && unit.is_empty() && number.ends_with(['e', 'E']);
        let leading_sign = matches!(sign, '-' | '+') && unit.is_empty() && number.trim().is_empty();
        let slash = sign == '/' && unit.trim().is_empty() && signs.get(index + 1).is_some_and(char::is_ascii_digit);
        if sign.is_ascii_digit()
            || "½¼¾⅓⅔⅛".contains(sign)
            || exponent
            || exponent_sign
            || leading_sign
            || slash
            || (matches!(sign, '.' | ',') && unit.trim().is_empty())
            || (sign.is_whitespace() && unit.is_empty())
        {
            if !unit.trim().is_empty() {
                found.push((number.trim().to_owned(), unit.trim().to_owned()));
                number.clear();
                unit.clear();
            }
            number.push(sign);
        } else {
            unit.push(sign);
        }
    }
    if !(number.trim().is_empty() && unit.trim().is_empty()) {
        found.push((number.trim().to_owned(), unit.trim().to_owned()));
    }
    found
}

pub(super) fn unit_trouble(unit: &str, wanted: &str, help: &str) -> NumberTrouble {
    if unit.is_empty() {
        trouble(format!("a unit of {wanted} is missing"), help)
    } else {
        trouble(format!("`{unit}` is no unit of {wanted} that Glost knows"), help)
    }
}

/// A number to four decimals, without needless zeros.
pub fn plain(amount: f64) -> String {
    trimmed(amount, 4)
}

/// A number to so many decimals at most, without needless zeros; nothing is negative in
/// a last decimal that isn't shown.
pub fn trimmed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let short = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if short == "-0" { "0" } else { short }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_a_person_would() {
        assert_eq!(parse_number("0.8").map(|number| number.value), Ok(0.8));
        assert!(parse_number("0,8").is_ok_and(|number| number.value == 0.8 && number.note.is_some()));
        for text in [
            ".nan",
            ".inf",
            "-.inf",
            "0x10",
            "1_000",
            "1.000,5",
            "twelve",
            "",
            "1e999",
            "1,000,000",
        ] {
            assert!(parse_number(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_comma_is_told_from_one_between_words() {
        assert!(decimal_comma("12,5 kg").is_some());
        assert_eq!(decimal_comma("spar, lot 4"), None);
        assert_eq!(decimal_comma("1220 C"), None);
    }

    #[test]
    fn cups_come_in_quarters() {
        assert_eq!(parse_fraction("5 3/4").map(|number| number.value), Ok(5.75));
        assert_eq!(parse_fraction("½").map(|number| number.value), Ok(0.5));
        assert!(parse_fraction("1/0").is_err());
    }

    #[test]
    fn units_split_off_their_numbers() {
        let pairs = |text: &str| {
            split_units(text)
                .into_iter()
                .map(|(n, u)| format!("{n}|{u}"))
                .collect::<Vec<_>>()
        };
        assert_eq!(pairs("2 lb 3 oz"), ["2|lb", "3|oz"]);
        assert_eq!(pairs("5 3/4 cups"), ["5 3/4|cups"]);
        assert_eq!(pairs("0.1g"), ["0.1|g"]);
        assert_eq!(pairs("6.2e-6/K"), ["6.2e-6|/K"]);
    }

    #[test]
    fn signs_and_shapes_that_are_no_number() {
        let value = |text: &str| parse_number(text).map(|number| number.value).ok();
        assert_eq!(
            (value(" -0.5 "), value("+3"), value("6.2e-6")),
            (Some(-0.5), Some(3.0), Some(6.2e-6))
        );
        for text in [
            "1e", "e5", "1-2", "12a", "1.2.3", "1,2,3", "1.5,2", "-0x10", "0o7", "0b1", "infinity", "inf",
        ] {
            assert_eq!(value(text), None, "{text}");
        }
        let message = |text: &str| parse_number(text).map(|number| number.value).unwrap_err().message;
        assert!(message("1e999").contains("too large"));
        assert!(message("0b1").contains("not a decimal"));
        assert!(message("0o7").contains("not a decimal"));
        assert!(message("1.000,5").contains("two ways"));
        assert!(message("1_000").contains("underscores"));
        assert!(message("inf").contains("no amount"));
        // No comma of a decimal: one at an end, or beside a letter.
        for text in ["12, 5 kg", ",5 kg", "5, kg", "a,5"] {
            assert_eq!(decimal_comma(text), None, "{text}");
        }
    }

    #[test]
    fn fractions_add_to_their_whole() {
        let value = |text: &str| parse_fraction(text).map(|number| number.value).ok();
        for (text, wanted) in [
            ("¼", 0.25),
            ("2¾", 2.75),
            ("1 ⅛", 1.125),
            ("⅓", 1.0 / 3.0),
            ("⅔", 2.0 / 3.0),
            ("0/4", 0.0),
            ("2 0/4", 2.0),
            ("7/8", 0.875),
        ] {
            assert_eq!(value(text), Some(wanted), "{text}");
        }
        for text in ["1/-2", "-1/2", "-1 1/2", "1 -1/2", "/2", "1/", "1/0", "a/2"] {
            assert_eq!(value(text), None, "{text}");
        }
    }

    #[test]
    fn odd_texts_split_into_numbers_and_units_too() {
        let pairs = |text: &str| {
            split_units(text)
                .into_iter()
                .map(|(number, unit)| format!("{number}|{unit}"))
                .collect::<Vec<_>>()
        };
        for (text, wanted) in [
            ("", &[][..]),
            ("12", &["12|"]),
            ("kg", &["|kg"]),
            ("-3 g", &["-3|g"]),
            ("1.5e3 g", &["1.5e3|g"]),
            ("2E+1g", &["2E+1|g"]),
            ("3 eggs", &["3|eggs"]),
            ("1/2 lb", &["1/2|lb"]),
            ("½lb", &["½|lb"]),
            ("5 EUR/kg", &["5|EUR/kg"]),
            ("1 fl oz", &["1|fl oz"]),
            ("1,5 kg", &["1,5|kg"]),
            ("1 lb. 2 oz.", &["1|lb.", "2|oz."]),
            ("g/m 2", &["|g/m", "2|"]),
        ] {
            assert_eq!(pairs(text), wanted, "{text}");
        }
        assert_eq!(
            [0.0, 0.25, 12.0, 100.0, 1.00004].map(plain),
            ["0", "0.25", "12", "100", "1"]
        );
    }
}
