//! What counts of pieces mean.

/// The failure rate in per cent that lies, with 95 % confidence, above the true
/// one when none of `pieces` failed: 1 - 0.05^(1/n), the exact binomial bound.
pub fn rate_below_percent(pieces: u32) -> f64 {
    100.0 * (1.0 - 0.05f64.powf(1.0 / f64::from(pieces.max(1))))
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
}
