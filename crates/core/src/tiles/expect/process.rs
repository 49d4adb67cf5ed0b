//! A Gaussian process over things that were made, its scales averaged over a fixed grid.
//!
//! In units of the grades' scatter: K = H H' + r^2 M(d / l) + c^2 [same clay] + e^2 / n I,
//! H = (2, the trade's variables over their scatter), M the Matern kernel of 5/2
//! (Rasmussen & Williams 2006, 4.2), n the grades of one thing. The overall scale is
//! integrated out (inverse gamma, nu0 = 4), as in the model of blends; grades of one thing
//! among themselves speak for e alone, which is exact.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Reaches l of the kernel, in clear changes.
const REACHES: [f64; 3] = [1.0, 2.0, 4.0];
/// Weights r of what the trend doesn't tell.
const RESTS: [f64; 2] = [0.5, 1.0];
/// Scatters e of one grade.
const NOISES: [f64; 5] = [0.1, 0.2, 0.4, 0.7, 1.0];
/// Weight c of the clay.
const CLAY: f64 = 0.3;
/// Weight of the level in H.
const LEVEL: f64 = 2.0;
const NU: f64 = 4.0;
/// Weights below this share of the whole are left out.
const LEAST_WEIGHT: f64 = 1e-3;
const JITTER: f64 = 1e-8;

/// How two things stand to each other, and each to the trend.
pub(super) struct Places<'a> {
    /// Distance and whether on one clay, of things `i` and `j`.
    pub pair: &'a dyn Fn(usize, usize) -> (f64, bool),
    /// The trend's variables of each thing over their scatter.
    pub trend: &'a [Vec<f64>],
    /// Mean grade of each thing, less the mean of all and over their scatter.
    pub y: &'a DVector<f64>,
    /// Grades of each thing.
    pub counts: &'a [f64],
    /// Sum of squares of grades about their own things' means, over the scatter's square.
    pub within: f64,
}

/// One kernel of the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Kernel {
    reach: f64,
    rest: f64,
    noise: f64,
}

impl Kernel {
    fn grid() -> Vec<Kernel> {
        let flat = NOISES.map(|noise| Kernel {
            reach: 1.0,
            rest: 0.0,
            noise,
        });
        let mut grid = flat.to_vec();
        for reach in REACHES {
            for rest in RESTS {
                grid.extend(NOISES.map(|noise| Kernel { reach, rest, noise }));
            }
        }
        grid
    }

    fn matern(self, distance: f64) -> f64 {
        let s = 5.0_f64.sqrt() * distance / self.reach;
        (1.0 + s + s * s / 3.0) * (-s).exp()
    }

    /// Of the grades' level without noise.
    pub fn between(self, pair: (f64, bool), one: &[f64], other: &[f64]) -> f64 {
        let trend: f64 = one.iter().zip(other).map(|(own, other)| own * other).sum();
        let clay = if pair.1 { CLAY * CLAY } else { 0.0 };
        LEVEL * LEVEL + trend + clay + self.rest * self.rest * self.matern(pair.0)
    }

    /// Of a thing with itself.
    pub fn own(self, trend: &[f64]) -> f64 {
        self.between((0.0, true), trend, trend)
    }

    pub fn noise(self) -> f64 {
        self.noise
    }
}

/// A kernel that the grades believe in.
pub(super) struct Believed {
    pub kernel: Kernel,
    pub weight: f64,
    /// Variance of the scale, moment matched.
    pub scale: f64,
    pub factor: Cholesky<f64, Dyn>,
    /// K^-1 y
    pub slope: DVector<f64>,
}

/// The kernels by the grades' evidence, the negligible ones left out.
pub(super) fn believed(places: &Places<'_>) -> Vec<Believed> {
    let count = places.y.len();
    let grades: f64 = places.counts.iter().sum();
    let mut found: Vec<(f64, Believed)> = Vec::new();
    for kernel in Kernel::grid() {
        let mut matrix = DMatrix::zeros(count, count);
        for i in 0..count {
            for j in 0..=i {
                let value = kernel.between((places.pair)(i, j), &places.trend[i], &places.trend[j]);
                matrix[(i, j)] = value;
                matrix[(j, i)] = value;
            }
            matrix[(i, i)] = kernel.own(&places.trend[i]) + kernel.noise.powi(2) / places.counts[i] + JITTER;
        }
        let Some(factor) = Cholesky::new(matrix) else { continue };
        let slope = factor.solve(places.y);
        let square = places.y.dot(&slope) + places.within / kernel.noise.powi(2);
        let lower = factor.l_dirty();
        let half_log: f64 = (0..count).map(|i| lower[(i, i)].ln()).sum();
        let evidence =
            -half_log - (grades - count as f64) * kernel.noise.ln() - 0.5 * (NU + grades) * (1.0 + square / NU).ln();
        let scale = (NU + square) / (NU + grades - 2.0);
        let believed = Believed {
            kernel,
            weight: 0.0,
            scale,
            factor,
            slope,
        };
        found.push((evidence, believed));
    }
    weighed(found)
}

fn weighed(found: Vec<(f64, Believed)>) -> Vec<Believed> {
    let best = found
        .iter()
        .map(|(evidence, _)| *evidence)
        .fold(f64::NEG_INFINITY, f64::max);
    let mut kept: Vec<Believed> = found
        .into_iter()
        .map(|(evidence, believed)| Believed {
            weight: (evidence - best).exp(),
            ..believed
        })
        .filter(|believed| believed.weight >= LEAST_WEIGHT)
        .collect();
    let total: f64 = kept.iter().map(|believed| believed.weight).sum();
    kept.iter_mut().for_each(|believed| believed.weight /= total);
    kept
}

/// What the grades say of a thing, in units of their scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Guess {
    pub mean: f64,
    /// Variance of its level.
    pub level: f64,
    /// Variance of one grade of it beside that.
    pub noise: f64,
}

/// Of several guesses by weight.
pub(super) fn averaged(guesses: &[(f64, Guess)]) -> Guess {
    let sum = |of: &dyn Fn(&Guess) -> f64| guesses.iter().map(|(weight, guess)| weight * of(guess)).sum::<f64>();
    let mean = sum(&|guess| guess.mean);
    Guess {
        mean,
        level: sum(&|guess| guess.level + (guess.mean - mean).powi(2)),
        noise: sum(&|guess| guess.noise),
    }
}

impl Believed {
    /// The guess at a thing, by its covariances with those that were made and its own.
    pub fn guess(&self, with_made: &DVector<f64>, own: f64) -> Guess {
        let solved = self.factor.solve(with_made);
        Guess {
            mean: with_made.dot(&self.slope),
            level: self.scale * (own - with_made.dot(&solved)).max(1e-12),
            noise: self.scale * self.kernel.noise.powi(2),
        }
    }

    /// Guesses at things that were made, with these left out together: the block of the
    /// inverse gives them at once (Rasmussen & Williams 2006, 5.4.2).
    pub fn left_out(&self, inverse: &DMatrix<f64>, out: &[usize], y: &DVector<f64>, counts: &[f64]) -> Vec<Guess> {
        let size = out.len();
        let block = DMatrix::from_fn(size, size, |i, j| inverse[(out[i], out[j])]);
        let slope = DVector::from_fn(size, |i, _| self.slope[out[i]]);
        let Some(factor) = Cholesky::new(block) else {
            return Vec::new();
        };
        let misses = factor.solve(&slope);
        let variances = factor.inverse();
        let guess = |i: usize| {
            let of_mean = self.kernel.noise.powi(2) / counts[out[i]];
            Guess {
                mean: y[out[i]] - misses[i],
                level: self.scale * (variances[(i, i)] - of_mean).max(1e-12),
                noise: self.scale * self.kernel.noise.powi(2),
            }
        };
        (0..size).map(guess).collect()
    }
}
