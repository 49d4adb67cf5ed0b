//! What the tiles leave open: a spread of surfaces, not one.
//!
//! A Bayesian straight-line regression on a model's terms with a weak prior: the ends lie
//! about the mean grade, a product may bend the surface by as much as the grades range.
//! It knows something even where least squares knows nothing, and it is what the advice on
//! the next tiles weighs. The fitted coefficients never go through it.

use nalgebra::{DMatrix, DVector};

use super::fit::Graded;
use super::least_squares::dot;
use super::model::{Term, row};

/// The prior's standard deviation of an end, over the range of the grades.
const END_SPREAD: f64 = 1.0;
/// How much wider a product's coefficient may lie than an end's: a product of two shares
/// is 1/4 at most, of three 1/27.
const PRODUCT_SPREAD: [f64; 3] = [1.0, 4.0, 27.0];
/// The scatter of one tile before any is made again, over the range of the grades
/// (common practice, no source), and how many spare tiles that guess counts as.
const GUESSED_SCATTER: (f64, f64) = (0.05, 4.0);

/// A spread of surfaces.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    /// The terms.
    pub(super) terms: Vec<Term>,
    /// Means of the coefficients.
    pub(super) mean: DVector<f64>,
    /// Their covariance.
    pub(super) covariance: DMatrix<f64>,
    /// Variance of one tile about the surface; for yes or no it follows from the chance.
    pub(super) scatter: Scatter,
}

/// How far one tile lies from the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scatter {
    /// The same variance everywhere.
    Even(f64),
    /// Yes or no of so many pieces: on log-odds, one over `pieces p (1 - p)`.
    Chance {
        /// Pieces looked at a tile.
        pieces: f64,
    },
}

/// The prior's covariance as its diagonal, for ends that spread so far.
pub(super) fn prior_variances(terms: &[Term], end_spread: f64) -> Vec<f64> {
    terms
        .iter()
        .map(|term| {
            let wider = PRODUCT_SPREAD.get(term.ends.len() - 1).copied().unwrap_or(1.0);
            (wider * end_spread).powi(2)
        })
        .collect()
}

impl Belief {
    /// From graded tiles; `None` where none differs from another.
    pub(super) fn of(terms: Vec<Term>, tiles: &[Graded]) -> Option<Belief> {
        let values: Vec<f64> = tiles.iter().map(|tile| tile.value).collect();
        let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
        let range = highest - lowest;
        if range <= 0.0 || !range.is_finite() {
            return None;
        }
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let count = terms.len();
        let rows: Vec<Vec<f64>> = tiles.iter().map(|tile| row(&terms, &tile.shares)).collect();
        let design = DMatrix::from_fn(rows.len(), count, |line, column| rows[line][column]);
        let off_mean = DVector::from_iterator(values.len(), values.iter().map(|value| value - mean));
        let gram = design.transpose() * &design;
        let moment = design.transpose() * &off_mean;
        let prior = prior_variances(&terms, END_SPREAD * range);
        let (share, weight) = GUESSED_SCATTER;
        let guessed = (share * range).powi(2);
        let mut variance = guessed;
        let mut found = None;
        // The scatter decides how far the tiles are trusted, and that decides the scatter.
        for _ in 0..6 {
            let mut precision = &gram / variance;
            for (place, prior) in prior.iter().enumerate() {
                precision[(place, place)] += 1.0 / prior;
            }
            let covariance = precision.cholesky()?.inverse();
            let coefficients = &covariance * &moment / variance;
            let left = (&off_mean - &design * &coefficients).norm_squared();
            let spare = values.len().saturating_sub(count) as f64;
            variance = (weight * guessed + left) / (weight + spare);
            found = Some((coefficients, covariance));
        }
        let (mut coefficients, covariance) = found?;
        for (place, term) in terms.iter().enumerate() {
            if term.ends.len() == 1 {
                coefficients[place] += mean;
            }
        }
        Some(Belief {
            terms,
            mean: coefficients,
            covariance,
            scatter: Scatter::Even(variance),
        })
    }

    /// The mean of the surface at a blend.
    pub(super) fn value(&self, shares: &[f64]) -> f64 {
        dot(&row(&self.terms, shares), self.mean.as_slice())
    }

    /// The surface's variance at a blend.
    pub(super) fn variance(&self, shares: &[f64]) -> f64 {
        let terms = DVector::from_vec(row(&self.terms, shares));
        (&self.covariance * &terms).dot(&terms)
    }

    /// The covariance of the coefficients with the surface at a blend.
    pub(super) fn along(&self, shares: &[f64]) -> Vec<f64> {
        let terms = DVector::from_vec(row(&self.terms, shares));
        (&self.covariance * &terms).as_slice().to_vec()
    }

    /// The variance of one tile about the surface at a blend of this mean.
    pub(super) fn scatter_at(&self, mean: f64) -> f64 {
        match self.scatter {
            Scatter::Even(variance) => variance,
            Scatter::Chance { pieces } => {
                let chance = 1.0 / (1.0 + (-mean).exp());
                1.0 / (pieces * chance * (1.0 - chance)).max(1e-6)
            }
        }
    }

    /// What is left open after one more tile at a blend; the mean stays, for nobody
    /// knows yet how it turns out.
    pub(super) fn after_a_tile(&self, shares: &[f64]) -> Belief {
        let terms = DVector::from_vec(row(&self.terms, shares));
        let along = &self.covariance * &terms;
        let total = along.dot(&terms) + self.scatter_at(self.value(shares));
        Belief {
            covariance: &self.covariance - &along * along.transpose() / total,
            ..self.clone()
        }
    }
}
