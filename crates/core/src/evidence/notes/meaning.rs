//! What counts of pieces mean.

/// The failure rate in per cent that lies, with 95 % confidence, above the true
/// one when none of `pieces` failed: 1 - 0.05^(1/n), the exact binomial bound.
pub fn rate_below_percent(pieces: u32) -> f64 {
    100.0 * (1.0 - 0.05f64.powf(1.0 / f64::from(pieces.max(1))))
}

/// An age in words: `from the kiln`, `1 day`, `30 days`, `14 months`, `3 years`.
pub fn age_words(days: f64) -> String {
    let some = |count: f64, one: &str| {
        if count == 1.0 {
            format!("1 {one}")
        } else {
            format!("{count} {one}s")
        }
    };
    let years = days / 365.0;
    let months = (days * 12.0 / 365.0).round();
    if days < 0.5 {
        "from the kiln".to_owned()
    } else if days < 90.0 {
        some(days.round(), "day")
    } else if (years - years.round()).abs() < 0.02 {
        some(years.round(), "year")
    } else if months < 60.0 {
        some(months, "month")
    } else {
        some((10.0 * years).round() / 10.0, "year")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// None of 5, 10 and 30: under about 45, 26 and 10 % (the exact binomial bound).
    #[test]
    fn what_none_of_some_proves() {
        for (pieces, percent) in [(5, 45.07), (10, 25.89), (30, 9.50), (1, 95.0)] {
            assert!((rate_below_percent(pieces) - percent).abs() < 0.01, "{pieces}");
        }
    }

    #[test]
    fn ages_in_words() {
        for (days, words) in [
            (0.0, "from the kiln"),
            (1.0, "1 day"),
            (30.0, "30 days"),
            (183.0, "6 months"),
            (365.0, "1 year"),
            (426.0, "14 months"),
            (1095.0, "3 years"),
            (3000.0, "8.2 years"),
        ] {
            assert_eq!(age_words(days), words);
        }
    }
}
