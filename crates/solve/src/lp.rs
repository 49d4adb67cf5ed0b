//! Linear programmes: `min c'x` with limits on rows and variables.
//!
//! Proximal steps (Rockafellar, *SIAM J. Control Optim.* 14, 877-898, 1976) of the dual
//! active-set method of [`qp`](super::qp): each step minimises
//! `c'x + e/2 |x - x_k|^2`. On a linear programme they end after finitely many steps, with
//! a small `e` after one or two. After each step `c` is written as a combination of the
//! active normals; where that succeeds with multipliers of the right sign, the point and
//! the multipliers have the same objective and both are optimal.
//!
//! Among several optimal points the one nearest `start` is found, if the first step ends.

use super::error::{KernelError, check, check_limits};
use super::qp::{Certificate, DualActiveSet, Hessian, QuadraticProgram, Status};

/// Weight of the proximal term against a cost vector of norm 1. At 1e-2 the first step
/// often stops short of the optimum; at 1e-8 digits are lost.
const PROXIMAL: f64 = 1e-5;
/// The duality gap, relative to one plus the objective, that ends the method.
const GAP: f64 = 1e-9;
/// Multipliers of the wrong sign and costs left unexplained may be this large, relatively.
const DUAL_TOLERANCE: f64 = 1e-10;
/// Proximal steps before giving up.
const MOST_STEPS: usize = 60;

/// A programme, borrowed from the caller; limits as in
/// [`QuadraticProgram`].
#[derive(Debug, Clone, Copy)]
pub struct LinearProgram<'a> {
    /// `c`, one per variable.
    pub cost: &'a [f64],
    /// `A`, row-major.
    pub rows: &'a [f64],
    /// Lower limit of each row.
    pub row_lower: &'a [f64],
    /// Upper limit of each row.
    pub row_upper: &'a [f64],
    /// Lower limit of each variable.
    pub lower: &'a [f64],
    /// Upper limit of each variable.
    pub upper: &'a [f64],
}

/// An optimal point and its proof.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LpOptimum {
    /// The variables.
    pub x: Vec<f64>,
    /// `c'x`
    pub objective: f64,
    /// Change of the objective per unit of each row's limit: positive where the lower limit
    /// binds, negative where the upper one does.
    pub row_multipliers: Vec<f64>,
    /// The same for each variable's limits.
    pub bound_multipliers: Vec<f64>,
    /// `|c'x - dual objective| / (1 + |c'x|)`
    pub gap: f64,
    /// Proximal steps.
    pub steps: usize,
}

/// The answer to a linear programme.
#[derive(Debug, Clone, PartialEq)]
pub enum LpOutcome {
    /// A best point.
    Optimal(LpOptimum),
    /// There is no point.
    Infeasible(Certificate),
    /// The cost falls without end.
    Unbounded,
}

/// How [`LpWorkspace::solve_into`] ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LpStatus {
    /// The optimum was written.
    Optimal,
    /// There is no point.
    Infeasible,
    /// The cost falls without end.
    Unbounded,
}

/// Buffers for solving many programmes.
#[derive(Debug, Clone, Default)]
pub struct LpWorkspace {
    dual: DualActiveSet,
    curvature: Vec<f64>,
    linear: Vec<f64>,
    centre: Vec<f64>,
}

impl LpWorkspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// Solves a programme from the origin.
    ///
    /// # Errors
    /// Lengths that do not fit, numbers that are not finite, or no proof of optimality
    /// within 60 proximal steps.
    pub fn solve(&mut self, program: &LinearProgram) -> Result<LpOutcome, KernelError> {
        let mut optimum = LpOptimum::default();
        Ok(match self.solve_into(program, None, &mut optimum)? {
            LpStatus::Optimal => LpOutcome::Optimal(optimum),
            LpStatus::Unbounded => LpOutcome::Unbounded,
            LpStatus::Infeasible => LpOutcome::Infeasible(self.certificate(program)),
        })
    }

    /// Solves from `start` (the origin if none), writes the optimum into `out` and
    /// allocates nothing once both have grown.
    ///
    /// # Errors
    /// As [`LpWorkspace::solve`].
    pub fn solve_into(
        &mut self,
        program: &LinearProgram,
        start: Option<&[f64]>,
        out: &mut LpOptimum,
    ) -> Result<LpStatus, KernelError> {
        let n = program.cost.len();
        self.prepare(program, start)?;
        let curvature = std::mem::take(&mut self.curvature);
        let mut linear = std::mem::take(&mut self.linear);
        let mut result = Err(KernelError::StepLimit(MOST_STEPS));
        for step in 1..=MOST_STEPS {
            for i in 0..n {
                linear[i] = program.cost[i] - curvature[i] * self.centre[i];
            }
            let proximal = QuadraticProgram {
                hessian: Hessian::Diagonal(&curvature),
                linear: &linear,
                rows: program.rows,
                row_lower: program.row_lower,
                row_upper: program.row_upper,
                lower: program.lower,
                upper: program.upper,
            };
            match self.step(program, &proximal, step, out) {
                Ok(None) => {}
                Ok(Some(status)) => {
                    result = Ok(status);
                    break;
                }
                Err(error) => {
                    result = Err(error);
                    break;
                }
            }
        }
        self.curvature = curvature;
        self.linear = linear;
        result
    }

    /// The certificate of the last programme that had no point.
    pub fn certificate(&self, program: &LinearProgram) -> Certificate {
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

    fn prepare(&mut self, program: &LinearProgram, start: Option<&[f64]>) -> Result<(), KernelError> {
        let (n, m) = (program.cost.len(), program.row_lower.len());
        check("cost", program.cost, n)?;
        check("rows", program.rows, m * n)?;
        check_limits("row limits", program.row_lower, program.row_upper, m)?;
        check_limits("variable limits", program.lower, program.upper, n)?;
        self.centre.clear();
        self.centre.resize(n, 0.0);
        if let Some(start) = start {
            check("start", start, n)?;
            self.centre.copy_from_slice(start);
        }
        let size = program.cost.iter().map(|c| c * c).sum::<f64>().sqrt();
        self.curvature.clear();
        self.curvature.resize(n, PROXIMAL * if size > 0.0 { size } else { 1.0 });
        self.linear.clear();
        self.linear.resize(n, 0.0);
        Ok(())
    }

    /// One proximal step. Nothing if the point it reaches is not proven optimal yet.
    fn step(
        &mut self,
        program: &LinearProgram,
        proximal: &QuadraticProgram,
        step: usize,
        out: &mut LpOptimum,
    ) -> Result<Option<LpStatus>, KernelError> {
        self.dual.factorise(proximal)?;
        if self.dual.run(proximal, None)? == Status::Infeasible {
            return Ok(Some(LpStatus::Infeasible));
        }
        let (unexplained, lowest) = self.dual.explain_cost(program.cost);
        let objective: f64 = program.cost.iter().zip(&self.dual.x).map(|(c, x)| c * x).sum();
        let gap = (objective - self.dual.dual_value(proximal)).abs() / (1.0 + objective.abs());
        if unexplained <= DUAL_TOLERANCE && lowest >= -DUAL_TOLERANCE && gap <= GAP {
            self.write(program, objective, gap, step, out);
            return Ok(Some(LpStatus::Optimal));
        }
        if self.is_ray(program) {
            return Ok(Some(LpStatus::Unbounded));
        }
        self.centre.copy_from_slice(&self.dual.x);
        Ok(None)
    }

    /// Whether the last move can be repeated for ever while the cost falls.
    fn is_ray(&self, program: &LinearProgram) -> bool {
        let n = program.cost.len();
        let along = |v: &[f64]| -> f64 {
            let moves = self.dual.x.iter().zip(&self.centre).map(|(x, c)| x - c);
            v.iter().zip(moves).map(|(v, d)| v * d).sum()
        };
        let length = self
            .dual
            .x
            .iter()
            .zip(&self.centre)
            .map(|(x, c)| (x - c).powi(2))
            .sum::<f64>()
            .sqrt();
        let norm = |v: &[f64]| v.iter().map(|v| v * v).sum::<f64>().sqrt();
        let held = |move_: f64, size: f64, lower: f64, upper: f64| {
            (lower.is_infinite() || move_ >= -1e-9 * size) && (upper.is_infinite() || move_ <= 1e-9 * size)
        };
        let falls = along(program.cost) < -1e-9 * norm(program.cost) * length;
        falls
            && program.rows.chunks_exact(n.max(1)).enumerate().all(|(i, row)| {
                held(
                    along(row),
                    norm(row) * length,
                    program.row_lower[i],
                    program.row_upper[i],
                )
            })
            && (0..n).all(|j| {
                let moved = self.dual.x[j] - self.centre[j];
                held(moved, length, program.lower[j], program.upper[j])
            })
    }

    fn write(&self, program: &LinearProgram, objective: f64, gap: f64, steps: usize, out: &mut LpOptimum) {
        let m = program.row_lower.len();
        out.x.clear();
        out.x.extend_from_slice(&self.dual.x);
        (out.objective, out.gap, out.steps) = (objective, gap, steps);
        out.row_multipliers.clear();
        out.row_multipliers.resize(m, 0.0);
        out.bound_multipliers.clear();
        out.bound_multipliers.resize(program.cost.len(), 0.0);
        for (index, multiplier) in self.dual.signed_multipliers() {
            if index < m {
                out.row_multipliers[index] = multiplier;
            } else {
                out.bound_multipliers[index - m] = multiplier;
            }
        }
    }
}
