//! The steps of non-negative least squares on a problem made ready.
//!
//! The active-set method of Lawson & Hanson, *Solving Least Squares Problems* (Prentice-Hall
//! 1974), chapter 23, run on the Gram matrix as Bro & de Jong do (*J. Chemometrics* 11,
//! 393-401, 1997), with what keeps the normal equations honest:
//! * columns are scaled to norm 1, so one tolerance fits large and tiny columns alike;
//! * gradients come from the true residual `b - A x`, never from the Gram matrix;
//! * each set's amounts get one refinement step from that residual (Björck, *Numerical
//!   Methods for Least Squares Problems*, SIAM 1996, section 6.6.5);
//! * a column that depends on the passive set is exchanged for one of its members instead
//!   of being rejected, so that twins cannot block the optimum.
//!
//! Invariants: amounts stay non-negative; the objective never rises by more than rounding
//! (a step that would is undone); a column re-enters only after the objective fell, so
//! the method ends. Ties go to the lower column.

use super::dense::{axpy, dot};
use super::factor::PassiveFactor;
use super::nnls::NnlsReport;
use super::unit_columns::UnitColumns;

/// A column counts as dependent if its squared sine to the passive set's span is below
/// this. Pivots from a Gram matrix carry an error of a few 1e-16, so 1e-13 leaves three
/// digits.
const DEPENDENT: f64 = 1e-13;

/// The method's state on one [`UnitColumns`] problem, reusable.
///
/// Amounts are in unit columns and stand in the order of `passive`.
#[derive(Debug, Clone, Default)]
pub(crate) struct ActiveSet {
    /// Columns in the passive set, in order of entry.
    pub passive: Vec<usize>,
    /// Their amounts.
    pub amounts: Vec<f64>,
    /// `b - A x`, padded.
    pub residual: Vec<f64>,
    factor: PassiveFactor,
    trial: Vec<f64>,
    is_passive: Vec<bool>,
    /// Entered or was refused since the objective last fell: must wait.
    waiting: Vec<bool>,
    kept_passive: Vec<usize>,
    kept_amounts: Vec<f64>,
    steps: usize,
    steepest: f64,
}

impl ActiveSet {
    /// `min |A x - b|^2 + 2 penalty . x` over `x >= 0`, zero outside `candidates`, until no
    /// gradient exceeds `tolerance`. Returns the objective.
    pub fn solve(
        &mut self,
        problem: &UnitColumns,
        candidates: &[usize],
        penalty: Option<&[f64]>,
        tolerance: f64,
    ) -> f64 {
        self.start(problem, candidates.len());
        self.improve(problem, candidates, penalty, tolerance, problem.rhs_squared)
    }

    /// As [`ActiveSet::solve`], from a passive set and amounts (unit columns) likely to be
    /// near the optimum; its columns must be candidates.
    pub fn solve_from(
        &mut self,
        problem: &UnitColumns,
        candidates: &[usize],
        penalty: Option<&[f64]>,
        tolerance: f64,
        near: &[(usize, f64)],
    ) -> f64 {
        self.start(problem, candidates.len());
        for &(j, amount) in near {
            let pivot = self.project(problem, j);
            if pivot >= DEPENDENT && self.factor.has_room() {
                self.commit(problem, j, pivot, amount, penalty);
            }
        }
        self.descend_to_optimum(usize::MAX);
        self.measure(problem);
        self.refine(problem, penalty, tolerance);
        let objective = self.objective(penalty);
        self.improve(problem, candidates, penalty, tolerance, objective)
    }

    /// Takes columns in until no gradient exceeds `tolerance`.
    fn improve(
        &mut self,
        problem: &UnitColumns,
        candidates: &[usize],
        penalty: Option<&[f64]>,
        tolerance: f64,
        mut objective: f64,
    ) -> f64 {
        loop {
            let Some(entering) = self.steepest(problem, candidates, penalty, tolerance) else {
                return objective;
            };
            self.steps += 1;
            self.keep();
            let entered = self.enter(problem, entering, penalty) && self.descend_to_optimum(entering);
            if entered {
                self.measure(problem);
                self.refine(problem, penalty, tolerance);
            }
            let reached = self.objective(penalty);
            let noise = 1e-13 * objective + 1e-26 * problem.rhs_squared;
            if !entered || reached > objective + noise {
                self.restore(problem, penalty);
                self.waiting[entering] = true;
                continue;
            }
            if reached < objective - 0.1 * noise {
                self.waiting.fill(false);
            } else {
                self.waiting[entering] = true;
            }
            objective = reached;
        }
    }

    /// Empty set, residual `b`.
    fn start(&mut self, problem: &UnitColumns, candidates: usize) {
        let capacity = candidates.min(problem.rows) + 1;
        self.passive.clear();
        self.amounts.clear();
        self.trial.clear();
        self.trial.resize(capacity + 1, 0.0);
        self.is_passive.clear();
        self.is_passive.resize(problem.count, false);
        self.waiting.clear();
        self.waiting.resize(problem.count, false);
        self.residual.clear();
        self.residual.extend_from_slice(&problem.rhs);
        self.factor.reset(capacity);
        self.steps = 0;
    }

    /// The column outside the set with the largest gradient above `tolerance`.
    #[inline(always)]
    fn steepest(
        &mut self,
        problem: &UnitColumns,
        candidates: &[usize],
        penalty: Option<&[f64]>,
        tolerance: f64,
    ) -> Option<usize> {
        let (mut best, mut entering, mut refused) = (tolerance, None, 0.0f64);
        for &j in candidates {
            if self.is_passive[j] {
                continue;
            }
            // A column of zeros has no gradient, and no penalty is below zero.
            let gradient = dot(problem.column(j), &self.residual) - penalty.map_or(0.0, |p| p[j]);
            if self.waiting[j] {
                refused = refused.max(gradient);
            } else if gradient > best {
                (best, entering) = (gradient, Some(j));
            }
        }
        self.steepest = refused.max(0.0);
        entering
    }

    /// Adds a column at amount zero, or, where it depends on the set, in exchange for a
    /// member at an equal fit. False if neither is possible.
    #[inline(always)]
    fn enter(&mut self, problem: &UnitColumns, j: usize, penalty: Option<&[f64]>) -> bool {
        let pivot = self.project(problem, j);
        if pivot >= DEPENDENT && self.factor.has_room() {
            self.commit(problem, j, pivot, 0.0, penalty);
            return true;
        }
        self.factor.combination(&mut self.trial);
        let mut leaving: Option<(usize, f64)> = None;
        for (i, &share) in self.trial[..self.passive.len()].iter().enumerate() {
            if share > 1e-9 {
                let length = self.amounts[i] / share;
                if leaving.is_none_or(|(_, shortest)| length < shortest) {
                    leaving = Some((i, length));
                }
            }
        }
        let Some((position, length)) = leaving else {
            return false;
        };
        for (amount, share) in self.amounts.iter_mut().zip(&self.trial) {
            *amount = (*amount - length * share).max(0.0);
        }
        self.leave(position);
        let pivot = self.project(problem, j);
        if pivot < DEPENDENT {
            return false;
        }
        self.commit(problem, j, pivot, length, penalty);
        true
    }

    #[inline(always)]
    fn project(&mut self, problem: &UnitColumns, j: usize) -> f64 {
        let passive = &self.passive;
        self.factor.project(|i| problem.inner(j, passive[i]))
    }

    #[inline(always)]
    fn commit(&mut self, problem: &UnitColumns, j: usize, pivot: f64, amount: f64, penalty: Option<&[f64]>) {
        self.factor
            .commit(pivot, problem.projection[j] - penalty.map_or(0.0, |p| p[j]));
        self.passive.push(j);
        self.amounts.push(amount);
        self.is_passive[j] = true;
    }

    fn leave(&mut self, position: usize) {
        self.factor.remove(position);
        let j = self.passive.remove(position);
        self.amounts.remove(position);
        self.is_passive[j] = false;
    }

    /// Moves towards the set's least-squares amounts, dropping the first member to reach
    /// zero, until all are positive. False if `entering` itself would not leave zero.
    #[inline(always)]
    fn descend_to_optimum(&mut self, entering: usize) -> bool {
        loop {
            let size = self.passive.len();
            self.factor.amounts(&mut self.trial);
            let mut blocking: Option<(usize, f64)> = None;
            for i in 0..size {
                if self.trial[i] <= 0.0 {
                    let fall = self.amounts[i] - self.trial[i];
                    let length = if fall > 0.0 { self.amounts[i] / fall } else { 0.0 };
                    if blocking.is_none_or(|(_, shortest)| length < shortest) {
                        blocking = Some((i, length));
                    }
                }
            }
            let Some((position, length)) = blocking else {
                self.amounts.copy_from_slice(&self.trial[..size]);
                return true;
            };
            if self.passive[position] == entering && self.amounts[position] == 0.0 {
                return false;
            }
            for (amount, trial) in self.amounts.iter_mut().zip(&self.trial) {
                *amount = (*amount + length * (trial - *amount)).max(0.0);
            }
            self.leave(position);
        }
    }

    /// Recomputes the residual `b - A x`.
    #[inline(always)]
    fn measure(&mut self, problem: &UnitColumns) {
        self.residual.copy_from_slice(&problem.rhs);
        for (&j, &amount) in self.passive.iter().zip(&self.amounts) {
            axpy(-amount, problem.column(j), &mut self.residual);
        }
    }

    /// One correction of the amounts from the true residual, kept only if all stay positive.
    #[inline(always)]
    fn refine(&mut self, problem: &UnitColumns, penalty: Option<&[f64]>, tolerance: f64) {
        let mut worst = 0.0f64;
        for (i, &j) in self.passive.iter().enumerate() {
            let gradient = dot(problem.column(j), &self.residual) - penalty.map_or(0.0, |p| p[j]);
            self.trial[i] = gradient;
            worst = worst.max(gradient.abs());
        }
        if worst <= 0.1 * tolerance {
            return;
        }
        self.factor.solve(&mut self.trial);
        let size = self.passive.len();
        if self.amounts.iter().zip(&self.trial[..size]).all(|(x, dx)| x + dx > 0.0) {
            self.amounts.iter_mut().zip(&self.trial).for_each(|(x, dx)| *x += dx);
            self.measure(problem);
        }
    }

    fn objective(&self, penalty: Option<&[f64]>) -> f64 {
        let mut value = dot(&self.residual, &self.residual);
        if let Some(penalty) = penalty {
            for (&j, amount) in self.passive.iter().zip(&self.amounts) {
                value += 2.0 * penalty[j] * amount;
            }
        }
        value
    }

    /// Remembers the set before a step.
    #[inline(always)]
    fn keep(&mut self) {
        self.kept_passive.clone_from(&self.passive);
        self.kept_amounts.clone_from(&self.amounts);
    }

    /// Goes back to the remembered set.
    #[cold]
    fn restore(&mut self, problem: &UnitColumns, penalty: Option<&[f64]>) {
        for &j in &self.passive {
            self.is_passive[j] = false;
        }
        self.passive.clear();
        self.amounts.clear();
        self.factor.clear();
        for position in 0..self.kept_passive.len() {
            let j = self.kept_passive[position];
            // the pivot was above DEPENDENT when the set was built; order may cost a digit
            let pivot = self.project(problem, j).max(0.1 * DEPENDENT);
            self.commit(problem, j, pivot, self.kept_amounts[position], penalty);
        }
        self.measure(problem);
    }

    /// Amounts in the caller's units, zero for columns outside the set.
    pub fn write_amounts(&self, problem: &UnitColumns, x: &mut [f64]) {
        x.fill(0.0);
        for (&j, amount) in self.passive.iter().zip(&self.amounts) {
            x[j] = amount / problem.norms[j];
        }
    }

    /// Quality of the last unpenalised solve.
    pub fn report(&self, problem: &UnitColumns) -> NnlsReport {
        let scale = problem.rhs_squared.sqrt();
        NnlsReport {
            squared_distance: dot(&self.residual, &self.residual),
            optimality_gap: if scale > 0.0 { self.steepest / scale } else { 0.0 },
            steps: self.steps,
        }
    }
}
