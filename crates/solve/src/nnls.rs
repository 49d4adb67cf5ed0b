//! Weighted non-negative least squares: `min |W (A x - b)|^2` over `x >= 0`.
//!
//! The active-set method of Lawson & Hanson (1974) on unit-norm columns; its steps are in
//! the module `active_set`. Answers are in the caller's units; ties go to the lower column;
//! a column of zeros (or shorter than 1e-140) gets the amount zero.

use super::active_set::ActiveSet;
use super::error::KernelError;
use super::unit_columns::UnitColumns;

/// Gradients up to this times `|b|` (unit columns) count as zero.
const GRADIENT_TOLERANCE: f64 = 1e-12;

/// The optimum of one problem.
#[derive(Debug, Clone, PartialEq)]
pub struct NnlsSolution {
    /// Amount of each column, `>= 0`, in the caller's units (rhs over column).
    pub x: Vec<f64>,
    /// How it was reached and how good it is.
    pub report: NnlsReport,
}

/// Quality of a solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NnlsReport {
    /// `|W (A x - b)|^2`
    pub squared_distance: f64,
    /// Largest gradient that still points inwards, per unit-norm column, over `|W b|`:
    /// how far the optimality conditions are missed. Normally below 1e-12.
    pub optimality_gap: f64,
    /// Columns that entered the passive set.
    pub steps: usize,
}

/// Buffers for solving many problems; grows to the largest and is then free of allocation.
///
/// ```
/// use glost_solve::nnls::NnlsWorkspace;
/// // two columns (1, 0) and (1, 1), right-hand side (1, -1)
/// let solution = NnlsWorkspace::new().solve(&[1.0, 0.0, 1.0, 1.0], &[1.0, -1.0])?;
/// assert_eq!(solution.x, [1.0, 0.0]);
/// assert_eq!(solution.report.squared_distance, 1.0);
/// # Ok::<(), glost_solve::KernelError>(())
/// ```
#[derive(Debug, Clone, Default)]
pub struct NnlsWorkspace {
    problem: UnitColumns,
    every_column: Vec<usize>,
    active: ActiveSet,
}

impl NnlsWorkspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// Solves for column-major `columns` (`rhs.len()` rows each) and `rhs`.
    ///
    /// # Errors
    /// A length that is not a multiple of `rhs.len()`, or a number that is not finite
    /// (or beyond 1e140).
    pub fn solve(&mut self, columns: &[f64], rhs: &[f64]) -> Result<NnlsSolution, KernelError> {
        self.solve_weighted(columns, rhs, None)
    }

    /// As [`NnlsWorkspace::solve`], each row of `columns` and `rhs` times its weight (one
    /// over its tolerance, so that the distance counts tolerances).
    ///
    /// # Errors
    /// As [`NnlsWorkspace::solve`]; the weights are checked alike.
    pub fn solve_weighted(
        &mut self,
        columns: &[f64],
        rhs: &[f64],
        weights: Option<&[f64]>,
    ) -> Result<NnlsSolution, KernelError> {
        let mut x = vec![0.0; columns.len().checked_div(rhs.len()).unwrap_or(0)];
        let report = self.solve_into(columns, rhs, weights, &mut x)?;
        Ok(NnlsSolution { x, report })
    }

    /// Writes the amounts into `x` and allocates nothing once the workspace has grown.
    ///
    /// # Errors
    /// As [`NnlsWorkspace::solve_weighted`]; `x` must have one place per column.
    pub fn solve_into(
        &mut self,
        columns: &[f64],
        rhs: &[f64],
        weights: Option<&[f64]>,
        x: &mut [f64],
    ) -> Result<NnlsReport, KernelError> {
        self.problem.load(columns, rhs, weights)?;
        let count = self.problem.count;
        if x.len() != count {
            return Err(KernelError::Shape {
                what: "x",
                expected: count,
                found: x.len(),
            });
        }
        self.every_column.clear();
        self.every_column.extend(0..count);
        let tolerance = GRADIENT_TOLERANCE * self.problem.rhs_squared.sqrt();
        self.active.solve(&self.problem, &self.every_column, None, tolerance);
        self.active.write_amounts(&self.problem, x);
        Ok(self.active.report(&self.problem))
    }
}
