//! A lower bound for a node, and the column to branch on.
//!
//! Each column is capped: with non-negative columns, nothing takes an overshoot away again,
//! so a fit under the threshold uses no more of column `j` than `cap_j`. Then "at most r
//! columns" implies `sum x_j / cap_j <= r`, and for any multiplier `lambda >= 0`
//! `min |A x - b|^2 + lambda (sum x_j / cap_j - r)` over `x >= 0` is a lower bound (Geoffrion,
//! *Math. Programming Study* 2, 82-114, 1974). It is concave in `lambda`; two tangents
//! that cross give the next multiplier to try.

use super::super::dense::dot;
use super::super::unit_columns::UnitColumns;
use super::Search;

/// Gradient tolerance of a relaxation, times `|b|`; the error it leaves in the bound is of
/// the order of its square.
const RELAXED: f64 = 1e-10;
/// Multipliers tried for a node.
const MULTIPLIERS: usize = 6;
/// Work charged for one relaxation.
const RELAXATION_WORK: u64 = 100;

/// What became of a node.
pub(super) enum Verdict {
    /// Nothing in it can enter the pool, or all of it that can has.
    Done,
    /// Columns were ruled out; few enough are left to enumerate.
    Fewer,
    /// Choose or forbid this column next.
    Branch(usize),
}

/// Largest amount of each column in any fit within the threshold.
#[derive(Debug, Clone, Default)]
pub(super) struct Caps {
    /// In unit columns; empty if some column has a negative entry: then there are no caps.
    limits: Vec<f64>,
    /// The distance they hold for.
    within: f64,
    valid: bool,
}

impl Caps {
    /// Forgets the caps; decides whether the problem has any.
    pub fn reset(&mut self, problem: &UnitColumns) {
        self.within = f64::INFINITY;
        self.valid = (0..problem.count).all(|j| problem.column(j).iter().all(|v| *v >= 0.0));
        self.limits.clear();
        self.limits
            .resize(problem.count, problem.rhs_squared.sqrt().max(1e-300));
    }

    /// Tightens the caps once the distance to beat has fallen by a thousandth.
    fn tighten(&mut self, problem: &UnitColumns, within: f64) {
        if !self.valid || within >= 0.999 * self.within {
            return;
        }
        self.within = within;
        for (j, limit) in self.limits.iter_mut().enumerate() {
            *limit = cap(problem, j, within);
        }
    }
}

/// Largest `x` for which the overshoot `|max(0, a_j x - b)|^2` stays within `within`, from
/// above to a thousandth. Never above `|b|`: an optimal fit of non-negative columns is no
/// longer than `b`.
fn cap(problem: &UnitColumns, j: usize, within: f64) -> f64 {
    let overshoot = |x: f64| -> f64 {
        let terms = problem.column(j).iter().zip(&problem.rhs);
        terms.map(|(a, b)| (a * x - b).max(0.0)).map(|v| v * v).sum()
    };
    let (mut low, mut high) = (0.0, problem.rhs_squared.sqrt().max(1e-300));
    if overshoot(high) > within {
        while high - low > 1e-3 * high {
            let middle = 0.5 * (low + high);
            if overshoot(middle) > within {
                high = middle
            } else {
                low = middle
            }
            if high < 1e-12 * problem.rhs_squared.sqrt() {
                break;
            }
        }
    }
    high
}

impl Search {
    /// Bounds the node of `chosen` and the columns allowed at `depth`, `left` to choose.
    pub(super) fn bound(&mut self, depth: usize, left: usize) -> Verdict {
        self.caps.tighten(&self.problem, self.pool.worst());
        self.list_columns(depth);
        let relaxed = self.relax_from(depth);
        if relaxed >= self.pool.threshold() {
            return Verdict::Done;
        }
        let share = self.read_support();
        if self.support.is_empty() {
            // the chosen columns fit as well as all that are allowed: nothing to add
            return Verdict::Done;
        }
        if self.support.len() <= left {
            self.solve_support(left);
            if !self.pool.several() {
                return Verdict::Done;
            }
        } else if self.caps.valid && share > left as f64 {
            let slope = share - left as f64;
            if self.raise_multiplier(depth, left, relaxed, slope) {
                return Verdict::Done;
            }
            if self.is_small(self.nodes[depth].allowed.len(), left) {
                return Verdict::Fewer;
            }
        }
        self.support.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let usable = self
            .support
            .iter()
            .map(|s| s.1)
            .find(|j| self.nodes[depth].allowed.contains(j));
        let Some(column) = usable.or(self.nodes[depth].allowed.first().copied()) else {
            return Verdict::Done;
        };
        self.solve_support(left);
        Verdict::Branch(column)
    }

    /// The columns of the relaxation: free, chosen, allowed.
    fn list_columns(&mut self, depth: usize) {
        self.columns.clear();
        self.columns.extend(0..self.free);
        self.columns.extend_from_slice(&self.chosen);
        self.columns.extend_from_slice(&self.nodes[depth].allowed);
        self.is_allowed.clear();
        self.is_allowed.resize(self.problem.count, false);
        for &j in &self.columns {
            self.is_allowed[j] = true;
        }
    }

    /// The relaxation without a multiplier, from the last one of this node or above.
    fn relax_from(&mut self, depth: usize) -> f64 {
        self.near.clone_from(&self.nodes[depth].near);
        self.near.retain(|(j, _)| self.is_allowed[*j]);
        let value = self.relax(None);
        self.nodes[depth].near.clone_from(&self.near);
        value
    }

    /// Solves the relaxation of `columns` from `near`, and leaves its solution there.
    fn relax(&mut self, multiplier: Option<f64>) -> f64 {
        self.work += RELAXATION_WORK;
        let tolerance = RELAXED * self.problem.rhs_squared.sqrt();
        let penalty = multiplier.map(|_| &self.penalty[..]);
        let (problem, columns) = (&self.problem, &self.columns);
        let value = self
            .relaxed
            .solve_from(problem, columns, penalty, tolerance, &self.near);
        self.near.clear();
        let amounts = self.relaxed.amounts.iter().copied();
        self.near.extend(self.relaxed.passive.iter().copied().zip(amounts));
        value
    }

    /// Drops columns that cannot be used under the threshold: with `x_j > 0` a column takes
    /// a whole place, which adds `lambda` to the bound, and may then be used unpenalised,
    /// which by convexity wins back at most its gradient times its cap. (The reduced-cost
    /// fixing of integer programming, Dantzig, Fulkerson & Johnson 1954.)
    fn rule_out(&mut self, depth: usize, multiplier: f64, value: f64) {
        let room = value + multiplier - self.pool.threshold();
        if room < 0.0 {
            return;
        }
        let (problem, residual, caps) = (&self.problem, &self.relaxed.residual, &self.caps);
        let before = self.nodes[depth].allowed.len();
        self.nodes[depth].allowed.retain(|&j| {
            let gradient = dot(problem.column(j), residual);
            2.0 * gradient.max(0.0) * caps.limits[j] > room
        });
        if self.nodes[depth].allowed.len() < before {
            self.list_columns(depth);
            self.near.retain(|(j, _)| self.is_allowed[*j]);
        }
    }

    /// Notes the columns in use that are neither free nor chosen, with their shares of
    /// their caps; returns the sum of the shares.
    fn read_support(&mut self) -> f64 {
        self.support.clear();
        let mut sum = 0.0;
        for (&j, &amount) in self.relaxed.passive.iter().zip(&self.relaxed.amounts) {
            if j >= self.free && !self.chosen.contains(&j) && amount > 1e-12 * self.caps.limits[j] {
                let share = amount / self.caps.limits[j];
                self.support.push((share, j));
                sum += share;
            }
        }
        sum
    }

    /// Solves chosen plus the first `left` of the support, a rounding of the relaxation.
    fn solve_support(&mut self, left: usize) {
        self.columns.clear();
        self.columns.extend(0..self.free);
        self.columns.extend_from_slice(&self.chosen);
        self.columns.extend(self.support.iter().take(left).map(|s| s.1));
        self.work += 1;
        self.solve_columns();
    }

    /// Climbs the concave dual from its value and slope at zero. True if the bound reaches
    /// the threshold; else `support` is that of the last multiplier with any.
    fn raise_multiplier(&mut self, depth: usize, left: usize, value: f64, slope: f64) -> bool {
        let threshold = self.pool.threshold();
        let (mut low, mut high) = (Tangent { at: 0.0, value, slope }, None::<Tangent>);
        for _ in 0..MULTIPLIERS {
            let multiplier = match high {
                None => low.at + 1.02 * (threshold - low.value) / low.slope,
                Some(high) => low.crossing(high),
            };
            let best_possible = low.value + low.slope * (multiplier - low.at);
            if !(multiplier > low.at && multiplier.is_finite()) || (high.is_some() && best_possible < threshold) {
                return false;
            }
            for &j in &self.nodes[depth].allowed {
                self.penalty[j] = 0.5 * multiplier / self.caps.limits[j];
            }
            for &j in &self.chosen {
                self.penalty[j] = 0.0;
            }
            let value = self.relax(Some(multiplier)) - multiplier * left as f64;
            if value >= threshold {
                return true;
            }
            std::mem::swap(&mut self.support, &mut self.support_before);
            let share = self.read_support();
            if self.support.is_empty() {
                std::mem::swap(&mut self.support, &mut self.support_before);
            }
            self.rule_out(depth, multiplier, value);
            let here = Tangent {
                at: multiplier,
                value,
                slope: share - left as f64,
            };
            if here.slope > 0.0 {
                low = here
            } else {
                high = Some(here)
            }
            if here.slope.abs() < 1e-6 {
                return false;
            }
        }
        false
    }
}

/// Value and slope of the dual at a multiplier.
#[derive(Clone, Copy)]
struct Tangent {
    at: f64,
    value: f64,
    slope: f64,
}

impl Tangent {
    /// Where two tangents meet.
    fn crossing(self, other: Tangent) -> f64 {
        let here = self.value - self.slope * self.at;
        let there = other.value - other.slope * other.at;
        (there - here) / (self.slope - other.slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(column: &[f64], rhs: &[f64], within: f64) -> f64 {
        let mut problem = UnitColumns::default();
        assert_eq!(problem.load(column, rhs, None), Ok(()));
        cap(&problem, 0, within)
    }

    /// Of (3, 4) along the first axis: 3 and the root of the square allowed, 5 at most.
    #[test]
    fn a_cap_is_where_the_overshoot_is_as_much_as_allowed() {
        for (within, wanted) in [(0.0, 3.0), (1.0, 4.0), (4.0, 5.0), (100.0, 5.0)] {
            let found = of(&[1.0, 0.0], &[3.0, 4.0], within);
            assert!((wanted..=1.0011 * wanted).contains(&found), "{within}: {found}");
        }
        // Nothing of it may be used, but a share of nothing is no number.
        let none = of(&[0.0, 1.0], &[3.0, 0.0], 0.0);
        assert!((1e-13..3e-12).contains(&none), "{none}");
    }
}
