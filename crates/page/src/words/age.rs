//! Ages as people say them.

/// An age in words: `from the kiln`, `1 day`, `30 days`, `14 months`, `3 years`.
pub(crate) fn age_words(days: f64) -> String {
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
