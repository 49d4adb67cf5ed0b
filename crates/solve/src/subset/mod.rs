//! Exact best subset: `min |A x - b|^2` over `x >= 0` where the first `free` columns may be
//! used at will and at most `at_most` of the others.
//!
//! Branch and bound (Land & Doig, *Econometrica* 28, 497-520, 1960; for subsets Furnival &
//! Wilson, *Technometrics* 16, 499-511, 1974), one file per part:
//! * `pool`: the best distinct fits so far; its worst is the threshold to beat;
//! * this file: a first pool by forward selection and exchanges, then the tree: a node
//!   holds the columns chosen and those still allowed, and each loop chooses one of them
//!   in a child and forbids it in what remains;
//! * `bound`: a lower bound for a node, by non-negative least squares with a Lagrange
//!   multiplier on the number of columns;
//! * `leaves`: small nodes are enumerated by Schur complements.
//!
//! Invariants: no subset is dropped unless a lower bound of its distance reaches the
//! threshold; what enters the pool was solved by the full non-negative method. One thread,
//! a fixed order: the same input gives the same bits.

mod bound;
mod leaves;
mod pool;

use super::active_set::ActiveSet;
use super::error::KernelError;
use super::factor::PassiveFactor;
use super::unit_columns::UnitColumns;
use bound::{Caps, Verdict};
use leaves::{Layer, LeafScratch};
use pool::Pool;

/// Gradients up to this times `|b|` count as zero where a fit is to be reported.
const EXACT: f64 = 1e-12;
/// Nodes with up to this many subsets for each pair of columns in the problem are enumerated
/// instead of branched: a relaxation costs the more the more columns there are.
const ENUMERATED: f64 = 2.0;
/// Fits closer than this in every row (caller's units) are one and the same.
const SAME_FIT: f64 = 1e-6;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SubsetQuestion {
    /// The first `free` columns may always be used.
    pub free: usize,
    /// At most this many of the other columns may be above zero.
    pub at_most: usize,
    /// How many distinct fits to return, best first; at least one is sought.
    pub wanted: usize,
    /// Work allowed, in subsets tested (a bound counts for 100); `u64::MAX` for no limit.
    /// A limit is reached at the same point on every machine.
    pub work_limit: u64,
}

/// One of the best fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Subset {
    /// The columns used beyond the free ones, ascending.
    pub members: Vec<usize>,
    /// For each member, the other columns that point the same way and could stand in.
    pub twins: Vec<Vec<usize>>,
    /// Amount of every column, in the caller's units.
    pub x: Vec<f64>,
    /// `|A x - b|^2`
    pub squared_distance: f64,
}

/// The best fits, best first; fitted values differ by more than 1e-6 somewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct SubsetAnswer {
    /// At most as many as wanted; fewer if fewer distinct fits exist.
    pub best: Vec<Subset>,
    /// False if the work limit stopped the search before these were proven best.
    pub proven: bool,
    /// Work done, in the units of [`SubsetQuestion::work_limit`].
    pub work: u64,
}

/// Buffers for solving many problems.
///
/// ```
/// use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};
/// // b = (1, 1): the third column alone hits it, the first two only together
/// let columns = [1.0, 0.0, 0.0, 1.0, 2.0, 2.0];
/// let question = SubsetQuestion { free: 0, at_most: 1, wanted: 1, work_limit: u64::MAX };
/// let answer = SubsetWorkspace::new().solve(&columns, &[1.0, 1.0], question)?;
/// assert_eq!(answer.best[0].members, [2]);
/// # Ok::<(), glost_solve::KernelError>(())
/// ```
#[derive(Debug, Clone, Default)]
pub struct SubsetWorkspace {
    search: Search,
}

impl SubsetWorkspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// Solves for column-major `columns` (`rhs.len()` rows each) and `rhs`.
    ///
    /// # Errors
    /// As [`NnlsWorkspace::solve`](super::nnls::NnlsWorkspace::solve); also more free
    /// columns than there are columns.
    pub fn solve(
        &mut self,
        columns: &[f64],
        rhs: &[f64],
        question: SubsetQuestion,
    ) -> Result<SubsetAnswer, KernelError> {
        self.search(columns, rhs, question)?;
        Ok(self.search.answer())
    }

    /// The search without building an answer: allocates nothing once the workspace has
    /// grown. Returns the squared distance of the best fit.
    ///
    /// # Errors
    /// As [`SubsetWorkspace::solve`].
    pub fn search(&mut self, columns: &[f64], rhs: &[f64], question: SubsetQuestion) -> Result<f64, KernelError> {
        let search = &mut self.search;
        search.problem.load(columns, rhs, None)?;
        let count = search.problem.count;
        if question.free > count {
            return Err(KernelError::Shape {
                what: "free",
                expected: count,
                found: question.free,
            });
        }
        search.prepare(question);
        search.first_pool();
        search.node(0);
        Ok(search.pool.best())
    }
}

/// A node of the tree: the columns still allowed beyond those chosen.
#[derive(Debug, Clone, Default)]
struct Node {
    allowed: Vec<usize>,
    /// Columns and amounts of the last relaxation here or above, to start the next from.
    near: Vec<(usize, f64)>,
}

/// The state of one search.
#[derive(Debug, Clone, Default)]
struct Search {
    problem: UnitColumns,
    free: usize,
    at_most: usize,
    work: u64,
    work_limit: u64,
    pool: Pool,
    active: ActiveSet,
    /// The relaxations' own state, kept apart from that of exact fits.
    relaxed: ActiveSet,
    near: Vec<(usize, f64)>,
    is_allowed: Vec<bool>,
    caps: Caps,
    /// First column of each group of twins, over all columns; the columns themselves otherwise.
    first_twin: Vec<usize>,
    chosen: Vec<usize>,
    nodes: Vec<Node>,
    /// Columns of the relaxation or subset being solved.
    columns: Vec<usize>,
    penalty: Vec<f64>,
    /// Shares of their caps of the columns a relaxation uses.
    support: Vec<(f64, usize)>,
    support_before: Vec<(f64, usize)>,
    factor: PassiveFactor,
    layers: Vec<Layer>,
    scratch: LeafScratch,
}

impl Search {
    /// Gram matrix, twins, the root's allowed columns.
    fn prepare(&mut self, question: SubsetQuestion) {
        let count = self.problem.count;
        self.problem.fill_gram();
        self.free = question.free;
        self.work = 0;
        self.work_limit = question.work_limit;
        self.pool.reset(question.wanted.max(1), self.problem.rhs_squared);
        self.caps.reset(&self.problem);
        self.find_twins();
        self.chosen.clear();
        let first_twin = &self.first_twin;
        let root = (question.free..count).filter(|&j| first_twin[j] == j && self.problem.norms[j] > 0.0);
        if self.nodes.is_empty() {
            self.nodes.push(Node::default());
        }
        self.nodes[0].allowed.clear();
        self.nodes[0].near.clear();
        self.nodes[0].allowed.extend(root);
        self.at_most = question.at_most.min(self.nodes[0].allowed.len());
        let depths = self.at_most + 1;
        self.nodes.resize_with(self.nodes.len().max(depths), Node::default);
        self.layers.resize_with(self.layers.len().max(depths), Layer::default);
        self.penalty.clear();
        self.penalty.resize(count, 0.0);
    }

    /// Columns equal to an earlier one (up to rounding, scale apart) follow it; a twin of a
    /// free column brings nothing.
    fn find_twins(&mut self) {
        let problem = &self.problem;
        self.first_twin.clear();
        for j in 0..problem.count {
            let row = problem.gram_row(j);
            let first = (0..j).find(|&i| {
                row[i] > 1.0 - 1e-12
                    && self.first_twin[i] == i
                    && problem
                        .column(i)
                        .iter()
                        .zip(problem.column(j))
                        .all(|(a, b)| (a - b).abs() <= 1e-13)
            });
            self.first_twin.push(first.unwrap_or(j));
        }
    }

    /// Fills the pool by forward selection, then by exchanging one column at a time until
    /// nothing improves (Miller, *Subset Selection in Regression*, 2002, chapter 3).
    fn first_pool(&mut self) {
        let candidates = std::mem::take(&mut self.nodes[0].allowed);
        let mut best = self.solve_chosen();
        while self.chosen.len() < self.at_most {
            let position = self.chosen.len();
            self.chosen.push(usize::MAX);
            let (value, column) = self.best_at(position, best, &candidates);
            if column == usize::MAX {
                self.chosen.pop();
                break;
            }
            (best, self.chosen[position]) = (value, column);
        }
        for _pass in 0..6 {
            let before = best;
            for position in 0..self.chosen.len() {
                let now = self.chosen[position];
                let (value, column) = self.best_at(position, best, &candidates);
                best = value;
                self.chosen[position] = if column == usize::MAX { now } else { column };
            }
            if best >= before {
                break;
            }
        }
        self.chosen.clear();
        self.nodes[0].allowed = candidates;
    }

    /// The column that lowers the distance most at `position` of the chosen ones, or
    /// `usize::MAX` if none does.
    fn best_at(&mut self, position: usize, best: f64, candidates: &[usize]) -> (f64, usize) {
        let (mut best, mut column) = (best, usize::MAX);
        for &j in candidates {
            if self.chosen.contains(&j) {
                continue;
            }
            let kept = std::mem::replace(&mut self.chosen[position], j);
            let value = self.solve_chosen();
            self.chosen[position] = kept;
            if value < best - 1e-9 * (1.0 + best) {
                (best, column) = (value, j);
            }
        }
        (best, column)
    }

    /// Solves the free and chosen columns exactly, offers the fit, returns its distance.
    fn solve_chosen(&mut self) -> f64 {
        self.columns.clear();
        self.columns.extend(0..self.free);
        self.columns.extend_from_slice(&self.chosen);
        self.work += 1;
        self.solve_columns()
    }

    /// The same for whatever stands in `columns`.
    fn solve_columns(&mut self) -> f64 {
        let tolerance = EXACT * self.problem.rhs_squared.sqrt();
        let value = self.active.solve(&self.problem, &self.columns, None, tolerance);
        self.pool.offer(value, &self.problem, &self.active, self.free);
        value
    }

    /// Explores the subtree of `chosen` plus the columns allowed at this depth.
    fn node(&mut self, depth: usize) {
        if depth > 0 {
            self.solve_chosen();
        }
        let left = self.at_most - self.chosen.len();
        while left > 0 && !self.nodes[depth].allowed.is_empty() && self.work < self.work_limit {
            let allowed = self.nodes[depth].allowed.len();
            if left == 1 || self.is_small(allowed, left) {
                return self.leaves(depth, left);
            }
            let Verdict::Branch(column) = self.bound(depth, left) else {
                return;
            };
            let (here, below) = self.nodes.split_at_mut(depth + 1);
            let node = &mut here[depth];
            node.allowed.retain(|j| *j != column);
            below[0].allowed.clone_from(&node.allowed);
            below[0].near.clone_from(&node.near);
            node.near.retain(|(j, _)| *j != column);
            self.chosen.push(column);
            self.node(depth + 1);
            self.chosen.pop();
        }
    }

    /// Whether a node is quicker enumerated than branched.
    fn is_small(&self, allowed: usize, left: usize) -> bool {
        let count = self.problem.count as f64;
        subsets(allowed, left) <= ENUMERATED * count * count
    }

    /// The pool in the caller's units.
    fn answer(&self) -> SubsetAnswer {
        let norms = &self.problem.norms;
        let best = self.pool.fits().map(|fit| {
            let mut x = vec![0.0; norms.len()];
            for &(j, amount) in &fit.amounts {
                x[j] = amount / norms[j];
            }
            let members: Vec<usize> = (self.free..norms.len()).filter(|&j| x[j] > 0.0).collect();
            let twins = members
                .iter()
                .map(|&m| (m + 1..norms.len()).filter(|&j| self.first_twin[j] == m).collect())
                .collect();
            Subset {
                members,
                twins,
                x,
                squared_distance: fit.squared_distance,
            }
        });
        SubsetAnswer {
            best: best.collect(),
            proven: self.work < self.work_limit,
            work: self.work,
        }
    }
}

/// How many subsets of at most `size` there are, roughly: the largest binomial.
fn subsets(count: usize, size: usize) -> f64 {
    (0..size)
        .map(|i| (count.saturating_sub(i)) as f64 / (i + 1) as f64)
        .product()
}
