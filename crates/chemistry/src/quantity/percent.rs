//! Percentages that must say so.

use super::number::{NumberTrouble, parse_number};
use crate::diagnostic::{is_no, of_typed};

/// Reads `20 %`, `12,5%`, `20 per cent`; a bare number is asked back.
///
/// # Errors
/// No number, no `%`, below 0 or above 100.
pub fn parse_percent(text: &str) -> Result<f64, NumberTrouble> {
    let bare = text.trim();
    let number = ["%", "per cent", "percent"]
        .iter()
        .find_map(|unit| bare.strip_suffix(unit));
    let Some(number) = number else {
        return Err(NumberTrouble {
            message: of_typed(text, "doesn't say of what kind"),
            help: Some(match parse_number(bare) {
                Ok(_) => format!("per cent? write \"{bare} %\""),
                Err(_) => "write it such as \"20 %\"".to_owned(),
            }),
        });
    };
    let value = parse_number(number)?.value;
    if !(0.0..=100.0).contains(&value) {
        return Err(NumberTrouble {
            message: is_no(text, "share: it goes from 0 to 100 %"),
            help: None,
        });
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_says_per_cent() {
        assert_eq!(parse_percent("20 %"), Ok(20.0));
        assert_eq!(parse_percent("12,5%"), Ok(12.5));
        assert_eq!(parse_percent("20 per cent"), Ok(20.0));
        assert!(parse_percent("20").is_err_and(|bad| bad.help.is_some_and(|help| help.contains("20 %"))));
        for text in ["", "%", "-1 %", "101 %", "nan %", "some"] {
            assert!(parse_percent(text).is_err(), "{text}");
        }
    }
}
