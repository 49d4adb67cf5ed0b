//! What a finished run says: objective, multipliers, and whether they prove a linear
//! programme's point optimal.

use super::super::dense::dot;
use super::dual::DualActiveSet;
use super::matrices::back_substitute;
use super::{Hessian, QuadraticProgram};

impl DualActiveSet {
    /// `1/2 x'Hx + q'x` at the point.
    pub fn objective(&self, program: &QuadraticProgram) -> f64 {
        let n = self.n;
        (0..n)
            .map(|i| {
                let curved = match program.hessian {
                    Hessian::Diagonal(diagonal) => diagonal[i] * self.x[i],
                    Hessian::Dense(matrix) => dot(&matrix[i * n..(i + 1) * n], &self.x),
                };
                self.x[i] * (0.5 * curved + program.linear[i])
            })
            .sum()
    }

    /// Index and multiplier of the active limits, for the caller's rows; positive for a
    /// lower limit.
    pub fn signed_multipliers(&self) -> impl Iterator<Item = (usize, f64)> {
        self.active.iter().zip(&self.multipliers).map(|(limit, multiplier)| {
            let scale = self.norms.get(limit.index).copied().unwrap_or(1.0);
            (limit.index, limit.sign * multiplier / scale)
        })
    }

    /// The multipliers times their bounds: the dual objective of a linear programme.
    pub fn dual_value(&self, program: &QuadraticProgram) -> f64 {
        let terms = self.active.iter().zip(&self.multipliers);
        terms
            .map(|(limit, u)| u * limit.sign * self.bound(program, *limit))
            .sum()
    }

    /// Fits `cost` as a combination of the active normals and makes the weights the
    /// multipliers. Returns the share of `cost` that no combination gives, and the most
    /// negative weight of an inequality over the largest weight.
    pub fn explain_cost(&mut self, cost: &[f64]) -> (f64, f64) {
        let (n, k) = (self.n, self.active.len());
        for (d, column) in self.d.iter_mut().zip(self.j.chunks_exact(n.max(1))) {
            *d = dot(column, cost);
        }
        let rest = dot(&self.d[k..], &self.d[k..]).sqrt();
        let all = dot(&self.d, &self.d).sqrt();
        self.multipliers.copy_from_slice(&self.d[..k]);
        back_substitute(&self.r, n, &mut self.multipliers);
        let largest = self.multipliers.iter().fold(0.0f64, |a, v| a.max(v.abs()));
        let inequalities = self.active.iter().zip(&self.multipliers).filter(|(l, _)| !l.equality);
        let lowest = inequalities.fold(0.0f64, |a, (_, v)| a.min(*v));
        (
            if all > 0.0 { rest / all } else { 0.0 },
            if largest > 0.0 { lowest / largest } else { 0.0 },
        )
    }
}
