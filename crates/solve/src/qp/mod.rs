//! Dense strictly convex quadratic programmes:
//! `min 1/2 x'Hx + q'x` with `row_lower <= A x <= row_upper` and `lower <= x <= upper`.
//!
//! One file per part:
//! * `dual`: the dual active-set method of Goldfarb & Idnani;
//! * `matrices`: the two matrices that method keeps;
//! * `outcome`: objective and multipliers of a finished run;
//! * `conflict`: why no point satisfies the rows, cut down to a set where none can go;
//! * this file: the programme, its answer, the multipliers.
//!
//! Scale the variables so that they count in ones to thousands; rows are scaled to norm 1
//! inside. A limit is met when it is missed by less than about 1e-12 of the numbers in it.

mod conflict;
mod dual;
mod matrices;
mod outcome;

use super::error::{KernelError, check, check_limits};
pub(crate) use dual::{DualActiveSet, Status};

/// The matrix `H`, positive definite.
#[derive(Debug, Clone, Copy)]
pub enum Hessian<'a> {
    /// Its diagonal.
    Diagonal(&'a [f64]),
    /// All of it, row-major and symmetric (only the lower triangle is read).
    Dense(&'a [f64]),
}

/// A programme, borrowed from the caller.
#[derive(Debug, Clone, Copy)]
pub struct QuadraticProgram<'a> {
    /// `H`
    pub hessian: Hessian<'a>,
    /// `q`, one per variable.
    pub linear: &'a [f64],
    /// `A`, row-major.
    pub rows: &'a [f64],
    /// Lower limit of each row, minus infinity for none; equal limits make an equality.
    pub row_lower: &'a [f64],
    /// Upper limit of each row, infinity for none.
    pub row_upper: &'a [f64],
    /// Lower limit of each variable.
    pub lower: &'a [f64],
    /// Upper limit of each variable.
    pub upper: &'a [f64],
}

impl QuadraticProgram<'_> {
    /// Number of variables.
    pub fn variables(&self) -> usize {
        self.linear.len()
    }

    fn check(&self) -> Result<(), KernelError> {
        let n = self.variables();
        let m = self.row_lower.len();
        match self.hessian {
            Hessian::Diagonal(diagonal) => check("hessian", diagonal, n)?,
            Hessian::Dense(matrix) => check("hessian", matrix, n * n)?,
        }
        check("linear", self.linear, n)?;
        check("rows", self.rows, m * n)?;
        check_limits("row limits", self.row_lower, self.row_upper, m)?;
        check_limits("variable limits", self.lower, self.upper, n)
    }
}

/// The optimum; unique, as `H` is positive definite.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct QpOptimum {
    /// The variables.
    pub x: Vec<f64>,
    /// `1/2 x'Hx + q'x`
    pub objective: f64,
    /// Change of the objective per unit of each row's limit: positive where the lower
    /// limit binds, negative where the upper one does, else zero.
    pub row_multipliers: Vec<f64>,
    /// The same for each variable's limits.
    pub bound_multipliers: Vec<f64>,
    /// Steps of the method.
    pub steps: usize,
}

/// Weights that show that no point exists: the weighted rows and variables sum to nothing,
/// their limits to more than nothing. Positive weights take the lower limit, negative ones
/// the upper.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Certificate {
    /// Row number and weight.
    pub rows: Vec<(usize, f64)>,
    /// Variable number and weight.
    pub bounds: Vec<(usize, f64)>,
}

/// The answer to a programme.
#[derive(Debug, Clone, PartialEq)]
pub enum QpOutcome {
    /// The best point.
    Optimal(QpOptimum),
    /// There is no point.
    Infeasible(Certificate),
}

/// Buffers for solving many programmes.
///
/// ```
/// use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};
/// // nearest point to (3, 1) with x + y = 2, x and y >= 0
/// let program = QuadraticProgram {
///     hessian: Hessian::Diagonal(&[1.0, 1.0]),
///     linear: &[-3.0, -1.0],
///     rows: &[1.0, 1.0],
///     row_lower: &[2.0],
///     row_upper: &[2.0],
///     lower: &[0.0, 0.0],
///     upper: &[f64::INFINITY; 2],
/// };
/// let QpOutcome::Optimal(optimum) = QpWorkspace::new().solve(&program)? else { panic!() };
/// assert_eq!(optimum.x, [2.0, 0.0]);
/// # Ok::<(), glost_solve::KernelError>(())
/// ```
#[derive(Debug, Clone, Default)]
pub struct QpWorkspace {
    dual: DualActiveSet,
    enabled: Vec<bool>,
}

impl QpWorkspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// Solves a programme.
    ///
    /// # Errors
    /// Lengths that do not fit, numbers that are not finite, a Hessian that is not positive
    /// definite, or (never seen) rounding that keeps the method from ending.
    pub fn solve(&mut self, program: &QuadraticProgram) -> Result<QpOutcome, KernelError> {
        let mut optimum = QpOptimum::default();
        Ok(if self.solve_into(program, &mut optimum)? {
            QpOutcome::Optimal(optimum)
        } else {
            QpOutcome::Infeasible(self.certificate(program))
        })
    }

    /// Writes the optimum into `out` and allocates nothing once both have grown. False if
    /// there is no point; [`QpWorkspace::certificate`] then tells why.
    ///
    /// # Errors
    /// As [`QpWorkspace::solve`].
    pub fn solve_into(&mut self, program: &QuadraticProgram, out: &mut QpOptimum) -> Result<bool, KernelError> {
        program.check()?;
        self.dual.factorise(program)?;
        let status = self.dual.run(program, None)?;
        if status == Status::Infeasible {
            return Ok(false);
        }
        let m = program.row_lower.len();
        out.x.clear();
        out.x.extend_from_slice(&self.dual.x);
        out.objective = self.dual.objective(program);
        out.row_multipliers.clear();
        out.row_multipliers.resize(m, 0.0);
        out.bound_multipliers.clear();
        out.bound_multipliers.resize(program.variables(), 0.0);
        for (index, multiplier) in self.dual.signed_multipliers() {
            if index < m {
                out.row_multipliers[index] = multiplier;
            } else {
                out.bound_multipliers[index - m] = multiplier;
            }
        }
        out.steps = self.dual.steps;
        Ok(true)
    }

    /// The certificate of the last programme that had no point.
    pub fn certificate(&self, program: &QuadraticProgram) -> Certificate {
        let m = program.row_lower.len();
        let mut certificate = Certificate::default();
        for &(index, weight) in &self.dual.certificate {
            if index < m {
                certificate.rows.push((index, weight));
            } else {
                certificate.bounds.push((index - m, weight));
            }
        }
        certificate
    }
}
