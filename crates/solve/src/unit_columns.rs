//! A least-squares problem made ready: unit-norm columns, padded for the inner loops.

use super::dense::{dot, padded};
use super::error::{KernelError, check};

/// Columns shorter than this count as zero: their square would underflow.
const SHORTEST: f64 = 1e-140;

/// `min |A x - b|^2` with each column of `A` divided by its norm.
///
/// Invariants: every column has norm 1 or is exactly zero (its `norm` is then 0);
/// padding is zero; `projection[j] = column(j) . rhs`.
#[derive(Debug, Clone, Default)]
pub(crate) struct UnitColumns {
    /// Number of rows, unpadded.
    pub rows: usize,
    /// Number of columns.
    pub count: usize,
    /// Length of a stored column.
    stride: usize,
    columns: Vec<f64>,
    /// Norm of each original column; 0 for a zero column.
    pub norms: Vec<f64>,
    /// Right-hand side, padded.
    pub rhs: Vec<f64>,
    /// `b . b`
    pub rhs_squared: f64,
    /// `A' b` in unit columns.
    pub projection: Vec<f64>,
    /// `A' A` in unit columns, row-major; empty until [`UnitColumns::fill_gram`].
    gram: Vec<f64>,
}

impl UnitColumns {
    /// Reads column-major `columns` (`rhs.len()` rows) and `rhs`, each row times its weight.
    pub fn load(&mut self, columns: &[f64], rhs: &[f64], weights: Option<&[f64]>) -> Result<(), KernelError> {
        let rows = rhs.len();
        let count = columns.len().checked_div(rows).unwrap_or(0);
        check("rhs", rhs, rows)?;
        check("columns", columns, rows * count)?;
        if let Some(weights) = weights {
            check("weights", weights, rows)?;
        }
        self.rows = rows;
        self.count = count;
        self.stride = padded(rows);
        self.gram.clear();
        self.rhs.clear();
        self.rhs.resize(self.stride, 0.0);
        self.columns.clear();
        self.columns.resize(self.stride * count, 0.0);
        self.norms.clear();
        self.projection.clear();
        weigh(&mut self.rhs, rhs, weights, 1.0);
        self.rhs_squared = dot(&self.rhs, &self.rhs);
        if !self.rhs_squared.is_finite() {
            return Err(KernelError::NotFinite {
                what: "weighted rhs",
                index: 0,
            });
        }
        for j in 0..count {
            let stored = &mut self.columns[j * self.stride..(j + 1) * self.stride];
            let given = &columns[j * rows..(j + 1) * rows];
            weigh(stored, given, weights, 1.0);
            let norm = dot(stored, stored).sqrt();
            if !norm.is_finite() {
                return Err(KernelError::NotFinite {
                    what: "weighted columns",
                    index: j * rows,
                });
            }
            let norm = if norm > SHORTEST { norm } else { 0.0 };
            let scale = if norm > 0.0 { 1.0 / norm } else { 0.0 };
            weigh(stored, given, weights, scale);
            self.norms.push(norm);
            self.projection.push(dot(stored, &self.rhs));
        }
        Ok(())
    }

    /// Computes every inner product once, for callers that solve many subsets.
    pub fn fill_gram(&mut self) {
        let n = self.count;
        self.gram.clear();
        let mut gram = std::mem::take(&mut self.gram);
        gram.resize(n * n, 0.0);
        for i in 0..n {
            for j in 0..=i {
                let value = dot(self.column(i), self.column(j));
                gram[i * n + j] = value;
                gram[j * n + i] = value;
            }
        }
        self.gram = gram;
    }

    /// Unit column `j`, padded.
    #[inline(always)]
    pub fn column(&self, j: usize) -> &[f64] {
        &self.columns[j * self.stride..(j + 1) * self.stride]
    }

    /// The inner products of column `i` with all columns; [`UnitColumns::fill_gram`] first.
    pub fn gram_row(&self, i: usize) -> &[f64] {
        &self.gram[i * self.count..(i + 1) * self.count]
    }

    /// Inner product of columns `i` and `j`.
    #[inline(always)]
    pub fn inner(&self, i: usize, j: usize) -> f64 {
        if self.gram.is_empty() {
            dot(self.column(i), self.column(j))
        } else {
            self.gram[i * self.count + j]
        }
    }
}

/// `out = scale * weights * values`, the padding of `out` left as it is.
#[inline(always)]
fn weigh(out: &mut [f64], values: &[f64], weights: Option<&[f64]>, scale: f64) {
    match weights {
        Some(weights) => {
            for ((out, value), weight) in out.iter_mut().zip(values).zip(weights) {
                *out = value * weight * scale;
            }
        }
        None => {
            for (out, value) in out.iter_mut().zip(values) {
                *out = value * scale;
            }
        }
    }
}
