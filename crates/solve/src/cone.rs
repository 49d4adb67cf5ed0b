//! Convex quadratic programmes within second-order cones:
//! `min 1/2 x'Hx + q'x` with `x >= 0`, `E x = e` and `|S_k x| <= l_k . x` for each cone k.
//!
//! The one kernel that is not our own: Clarabel's interior-point method stands behind
//! this door (P. J. Goulart & Y. Chen, arXiv:2405.12762). Its answers are good to about
//! 1e-8 of the numbers in them, not exact as those of [`qp`](super::qp).

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SecondOrderConeT, SolverStatus, SupportedConeT,
    ZeroConeT,
};

use super::error::{KernelError, check};
use super::qp::Hessian;

/// Gaps and residuals at which the method ends.
const TOLERANCE: f64 = 1e-10;
/// Steps after which it gives up.
const MOST_STEPS: u32 = 200;

/// `|spread x| <= linear . x`; without spread a plain row, `linear . x >= 0`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cone {
    /// One coefficient a variable.
    pub linear: Vec<f64>,
    /// Rows of the norm, row-major.
    pub spread: Vec<f64>,
}

/// A programme, borrowed from the caller.
#[derive(Debug, Clone, Copy)]
pub struct ConeProgram<'a> {
    /// `H`, positive semidefinite.
    pub hessian: Hessian<'a>,
    /// `q`, one per variable.
    pub linear: &'a [f64],
    /// `E`, row-major.
    pub equal_rows: &'a [f64],
    /// `e`
    pub equal_to: &'a [f64],
    /// The cones.
    pub cones: &'a [Cone],
}

/// The answer to a programme.
#[derive(Debug, Clone, PartialEq)]
pub enum ConeOutcome {
    /// The best point.
    Optimal(Vec<f64>),
    /// There is no point.
    Infeasible,
}

impl ConeProgram<'_> {
    fn check(&self) -> Result<(), KernelError> {
        let n = self.linear.len();
        match self.hessian {
            Hessian::Diagonal(diagonal) => check("hessian", diagonal, n)?,
            Hessian::Dense(matrix) => check("hessian", matrix, n * n)?,
        }
        check("linear", self.linear, n)?;
        check("equal rows", self.equal_rows, self.equal_to.len() * n)?;
        check("equal to", self.equal_to, self.equal_to.len())?;
        for cone in self.cones {
            check("cone", &cone.linear, n)?;
            let rows = cone.spread.len().checked_div(n).unwrap_or(0);
            check("spread", &cone.spread, rows * n)?;
        }
        Ok(())
    }

    /// `H`, upper triangle.
    fn upper_triangle(&self) -> CscMatrix<f64> {
        let n = self.linear.len();
        let entry = |i: usize, j: usize| match self.hessian {
            Hessian::Diagonal(diagonal) if i == j => diagonal[i],
            Hessian::Dense(matrix) if i <= j => matrix[i * n + j],
            _ => 0.0,
        };
        let rows: Vec<Vec<f64>> = (0..n).map(|i| (0..n).map(|j| entry(i, j)).collect()).collect();
        CscMatrix::from(&rows)
    }

    /// Rows `A`, limits `b` and cones of `A x + s = b`, each cone scaled to norm 1.
    fn rows(&self) -> (Vec<Vec<f64>>, Vec<f64>, Vec<SupportedConeT<f64>>) {
        let n = self.linear.len();
        let mut rows: Vec<Vec<f64>> = self.equal_rows.chunks(n.max(1)).map(<[f64]>::to_vec).collect();
        let mut limits = self.equal_to.to_vec();
        let mut cones = vec![ZeroConeT(rows.len())];
        let negated = |row: &[f64], scale: f64| row.iter().map(|value| -value / scale).collect::<Vec<f64>>();
        let norm = |row: &[f64]| {
            row.iter()
                .map(|value| value * value)
                .sum::<f64>()
                .sqrt()
                .max(f64::MIN_POSITIVE)
        };
        for j in 0..n {
            rows.push((0..n).map(|k| if k == j { -1.0 } else { 0.0 }).collect());
        }
        let (plain, curved): (Vec<&Cone>, Vec<&Cone>) = self.cones.iter().partition(|cone| cone.spread.is_empty());
        rows.extend(plain.iter().map(|cone| negated(&cone.linear, norm(&cone.linear))));
        cones.push(NonnegativeConeT(n + plain.len()));
        for cone in curved {
            let scale = norm(&cone.linear);
            let before = rows.len();
            rows.push(negated(&cone.linear, scale));
            rows.extend(cone.spread.chunks(n).map(|row| negated(row, scale)));
            cones.push(SecondOrderConeT(rows.len() - before));
        }
        limits.resize(rows.len(), 0.0);
        (rows, limits, cones)
    }
}

/// Solves a programme.
///
/// ```
/// use glost_solve::cone::{Cone, ConeOutcome, ConeProgram, solve};
/// use glost_solve::qp::Hessian;
/// // nearest point to (0, 1) with |y| <= x
/// let outcome = solve(&ConeProgram {
///     hessian: Hessian::Diagonal(&[1.0, 1.0]),
///     linear: &[0.0, -1.0],
///     equal_rows: &[],
///     equal_to: &[],
///     cones: &[Cone { linear: vec![1.0, 0.0], spread: vec![0.0, 1.0] }],
/// })?;
/// let ConeOutcome::Optimal(x) = outcome else { panic!() };
/// assert!((x[0] - 0.5).abs() < 1e-6 && (x[1] - 0.5).abs() < 1e-6);
/// # Ok::<(), glost_solve::KernelError>(())
/// ```
///
/// # Errors
/// Lengths that do not fit, numbers that are not finite, or rounding that keeps the
/// method from ending.
pub fn solve(program: &ConeProgram<'_>) -> Result<ConeOutcome, KernelError> {
    program.check()?;
    let (rows, limits, cones) = program.rows();
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: TOLERANCE,
        tol_gap_rel: TOLERANCE,
        tol_feas: TOLERANCE,
        max_iter: MOST_STEPS,
        ..DefaultSettings::default()
    };
    let solver = DefaultSolver::new(
        &program.upper_triangle(),
        program.linear,
        &CscMatrix::from(&rows),
        &limits,
        &cones,
        settings,
    );
    let mut solver = solver.map_err(|_| KernelError::StepLimit(0))?;
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => Ok(ConeOutcome::Optimal(solver.solution.x)),
        SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible => Ok(ConeOutcome::Infeasible),
        _ => Err(KernelError::StepLimit(solver.solution.iterations as usize)),
    }
}
