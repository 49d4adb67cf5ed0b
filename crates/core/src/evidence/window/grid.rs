//! Points and weights that the window's sums run over.

use glost_solve::normal::ln_density;

use super::settings::Belief;

/// Distance of two points of the edge's grid, of shifts and of differences, 1e-6/K.
pub(super) const STEP: f64 = 0.01;
/// Distance of two points of a true expansion's grid; twice the edge's, so that differences
/// of the two lie on one lattice.
pub(super) const TRUE_STEP: f64 = 2.0 * STEP;
/// How far grids reach, in standard deviations.
const REACH: f64 = 6.0;

/// A grid of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    pub(super) low: f64,
    pub(super) step: f64,
    pub(super) count: usize,
}

impl Grid {
    pub(super) fn around(belief: Belief, step: f64) -> Grid {
        let intervals = (2.0 * REACH * belief.sd / step - 1e-9).ceil().max(1.0);
        Grid {
            low: belief.mean - REACH * belief.sd,
            step,
            count: intervals as usize + 1,
        }
    }

    pub(super) fn at(&self, index: usize) -> f64 {
        self.low + self.step * index as f64
    }

    pub(super) fn points(self) -> impl Iterator<Item = f64> {
        (0..self.count).map(move |index| self.at(index))
    }

    /// Trapezoid weights times a normal density.
    pub(super) fn normal_weights(&self, belief: Belief) -> Vec<f64> {
        let last = self.count - 1;
        let weight = |(index, value): (usize, f64)| {
            let end = if index == 0 || index == last { 0.5 } else { 1.0 };
            end * self.step * ln_density((value - belief.mean) / belief.sd).exp() / belief.sd
        };
        self.points().enumerate().map(weight).collect()
    }
}

/// Weights of a shift of 0 on average at each step, as many below 0 as above; half weights
/// at the ends, and they sum to 1.
pub(super) fn shift_weights(sd: f64) -> Vec<f64> {
    let reach = (REACH * sd / STEP - 1e-9).ceil() as i64;
    let weights: Vec<f64> = (-reach..=reach)
        .map(|index| {
            let end = if index.abs() == reach { 0.5 } else { 1.0 };
            end * ln_density(STEP * index as f64 / sd).exp()
        })
        .collect();
    let total: f64 = weights.iter().sum();
    weights.into_iter().map(|weight| weight / total).collect()
}

/// Points evenly over `reach` standard deviations to either side, weighed by the density;
/// those at or below 0 left out where `above_zero`. Weights sum to 1.
pub(super) fn spread_points(belief: Belief, count: usize, reach: f64, above_zero: bool) -> Vec<(f64, f64)> {
    let step = 2.0 * reach / (count - 1) as f64;
    let all = (0..count).map(|index| {
        let deviations = step * index as f64 - reach;
        (belief.mean + belief.sd * deviations, ln_density(deviations).exp())
    });
    let kept: Vec<(f64, f64)> = all.filter(|(value, _)| !above_zero || *value > 0.0).collect();
    let total: f64 = kept.iter().map(|(_, weight)| weight).sum();
    kept.into_iter()
        .map(|(value, weight)| (value, weight / total))
        .collect()
}
