//! Amounts as cells hold them: `38`, `12,5`, `8 %`, `250 g`, `2 lb 3 oz`, `-`.

use glost_chemistry::diagnostic::of_typed;
use glost_chemistry::quantity::{Grams, NumberTrouble, parse_fraction, unit_grams};

/// An amount of one cell.
#[derive(Debug, Clone, PartialEq)]
pub struct CellAmount {
    /// Parts, per cent, or grams where `weighed`.
    pub amount: f64,
    /// As it goes into a file.
    pub text: String,
    /// Whether it has a unit of weight.
    pub weighed: bool,
}

/// Reads a cell; none where it says that there is nothing. `unit` is its column's.
///
/// # Errors
/// No amount, or one below zero.
pub fn cell_amount(cell: &str, unit: Option<&str>) -> Result<Option<CellAmount>, NumberTrouble> {
    let cell = cell.trim();
    if matches!(cell, "" | "-" | "–" | "—" | "n/a" | "x") {
        return Ok(None);
    }
    let bare = cell.strip_suffix('%').map_or(cell, str::trim_end);
    let weight_unit = unit.filter(|unit| unit_grams(unit).is_some());
    let read = match (parse_fraction(bare), weight_unit) {
        (Ok(number), Some(unit)) if bare == cell => {
            let text = format!("{} {unit}", number.value);
            CellAmount {
                amount: Grams::parse(&text)?.grams(),
                text,
                weighed: true,
            }
        }
        (Ok(number), _) => CellAmount {
            amount: number.value,
            text: number.value.to_string(),
            weighed: false,
        },
        (Err(why), _) => {
            let has_unit = cell.chars().any(char::is_alphabetic);
            let weight = has_unit.then(|| Grams::parse(cell)).and_then(Result::ok);
            CellAmount {
                amount: weight.ok_or(why)?.grams(),
                text: with_points(cell),
                weighed: true,
            }
        }
    };
    if read.amount < 0.0 {
        return Err(NumberTrouble {
            message: of_typed(cell, "is below zero"),
            help: Some("write a number from 0 up, or clear the cell".to_owned()),
        });
    }
    Ok((read.amount > 0.0).then_some(read))
}

/// With decimal points for decimal commas.
pub fn with_points(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| signs.get(at)).is_some_and(char::is_ascii_digit);
    signs
        .iter()
        .enumerate()
        .map(|(at, sign)| match sign {
            ',' if digit(at.checked_sub(1)) && digit(Some(at + 1)) => '.',
            other => *other,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_read_as_people_type_them() {
        let read = |cell: &str, unit: Option<&str>| {
            cell_amount(cell, unit).map(|amount| amount.map(|amount| (amount.amount, amount.text, amount.weighed)))
        };
        let parts = |amount: f64, text: &str| Ok(Some((amount, text.to_owned(), false)));
        assert_eq!(read("38", None), parts(38.0, "38"));
        assert_eq!(read("12,5", None), parts(12.5, "12.5"));
        assert_eq!(read("8 %", None), parts(8.0, "8"));
        assert_eq!(read("1/2", None), parts(0.5, "0.5"));
        assert_eq!(read("250 g", None), Ok(Some((250.0, "250 g".to_owned(), true))));
        assert_eq!(read("0,5", Some("kg")), Ok(Some((500.0, "0.5 kg".to_owned(), true))));
        for nothing in ["", "-", "0", "0.00", "–"] {
            assert_eq!(read(nothing, None), Ok(None), "{nothing}");
        }
        for wrong in ["-3", "blue", "1,234.5", "3 cups"] {
            assert!(read(wrong, None).is_err(), "{wrong}");
        }
    }
}
