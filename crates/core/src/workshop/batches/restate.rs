//! A stock's text with another amount in it, in the words it was written in.

use glost_chemistry::quantity::{Grams, split_units, unit_grams};

/// Digits kept below a gram: half of the last is 0.0005 g, less than any scales
/// that weigh glazes.
const DECIMALS_OF_A_GRAM: i32 = 3;

/// `12 kg` with 10700 g in it is `10.7 kg`; `2 lb 3 oz` stays pounds and ounces,
/// `12,5 kg` keeps its comma, and the spaces stay. `None` where the text is no
/// weight or the grams are none.
pub fn restated(before: &str, grams: f64) -> Option<String> {
    Grams::parse(before).ok()?;
    Grams::new(grams)?;
    let pieces = split_units(before);
    let mut text = String::with_capacity(before.len());
    let mut rest = before;
    let mut left = grams;
    for (index, (number, unit)) in pieces.iter().enumerate() {
        let factor = unit_grams(unit)?;
        let last = index + 1 == pieces.len();
        let amount = if last {
            left / factor
        } else {
            // What the next units hold is less than one of these.
            (left / factor + 1e-9).floor()
        };
        left = (left - amount * factor).max(0.0);
        let at = rest.find(number.as_str())?;
        text.push_str(&rest[..at]);
        let decimals = if last { decimals(factor) } else { 0 };
        let shown = trimmed(&format!("{amount:.decimals$}"));
        text.push_str(&if number.contains(',') {
            with_comma(&shown)
        } else {
            shown
        });
        rest = &rest[at + number.len()..];
    }
    text.push_str(rest);
    let read = Grams::parse(&text).ok()?.grams();
    // Whatever the text was: the new one must say the new amount.
    ((read - grams).abs() <= 0.001 + 1e-12 * grams).then_some(text)
}

/// Decimals of a unit of so many grams that show [`DECIMALS_OF_A_GRAM`].
fn decimals(factor: f64) -> usize {
    let more = factor.log10().ceil() as i32;
    usize::try_from(DECIMALS_OF_A_GRAM + more).unwrap_or(0)
}

/// With a decimal comma, which a whole number shows too: the next one keeps it.
fn with_comma(number: &str) -> String {
    if number.contains('.') {
        number.replace('.', ",")
    } else {
        format!("{number},0")
    }
}

fn trimmed(number: &str) -> String {
    if !number.contains('.') {
        return number.to_owned();
    }
    let short = number.trim_end_matches('0').trim_end_matches('.');
    if short.is_empty() {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_stays_as_she_wrote_it() {
        for (before, grams, after) in [
            ("12 kg", 10_700.0, "10.7 kg"),
            ("12kg", 11_999.9, "11.9999kg"),
            ("12 kg", 0.0, "0 kg"),
            ("12,5 kg", 11_200.0, "11,2 kg"),
            ("12,5 kg", 11_000.0, "11,0 kg"),
            ("500 g", 370.25, "370.25 g"),
            ("500 grams", 37.0, "37 grams"),
            ("1 1/2 lb", 453.592_37, "1 lb"),
            ("½ kg", 250.0, "0.25 kg"),
            ("2 lb 3 oz", 492.232_825, "1 lb 1.363 oz"),
            ("2 lb 3 oz", 0.0, "0 lb 0 oz"),
            ("0.002 t", 1500.0, "0.0015 t"),
            ("1e3 g", 999.0, "999 g"),
            ("25  Kilos", 24_000.0, "24  Kilos"),
        ] {
            assert_eq!(restated(before, grams).as_deref(), Some(after), "{before} {grams}");
        }
        for before in ["", "12", "kg", "12 pints"] {
            assert_eq!(restated(before, 1.0), None, "{before}");
        }
        assert_eq!(restated("12 kg", -1.0), None);
        assert_eq!(restated("12 kg", f64::NAN), None);
    }

    #[test]
    fn taking_off_and_putting_back_comes_home() {
        for before in ["25 kg", "3 lb 7.5 oz", "0.5 t", "1300 g", "12,5 kg"] {
            let start = Grams::parse(before).map_or(0.0, Grams::grams);
            let (mut text, mut taken) = (before.to_owned(), 0.0);
            for step in 1..40 {
                let grams = 0.1 * f64::from(step * step % 97);
                let left = Grams::parse(&text).map_or(0.0, Grams::grams) - grams;
                text = restated(&text, left).unwrap_or_else(|| panic!("{text} less {grams} g"));
                taken += grams;
            }
            let back = Grams::parse(&text).map_or(0.0, Grams::grams) + taken;
            assert!((back - start).abs() < 0.04, "{before} {text} {back}");
        }
    }
}
