//! Numbers as people read them. JSON never goes through here.

use glost_chemistry::oxides::Oxide;
pub use glost_chemistry::quantity::plain;
use glost_core::workshop::scales::WeighedLine;

/// Decimals that small amounts are shown with.
pub const SMALL_DECIMALS: usize = 3;

/// An amount in a unity formula: three decimals, more for tiny ones so that nothing
/// present reads as 0.000.
pub fn unity(amount: f64) -> String {
    with_decimals(amount, SMALL_DECIMALS)
}

/// The same of an oxide: four decimals for those that colour strongly.
pub fn unity_of(oxide: Oxide, amount: f64) -> String {
    with_decimals(
        amount,
        if COLOURS_STRONGLY.contains(&oxide) {
            SMALL_DECIMALS + 1
        } else {
            SMALL_DECIMALS
        },
    )
}

/// Oxides of which a ten thousandth of a mole is seen.
const COLOURS_STRONGLY: [Oxide; 5] = [Oxide::CoO, Oxide::CuO, Oxide::Cr2O3, Oxide::NiO, Oxide::V2O5];

fn with_decimals(amount: f64, decimals: usize) -> String {
    if amount == 0.0 {
        "0".to_owned()
    } else if format!("{amount:.decimals$}")
        .trim_start_matches(['-', '0', '.'])
        .is_empty()
    {
        format!("{amount:.0$}", decimals + 2)
    } else {
        format!("{amount:.decimals$}")
    }
}

/// The half-width of a band in a unity formula, to its three decimals, or to one
/// figure where that would read as nothing.
pub fn band(half_width: f64) -> String {
    if half_width >= 0.5 * 10f64.powi(-3) {
        format!("{half_width:.SMALL_DECIMALS$}")
    } else {
        let figures = (-half_width.log10()).ceil().clamp(1.0, 9.0);
        format!("{half_width:.*}", figures as usize)
    }
}

/// A percentage: one decimal, more for small ones.
pub fn percent(amount: f64) -> String {
    let size = amount.abs();
    if size == 0.0 {
        "0".to_owned()
    } else if size < 0.005 {
        format!("{amount:.4}")
    } else if size < 0.95 {
        format!("{amount:.2}")
    } else {
        format!("{amount:.1}")
    }
}

/// A figure of a sum: six digits, no zeros behind the point.
pub fn figures(amount: f64) -> String {
    const DIGITS: i32 = 6;
    if amount == 0.0 || !amount.is_finite() {
        return "0".to_owned();
    }
    let before = amount.abs().log10().floor() as i32 + 1;
    let decimals = (DIGITS - before).clamp(0, 9);
    let text = format!("{amount:.*}", usize::try_from(decimals).unwrap_or(0));
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// Parts of a recipe: two decimals.
pub fn parts(amount: f64) -> String {
    if amount.abs() < 0.005 && amount != 0.0 {
        format!("{amount:.4}")
    } else {
        format!("{amount:.2}")
    }
}

/// Grams as the scales show them: the decimals of their step.
pub fn grams(amount: f64, step: f64) -> String {
    let decimals = (0..6).find(|digits| {
        let scaled = step * 10f64.powi(*digits);
        (scaled - scaled.round()).abs() < 1e-9
    });
    format!("{amount:.*}", usize::try_from(decimals.unwrap_or(2)).unwrap_or(2))
}

/// A weight as the scales show it; what they show too far off, down to nothing, as it is wanted.
pub fn weighed(line: &WeighedLine, step: f64) -> String {
    if line.is_off() {
        return wanted(line.exact_grams);
    }
    grams(line.grams, step)
}

/// Grams to three figures.
fn wanted(grams: f64) -> String {
    match grams {
        small if small < 0.995 => format!("{small:.3}"),
        small if small < 9.95 => format!("{small:.2}"),
        more => format!("{more:.1}"),
    }
}

/// A distance in tolerances: one decimal, two below one.
pub fn distance(amount: f64) -> String {
    if amount < 0.005 {
        "0".to_owned()
    } else if amount < 0.95 {
        format!("{amount:.2}")
    } else {
        format!("{amount:.1}")
    }
}

/// A chance, 0 to 1, in plain words.
pub fn chance(chance: f64) -> String {
    if chance < 0.005 {
        "less than 1 chance in 200".to_owned()
    } else if chance < 0.4 {
        // Two figures are all that such a chance is worth.
        let one_in = 1.0 / chance;
        let step = if one_in < 100.0 { 1.0 } else { 10.0 };
        format!("about 1 chance in {:.0}", (one_in / step).round() * step)
    } else if chance < 0.945 {
        format!("about {:.0} chances in 10", 10.0 * chance)
    } else {
        "more than 19 chances in 20".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_little_cobalt_is_never_nothing() {
        assert_eq!(unity(0.004), "0.004");
        assert_eq!(unity(0.0999), "0.100");
        assert_eq!(unity(3.0441), "3.044");
        assert_eq!(unity_of(Oxide::CoO, 0.0042), "0.0042");
        assert_eq!(unity_of(Oxide::CaO, 0.7), "0.700");
        assert_eq!(unity(0.00004), "0.00004");
        assert_eq!(grams(39.7, 0.1), "39.7");
        assert_eq!(grams(1983.0, 1.0), "1983");
        assert_eq!(grams(12.5, 0.5), "12.5");
        assert_eq!(plain(0.35), "0.35");
        assert_eq!(plain(10.0), "10");
        let sums = [1.0 / 3.0, 38.0, 7340.0, 1_234_567.89, 0.00123456, -2.5, 0.0];
        assert_eq!(
            sums.map(figures),
            ["0.333333", "38", "7340", "1234568", "0.00123456", "-2.5", "0"]
        );
    }

    #[test]
    fn chances_in_words() {
        for (value, words) in [
            (0.001, "less than 1 chance in 200"),
            (0.00585, "about 1 chance in 170"),
            (0.092, "about 1 chance in 11"),
            (0.39, "about 1 chance in 3"),
            (0.5, "about 5 chances in 10"),
            (0.93, "about 9 chances in 10"),
            (0.97, "more than 19 chances in 20"),
        ] {
            assert_eq!(chance(value), words);
        }
    }
}
