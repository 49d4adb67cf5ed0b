//! The programme behind an adjustment: objective, rows, and its answers.

use glost_solve::KernelError;
use glost_solve::lp::{LinearProgram, LpOutcome, LpWorkspace};
use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};

use super::change::LeastChange;
use super::distance::Distances;
use super::rows::{NO_OXIDE, Row, Side, dot};
use super::space::{AdditionsAre, Space};

/// Parts of base that the old recipe sums to.
pub(crate) const TOTAL: f64 = 100.0;
/// A base below this part of the old one is none: rows through the origin are
/// met by nothing at all.
pub(crate) const NO_BASE: f64 = 1e-7;

/// How little the change of the recipe counts beside the misses of its aims.
const TRACE: f64 = 1e-4;
/// Steps towards the recipe that misses least.
const MOST_STEPS: usize = 100;

/// What is made least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Least {
    /// Change of what is fired, with a trace of the change of weights.
    #[default]
    Change,
    /// Change of weights alone: `sum ((x - x0) / s)^2` with `s = max(0.1 x0, 1)`.
    Weights,
    /// Cost per kg of dry batch with its additions.
    Cost,
    /// Chemistry distance from the old glaze, in tolerances.
    Distance,
}

impl Least {
    /// Only the least change of what is fired moves additions.
    pub(crate) fn additions(self) -> AdditionsAre {
        match self {
            Least::Change => AdditionsAre::Moving,
            Least::Weights | Least::Cost | Least::Distance => AdditionsAre::Held,
        }
    }
}

/// A point with the multipliers of its rows.
#[derive(Debug, Clone)]
pub(crate) struct Point {
    pub x: Vec<f64>,
    pub objective: f64,
    pub multipliers: Vec<f64>,
}

/// The programme without its rows.
pub(crate) struct Program<'a> {
    pub space: &'a Space,
    pub least: Least,
    /// Distances from the old glaze, where they are asked for.
    pub distances: Option<&'a Distances>,
    /// The quadratic of [`Least::Change`].
    pub change: Option<&'a LeastChange>,
}

/// Bounds on the parts of each column.
pub(crate) struct Bounds {
    pub lower: Vec<f64>,
    pub upper: Vec<f64>,
}

impl Bounds {
    /// Nothing negative.
    pub fn free(count: usize) -> Bounds {
        Bounds {
            lower: vec![0.0; count],
            upper: vec![f64::INFINITY; count],
        }
    }

    /// The same over the base, whatever its total: for a programme whose scale is free.
    fn rows(&self, space: &Space) -> Vec<Row> {
        let mut rows = Vec::new();
        let base: Vec<f64> = space.columns.iter().map(|column| column.of_base() / TOTAL).collect();
        for index in 0..space.columns.len() {
            let limits = [(Side::Least, self.lower[index]), (Side::Most, self.upper[index])];
            for (side, bound) in limits {
                if (side == Side::Least && bound <= 0.0) || bound.is_infinite() {
                    continue;
                }
                let mut coefficients: Vec<f64> = base.iter().map(|base| -bound * base).collect();
                coefficients[index] += 1.0;
                rows.push(Row {
                    phrase: usize::MAX,
                    aim: usize::MAX,
                    side,
                    bound,
                    coefficients,
                    denominator: base.clone(),
                    per_mole: NO_OXIDE,
                });
            }
        }
        rows
    }
}

/// Flux below this part of what a part of the old base has is none: bounds on the unity
/// formula are met by a recipe without flux, and mean nothing there.
const LEAST_FLUX: f64 = 1e-3;

/// Limits of each row, the total first, then the flux.
struct Limits {
    rows: Vec<f64>,
    lower: Vec<f64>,
    upper: Vec<f64>,
}

fn limits(space: &Space, rows: &[&Row]) -> Limits {
    let mut limits = Limits {
        rows: space.columns.iter().map(super::space::Column::of_base).collect(),
        lower: vec![TOTAL],
        upper: vec![TOTAL],
    };
    limits.keep_flux(space);
    limits.take(rows);
    limits
}

/// The aims and some flux: the scale is free.
fn limits_of_aims(space: &Space, rows: &[&Row]) -> Limits {
    let mut limits = Limits {
        rows: Vec::new(),
        lower: Vec::new(),
        upper: Vec::new(),
    };
    limits.keep_flux(space);
    limits.take(rows);
    limits
}

impl Limits {
    fn keep_flux(&mut self, space: &Space) {
        let before = space.before();
        let flux: f64 = space
            .columns
            .iter()
            .zip(&before)
            .map(|(column, x)| column.flux * x)
            .sum();
        let least = LEAST_FLUX * flux / space.base_total(&before);
        let columns = space.columns.iter();
        self.rows
            .extend(columns.map(|column| column.flux - least * column.of_base()));
        self.lower.push(0.0);
        self.upper.push(f64::INFINITY);
    }

    fn take(&mut self, rows: &[&Row]) {
        for row in rows {
            self.rows.extend(&row.coefficients);
            match row.side {
                Side::Least => {
                    self.lower.push(0.0);
                    self.upper.push(f64::INFINITY);
                }
                Side::Most => {
                    self.lower.push(f64::NEG_INFINITY);
                    self.upper.push(0.0);
                }
            }
        }
    }
}

impl Program<'_> {
    /// The change, the cost per kg, or the distance.
    pub fn objective(&self, x: &[f64]) -> f64 {
        let columns = &self.space.columns;
        match self.least {
            Least::Change => self.change.map_or(0.0, |change| change.of(x)),
            Least::Weights => self.weights_moved(x),
            Least::Distance => self.distances.map_or(0.0, |distances| distances.of(x)),
            Least::Cost => {
                let cost: f64 = columns
                    .iter()
                    .zip(x)
                    .map(|(column, x)| x * column.cost.unwrap_or(0.0))
                    .sum();
                let weight: f64 = columns.iter().zip(x).map(|(column, x)| x * column.weight).sum();
                1000.0 * cost / weight
            }
        }
    }

    /// The best point within these rows; `None` where there is none.
    pub fn solve(&self, rows: &[&Row]) -> Result<Option<Point>, KernelError> {
        self.solve_within(rows, &Bounds::free(self.space.columns.len()))
    }

    /// The same within bounds on each column's parts.
    pub fn solve_within(&self, rows: &[&Row], bounds: &Bounds) -> Result<Option<Point>, KernelError> {
        match self.least {
            Least::Change => self.least_change(rows, bounds),
            Least::Weights => self.least_weights(rows, bounds),
            Least::Cost => self.least_cost(rows, bounds),
            Least::Distance => match self.distances {
                Some(distances) => {
                    let bounds = bounds.rows(self.space);
                    let all: Vec<&Row> = rows.iter().copied().chain(&bounds).collect();
                    let found = distances.least(&all, self.space)?;
                    Ok(found.map(|mut point| {
                        point.multipliers.truncate(rows.len());
                        point
                    }))
                }
                None => Ok(None),
            },
        }
    }

    fn least_change(&self, rows: &[&Row], bounds: &Bounds) -> Result<Option<Point>, KernelError> {
        let Some(change) = self.change else { return Ok(None) };
        let limits = limits_of_aims(self.space, rows);
        let program = QuadraticProgram {
            hessian: change.hessian(),
            linear: change.linear(),
            rows: &limits.rows,
            row_lower: &limits.lower,
            row_upper: &limits.upper,
            lower: &bounds.lower,
            upper: &bounds.upper,
        };
        Ok(match QpWorkspace::new().solve(&program)? {
            QpOutcome::Optimal(best) if self.space.base_total(&best.x) > NO_BASE * TOTAL => Some(Point {
                objective: change.of(&best.x),
                multipliers: best.row_multipliers.into_iter().skip(1).collect(),
                x: best.x,
            }),
            QpOutcome::Optimal(_) | QpOutcome::Infeasible(_) => None,
        })
    }

    fn least_weights(&self, rows: &[&Row], bounds: &Bounds) -> Result<Option<Point>, KernelError> {
        let columns = &self.space.columns;
        let limits = limits(self.space, rows);
        let diagonal: Vec<f64> = columns.iter().map(|column| 2.0 / column.step().powi(2)).collect();
        let linear: Vec<f64> = columns
            .iter()
            .zip(&diagonal)
            .map(|(column, curve)| -curve * column.before)
            .collect();
        let program = QuadraticProgram {
            hessian: Hessian::Diagonal(&diagonal),
            linear: &linear,
            rows: &limits.rows,
            row_lower: &limits.lower,
            row_upper: &limits.upper,
            lower: &bounds.lower,
            upper: &bounds.upper,
        };
        Ok(match QpWorkspace::new().solve(&program)? {
            QpOutcome::Optimal(best) => Some(Point {
                objective: self.objective(&best.x),
                multipliers: best.row_multipliers.into_iter().skip(2).collect(),
                x: best.x,
            }),
            QpOutcome::Infeasible(_) => None,
        })
    }

    fn least_cost(&self, rows: &[&Row], bounds: &Bounds) -> Result<Option<Point>, KernelError> {
        let columns = &self.space.columns;
        let limits = limits(self.space, rows);
        // The total and the additions are fixed, so cost per kg is linear in x.
        let weight = columns.first().map_or(1.0, |column| column.weight) * TOTAL;
        let cost: Vec<f64> = columns
            .iter()
            .map(|column| 1000.0 * column.cost.unwrap_or(0.0) / weight)
            .collect();
        let program = LinearProgram {
            cost: &cost,
            rows: &limits.rows,
            row_lower: &limits.lower,
            row_upper: &limits.upper,
            lower: &bounds.lower,
            upper: &bounds.upper,
        };
        Ok(match LpWorkspace::new().solve(&program)? {
            LpOutcome::Optimal(best) => Some(Point {
                objective: self.objective(&best.x),
                multipliers: best.row_multipliers.into_iter().skip(2).collect(),
                x: best.x,
            }),
            LpOutcome::Infeasible(_) | LpOutcome::Unbounded => None,
        })
    }

    /// Phrases that can't hold together, none to spare; empty where they can.
    pub fn clash(&self, rows: &[&Row]) -> Result<Vec<usize>, KernelError> {
        let count = self.space.columns.len();
        let limits = limits(self.space, rows);
        let program = QuadraticProgram {
            hessian: Hessian::Diagonal(&vec![1.0; count]),
            linear: &vec![0.0; count],
            rows: &limits.rows,
            row_lower: &limits.lower,
            row_upper: &limits.upper,
            lower: &vec![0.0; count],
            upper: &vec![f64::INFINITY; count],
        };
        let groups: Vec<Option<usize>> = [None, None]
            .into_iter()
            .chain(rows.iter().map(|row| Some(row.phrase)))
            .collect();
        Ok(QpWorkspace::new().conflict(&program, &groups)?.unwrap_or_default())
    }

    /// The recipe that misses the rows least: the sum of squares of the misses,
    /// each in steps that a maker would notice, with a trace of the change.
    ///
    /// A miss is a ratio and so not linear: Gauss-Newton steps, each kept short
    /// enough that the misses themselves fall.
    pub fn nearest(&self, rows: &[&Row]) -> Result<Option<Vec<f64>>, KernelError> {
        // A recipe without flux would miss nothing, and be none.
        let before = self.space.before();
        let is_there = |row: &&&Row, x: &[f64]| dot(&row.denominator, x) > 0.0;
        let there: Vec<&&Row> = rows.iter().filter(|row| is_there(row, &before)).collect();
        let merit = |x: &[f64]| -> f64 {
            if !there.iter().all(|row| is_there(row, x)) {
                return f64::INFINITY;
            }
            let misses: f64 = rows
                .iter()
                .map(|row| (Self::miss(row, x) / row.noticeable()).powi(2))
                .sum();
            misses + TRACE * self.weights_moved(x)
        };
        let mut here = self.space.before();
        let mut short = 1e-3;
        for _ in 0..MOST_STEPS {
            let Some(next) = self.step_towards(rows, &here, short)? else {
                return Ok(Some(here));
            };
            let gain = merit(&here) - merit(&next);
            if gain > 0.0 {
                here = next;
                short = (short * 0.3).max(1e-9);
                if gain < 1e-10 * (1.0 + merit(&here)) {
                    break;
                }
            } else {
                short *= 10.0;
                if short > 1e6 {
                    break;
                }
            }
        }
        Ok(Some(here))
    }

    fn weights_moved(&self, x: &[f64]) -> f64 {
        self.space
            .columns
            .iter()
            .zip(x)
            .map(|(column, x)| ((x - column.before) / column.step()).powi(2))
            .sum()
    }

    /// One Gauss-Newton step: misses as they are linear about `here`, with
    /// `short` times the step itself.
    fn step_towards(&self, rows: &[&Row], here: &[f64], short: f64) -> Result<Option<Vec<f64>>, KernelError> {
        let columns = &self.space.columns;
        let (count, slack) = (columns.len(), rows.len());
        let all = count + slack;
        let mut limits = Limits {
            rows: vec![0.0; all],
            lower: vec![TOTAL],
            upper: vec![TOTAL],
        };
        for (limit, column) in limits.rows.iter_mut().zip(columns) {
            *limit = column.of_base();
        }
        for (index, row) in rows.iter().enumerate() {
            let below = dot(&row.denominator, here);
            if below <= 0.0 {
                limits.rows.extend(vec![0.0; all]);
                limits.lower.push(f64::NEG_INFINITY);
                limits.upper.push(f64::INFINITY);
                continue;
            }
            // ratio(x) - bound is about off + (coefficients - off denominator) . x / below
            let off = dot(&row.coefficients, here) / below;
            let noticeable = row.noticeable();
            let scale = below * noticeable;
            limits.rows.extend(
                row.coefficients
                    .iter()
                    .zip(&row.denominator)
                    .map(|(n, d)| (n - off * d) / scale),
            );
            let mut slacks = vec![0.0; slack];
            slacks[index] = if row.side == Side::Least { 1.0 } else { -1.0 };
            limits.rows.extend(slacks);
            let least = -off / noticeable;
            let (lower, upper) = if row.side == Side::Least {
                (least, f64::INFINITY)
            } else {
                (f64::NEG_INFINITY, least)
            };
            limits.lower.push(lower);
            limits.upper.push(upper);
        }
        let pull = |column: &super::space::Column, weight: f64| 2.0 * weight / column.step().powi(2);
        let mut diagonal: Vec<f64> = columns.iter().map(|column| pull(column, TRACE + short)).collect();
        let mut linear: Vec<f64> = columns
            .iter()
            .zip(here)
            .map(|(column, here)| -pull(column, TRACE) * column.before - pull(column, short) * here)
            .collect();
        diagonal.extend(vec![2.0; slack]);
        linear.extend(vec![0.0; slack]);
        let program = QuadraticProgram {
            hessian: Hessian::Diagonal(&diagonal),
            linear: &linear,
            rows: &limits.rows,
            row_lower: &limits.lower,
            row_upper: &limits.upper,
            lower: &vec![0.0; all],
            upper: &vec![f64::INFINITY; all],
        };
        Ok(match QpWorkspace::new().solve(&program)? {
            QpOutcome::Optimal(best) => Some(best.x.into_iter().take(count).collect()),
            QpOutcome::Infeasible(_) => None,
        })
    }

    /// How far a row is missed at a point, in the unit of its bound; 0 where it holds.
    pub fn miss(row: &Row, x: &[f64]) -> f64 {
        let below = dot(&row.denominator, x);
        let off = dot(&row.coefficients, x);
        let missed = match row.side {
            Side::Least => -off,
            Side::Most => off,
        };
        if missed <= 0.0 || below <= 0.0 {
            0.0
        } else {
            missed / below
        }
    }
}
