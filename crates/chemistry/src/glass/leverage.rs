//! How far a composition lies from the glasses of the fit, and the band that follows.
//!
//! Leverage is `f' M f` with `f` the 54 term values and `M` the inverse of the fit's
//! weighted Gram matrix. Residuals of a cross-validation by publication grow with a power
//! of it, and quantiles of the scaled residuals give the band (conformal, each publication
//! of equal weight).

use std::sync::LazyLock;

use super::table::data_lines;

/// Terms of the default model.
pub(super) const TERM_COUNT: usize = 54;
/// Above this the answer warns: the 99 % point of the fit's own glasses.
pub(super) const WARN_ABOVE: f64 = 479.889_301_034_703;
/// The band is stated at this leverage.
const REFERENCE: f64 = 20.0;
/// Leverages are limited to this range before the band is scaled.
const LIMITS: (f64, f64) = (5.0, 2000.0);
/// The power with which the error grows.
const POWER: f64 = 0.4005;

/// The share of glasses that a band is meant to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coverage {
    /// 68 %
    Percent68,
    /// 90 %
    Percent90,
    /// 95 %
    Percent95,
}

impl Coverage {
    /// Half-width at leverage 20, 1e-6/K.
    const fn at_reference(self) -> f64 {
        match self {
            Coverage::Percent68 => 0.3019,
            Coverage::Percent90 => 0.6611,
            Coverage::Percent95 => 0.9137,
        }
    }
}

/// Half-width of the default model's band in 1e-6/K (mean linear, 20-400 C), for a glass of
/// exactly this composition. On 600 glasses by authors kept out of the fit the bands of
/// 68, 90 and 95 % held 63, 88 and 94 %.
pub fn leverage_half_width(coverage: Coverage, leverage: f64) -> f64 {
    coverage.at_reference() * (leverage.clamp(LIMITS.0, LIMITS.1) / REFERENCE).powf(POWER)
}

static TRIANGLE: LazyLock<LeverageTable> =
    LazyLock::new(|| LeverageTable::parse(include_str!("../../data/expansion/glost_54_leverage.csv")));

/// A symmetric matrix by its lower triangle, row after row.
#[derive(Debug)]
pub(super) struct LeverageTable {
    entries: Vec<f64>,
}

impl LeverageTable {
    /// Reads one row a line.
    pub(super) fn parse(table: &'static str) -> LeverageTable {
        let cells = data_lines(table, "").flat_map(|line| line.split(','));
        LeverageTable {
            entries: cells.filter_map(|cell| cell.parse().ok()).collect(),
        }
    }

    /// `f' M f` for the term values `f`.
    pub(super) fn leverage(&self, values: &[f64]) -> f64 {
        let mut sum = 0.0;
        let mut rest = self.entries.as_slice();
        for (index, value) in values.iter().enumerate() {
            let Some((row, later)) = rest.split_at_checked(index + 1) else {
                break;
            };
            rest = later;
            if *value != 0.0 {
                let before: f64 = row
                    .iter()
                    .zip(&values[..index])
                    .map(|(entry, other)| entry * other)
                    .sum();
                sum += value * (2.0 * before + row[index] * value);
            }
        }
        sum
    }

    /// How many entries the table gave.
    #[cfg(test)]
    pub(super) fn entry_count(&self) -> usize {
        self.entries.len()
    }
}

/// `f' M f` of the default expansion model's term values.
pub(super) fn leverage(values: &[f64; TERM_COUNT]) -> f64 {
    TRIANGLE.leverage(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_triangle_is_whole_and_its_corner_as_fitted() {
        assert_eq!(TRIANGLE.entry_count(), TERM_COUNT * (TERM_COUNT + 1) / 2);
        assert_eq!(TRIANGLE.entries[0], 267.479);
        assert_eq!(TRIANGLE.entries[1], -573.427);
        let mut silica = [0.0; TERM_COUNT];
        silica[0] = 1.0;
        assert_eq!(leverage(&silica), 267.479);
    }

    #[test]
    fn the_band_stops_growing_at_both_ends() {
        assert_eq!(leverage_half_width(Coverage::Percent90, 20.0), 0.6611);
        let ends = [(1.0, 5.0), (1e9, 2000.0), (-3.0, 5.0)];
        for (beyond, end) in ends {
            let width = |leverage| leverage_half_width(Coverage::Percent90, leverage);
            assert_eq!(width(beyond), width(end));
        }
    }
}
