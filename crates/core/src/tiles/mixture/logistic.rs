//! Yes or no by tile: a logistic mixture model.
//!
//! The log-odds of yes follow a Scheffe model. Where all the yes lie on one side, the best
//! fit runs off to certainty; a weak prior holds it: log-odds of an end spread 2.5 about
//! those of all tiles together (A. Gelman and others, Ann. Appl. Stat. 2 (2008) 1360, give
//! that width), products four times as wide. The fit is the top of prior times likelihood,
//! found by Newton's steps; its spread is the curvature there.

use nalgebra::{DMatrix, DVector};

use super::belief::{Belief, Scatter, prior_variances};
use super::bell::NORMAL_90;
use super::least_squares::dot;
use super::model::{MixtureModel, Term, row};

/// How far the log-odds of an end lie from those of all tiles, one standard deviation.
pub const END_LOG_ODDS: f64 = 2.5;
/// Newton's steps at most.
const MOST_STEPS: usize = 200;

/// One tile, or several of one blend: how many said yes.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted {
    /// Shares of the ends.
    pub shares: Vec<f64>,
    /// How many said yes.
    pub yes: f64,
    /// Of how many.
    pub of: f64,
}

/// A fitted logistic model.
#[derive(Debug, Clone)]
pub struct LogisticFit {
    /// Which model the log-odds follow: straight-line or quadratic.
    pub model: MixtureModel,
    /// Its terms.
    pub terms: Vec<Term>,
    /// A coefficient for each, in log-odds.
    pub coefficients: Vec<f64>,
    /// Their standard deviations, the prior included.
    pub standard_errors: Vec<f64>,
    /// The share of the deviance about one common chance that the model takes away.
    pub deviance_explained: f64,
    /// Root mean square of the chance given to each tile by the others, against what it
    /// said (one Newton step from the full fit).
    pub leave_one_out: f64,
    pub(super) belief: Belief,
}

/// The chance that belongs to log-odds.
pub fn chance(log_odds: f64) -> f64 {
    1.0 / (1.0 + (-log_odds).exp())
}

impl LogisticFit {
    /// Fits the model to tiles over this many ends; `None` where all said the same.
    pub fn of(model: MixtureModel, ends: usize, tiles: &[Counted]) -> Option<LogisticFit> {
        let yes: f64 = tiles.iter().map(|tile| tile.yes).sum();
        let of: f64 = tiles.iter().map(|tile| tile.of).sum();
        if yes <= 0.0 || yes >= of {
            return None;
        }
        let terms = model.terms(ends);
        let common = (yes / (of - yes)).ln();
        let centre: Vec<f64> = terms
            .iter()
            .map(|term| if term.ends.len() == 1 { common } else { 0.0 })
            .collect();
        let rows: Vec<Vec<f64>> = tiles.iter().map(|tile| row(&terms, &tile.shares)).collect();
        let problem = Problem {
            tiles,
            rows: &rows,
            centre: &centre,
            prior: &prior_variances(&terms, END_LOG_ODDS),
        };
        let (coefficients, covariance) = problem.solve()?;
        let deviance = 2.0 * problem.misfit(&coefficients);
        let about_common: f64 = 2.0 * tiles.iter().map(|tile| misfit(tile, common)).sum::<f64>();
        let leave_one_out = problem.leave_one_out(&coefficients, &covariance);
        Some(LogisticFit {
            model,
            standard_errors: (0..terms.len())
                .map(|place| covariance[(place, place)].sqrt())
                .collect(),
            deviance_explained: 1.0 - deviance / about_common,
            leave_one_out,
            belief: Belief {
                terms: terms.clone(),
                mean: DVector::from_vec(coefficients.clone()),
                covariance,
                scatter: Scatter::Chance {
                    pieces: of / tiles.len() as f64,
                },
            },
            coefficients,
            terms,
        })
    }

    /// The name in JSON.
    pub fn name(&self) -> String {
        format!("logistic-{}", self.model.name())
    }

    /// Log-odds of yes at a blend: middle and the ends of the 90 % band.
    pub fn log_odds(&self, shares: &[f64]) -> (f64, f64, f64) {
        let middle = self.belief.value(shares);
        let half = NORMAL_90 * self.belief.variance(shares).max(0.0).sqrt();
        (middle, middle - half, middle + half)
    }
}

/// Minus the logarithm of the likelihood of what a tile said.
fn misfit(tile: &Counted, log_odds: f64) -> f64 {
    // ln(1 + e^x) without overflow.
    let softplus = log_odds.max(0.0) + (-log_odds.abs()).exp().ln_1p();
    tile.of * softplus - tile.yes * log_odds
}

struct Problem<'a> {
    tiles: &'a [Counted],
    rows: &'a [Vec<f64>],
    centre: &'a [f64],
    prior: &'a [f64],
}

impl Problem<'_> {
    fn misfit(&self, coefficients: &[f64]) -> f64 {
        let tiles = self.tiles.iter().zip(self.rows);
        tiles.map(|(tile, row)| misfit(tile, dot(row, coefficients))).sum()
    }

    /// What is made least: misfit and distance from the prior.
    fn loss(&self, coefficients: &[f64]) -> f64 {
        let prior: f64 = coefficients
            .iter()
            .zip(self.centre)
            .zip(self.prior)
            .map(|((coefficient, centre), variance)| 0.5 * (coefficient - centre).powi(2) / variance)
            .sum();
        self.misfit(coefficients) + prior
    }

    /// Newton's method with halved steps; the loss is convex. Coefficients and covariance.
    fn solve(&self) -> Option<(Vec<f64>, DMatrix<f64>)> {
        let mut here = self.centre.to_vec();
        for _ in 0..MOST_STEPS {
            let (gradient, curvature) = self.slope(&here);
            let step = curvature.cholesky()?.solve(&gradient);
            let now = self.loss(&here);
            let mut share = 1.0;
            let moved = loop {
                let there: Vec<f64> = here.iter().zip(step.iter()).map(|(x, by)| x - share * by).collect();
                if self.loss(&there) < now {
                    break Some(there);
                }
                share *= 0.5;
                if share < 1e-9 {
                    break None;
                }
            };
            match moved {
                Some(there) => here = there,
                None => break,
            }
            if step.amax() < 1e-12 {
                break;
            }
        }
        let covariance = self.slope(&here).1.cholesky()?.inverse();
        Some((here, covariance))
    }

    /// The loss's gradient and second derivatives.
    fn slope(&self, coefficients: &[f64]) -> (DVector<f64>, DMatrix<f64>) {
        let count = coefficients.len();
        let mut gradient = DVector::zeros(count);
        let mut curvature = DMatrix::zeros(count, count);
        for place in 0..count {
            gradient[place] = (coefficients[place] - self.centre[place]) / self.prior[place];
            curvature[(place, place)] = 1.0 / self.prior[place];
        }
        for (tile, row) in self.tiles.iter().zip(self.rows) {
            let chance = chance(dot(row, coefficients));
            let terms = DVector::from_column_slice(row);
            gradient.axpy(tile.of * chance - tile.yes, &terms, 1.0);
            curvature.ger(tile.of * chance * (1.0 - chance), &terms, &terms, 1.0);
        }
        (gradient, curvature)
    }

    fn leave_one_out(&self, coefficients: &[f64], covariance: &DMatrix<f64>) -> f64 {
        let (mut squares, mut weight) = (0.0, 0.0);
        for (tile, row) in self.tiles.iter().zip(self.rows) {
            let log_odds = dot(row, coefficients);
            let fitted = chance(log_odds);
            let terms = DVector::from_column_slice(row);
            let leverage = (covariance * &terms).dot(&terms);
            let held = 1.0 - tile.of * fitted * (1.0 - fitted) * leverage;
            let without = log_odds - (tile.yes - tile.of * fitted) * leverage / held.max(1e-9);
            squares += tile.of * (tile.yes / tile.of - chance(without)).powi(2);
            weight += tile.of;
        }
        (squares / weight).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tile(a: f64, yes: f64, of: f64) -> Counted {
        Counted {
            shares: vec![a, 1.0 - a],
            yes,
            of,
        }
    }

    /// Two of five said yes: by the chances themselves.
    #[test]
    fn a_tile_misfits_by_the_chance_of_what_it_said() {
        for log_odds in [-3.0, -0.4, 0.0, 0.7, 2.5] {
            let chance = 1.0 / (1.0 + f64::exp(-log_odds));
            let plain = -(2.0 * chance.ln() + 3.0 * (1.0 - chance).ln());
            let ours = misfit(&tile(0.5, 2.0, 5.0), log_odds);
            assert!((ours - plain).abs() < 1e-12, "{log_odds}: {ours} {plain}");
        }
    }

    #[test]
    fn a_clean_divide_does_not_run_off_to_certainty() {
        let tiles: Vec<Counted> = (0..=10)
            .map(|step| tile(f64::from(step) / 10.0, f64::from(u8::from(step > 5)), 1.0))
            .collect();
        let Some(fit) = LogisticFit::of(MixtureModel::Linear, 2, &tiles) else {
            panic!("a fit")
        };
        assert!(
            fit.coefficients.iter().all(|value| value.abs() < 8.0),
            "{:?}",
            fit.coefficients
        );
        let (middle, low, high) = fit.log_odds(&[1.0, 0.0]);
        assert!(low < middle && middle < high && chance(middle) > 0.9);
        assert!(fit.leave_one_out < 0.4);
    }

    #[test]
    fn many_pieces_bring_the_shares_that_crazed() {
        let tiles = [tile(1.0, 800.0, 1000.0), tile(0.0, 200.0, 1000.0)];
        let Some(fit) = LogisticFit::of(MixtureModel::Linear, 2, &tiles) else {
            panic!("a fit")
        };
        assert!((chance(fit.log_odds(&[1.0, 0.0]).0) - 0.8).abs() < 0.001);
        assert!((chance(fit.log_odds(&[0.5, 0.5]).0) - 0.5).abs() < 1e-9);
        assert!(LogisticFit::of(MixtureModel::Linear, 2, &[tile(0.5, 3.0, 3.0)]).is_none());
    }
}
