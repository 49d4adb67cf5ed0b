//! The tile that would teach most about the glazes that a studio has.

use nalgebra::{DMatrix, DVector};

use super::features::{Features, features};
use super::learn::Studio;
use super::made::Made;

/// A tile that could be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What it would be.
    pub made: Made,
    /// The glazes that it is of: one as it is, or two halves.
    pub of: Vec<String>,
}

/// What a tile would teach.
#[derive(Debug, Clone, PartialEq)]
pub struct Teaching {
    /// The tile.
    pub candidate: Candidate,
    /// Standard deviation over the studio's glazes now, in grades.
    pub doubt: f64,
    /// And once the tile is graded.
    pub doubt_after: f64,
}

impl Studio {
    /// The candidates that would lessen the doubt about these glazes most, best first; the
    /// first of those that are equal.
    pub fn teaching(&self, glazes: &[Made], candidates: &[Candidate], show: usize) -> Vec<Teaching> {
        let targets: Vec<Features> = glazes.iter().map(features).collect();
        let own: Vec<Features> = candidates.iter().map(|candidate| features(&candidate.made)).collect();
        let all: Vec<&Features> = targets.iter().chain(&own).collect();
        let (covariance, noise) = self.covariance(&all, targets.len());
        let before: f64 = (0..targets.len()).map(|target| covariance[(target, target)]).sum();
        let count = targets.len().max(1) as f64;
        let root = |variance: f64| self.unit() * (variance.max(0.0) / count).sqrt();
        let mut found: Vec<Teaching> = Vec::new();
        for (number, candidate) in candidates.iter().enumerate() {
            let at = targets.len() + number;
            let variance = covariance[(at, at)] + noise;
            let fall: f64 = (0..targets.len())
                .map(|target| covariance[(target, at)].powi(2) / variance)
                .sum();
            found.push(Teaching {
                candidate: candidate.clone(),
                doubt: root(before),
                doubt_after: root(before - fall),
            });
        }
        found.sort_by(|a, b| a.doubt_after.total_cmp(&b.doubt_after));
        found.truncate(show);
        found
    }

    /// Covariances after all that was graded: of the targets among themselves on the
    /// diagonal, of each target with each candidate, of each candidate with itself; and the
    /// variance of one grade.
    fn covariance(&self, all: &[&Features], targets: usize) -> (DMatrix<f64>, f64) {
        let mut covariance = DMatrix::zeros(all.len(), all.len());
        let mut means: Vec<(f64, DVector<f64>)> = Vec::new();
        let mut noise = 0.0;
        for believed in &self.believed {
            let beside: Vec<(DVector<f64>, f64)> = all.iter().map(|own| self.beside(believed, own)).collect();
            let with = DMatrix::from_fn(self.places(), all.len(), |place, thing| beside[thing].0[place]);
            let solved = believed.factor.solve(&with);
            let factor = believed.weight * believed.scale;
            for i in 0..all.len() {
                covariance[(i, i)] += factor * (beside[i].1 - with.column(i).dot(&solved.column(i))).max(1e-12);
            }
            for i in 0..targets {
                for j in targets..all.len() {
                    let before = self.before(believed, all[i], all[j]);
                    covariance[(i, j)] += factor * (before - with.column(i).dot(&solved.column(j)));
                }
            }
            means.push((believed.weight, with.transpose() * &believed.slope));
            noise += factor * believed.kernel.noise().powi(2);
        }
        let average = means
            .iter()
            .fold(DVector::zeros(all.len()), |sum, (weight, mean)| sum + mean * *weight);
        for (weight, mean) in &means {
            let apart = mean - &average;
            for i in 0..all.len() {
                covariance[(i, i)] += weight * apart[i].powi(2);
            }
            for i in 0..targets {
                for j in targets..all.len() {
                    covariance[(i, j)] += weight * apart[i] * apart[j];
                }
            }
        }
        (covariance, noise)
    }
}
