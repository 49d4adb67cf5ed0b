//! Chemistry distance as a bound and as an objective.
//!
//! At the scale that makes it least, the distance of rows r from a target t is
//! |t| sin(angle between them): a bound on it is a convex cone,
//! `c |r| - t.r / |t| <= 0` with `c = sqrt(1 - d^2 / |t|^2)`. Its tangents are
//! linear rows through the origin; they are added where a point lies outside
//! until none does (Kelley 1960). The least distance within rows is a quadratic
//! programme in amounts whose scale is free.

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::FluxList;
use glost_solve::KernelError;
use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};

use super::program::{Point, TOTAL};
use super::rows::{NO_OXIDE, Row, Side, dot};
use super::space::Space;

/// Tangents are laid this part of the bound inside it, so that a search that
/// only nears its end still keeps the bound.
const INSIDE: f64 = 1e-7;
/// How much nearness to the old shares counts, so that twins don't drift.
const TRACE: f64 = 1e-10;

/// Each column's rows of the distance, and the target's.
#[derive(Debug, Clone)]
pub(crate) struct Distances {
    columns: Vec<Vec<f64>>,
    target: Vec<f64>,
    length: f64,
}

impl Distances {
    /// From a target to the columns of a space; `None` for a target without flux.
    pub fn new(target: &glost_chemistry::oxides::OxideMoles, space: &Space, fluxes: &FluxList) -> Option<Distances> {
        let yardstick = ChemistryDistance::new(&fluxes.unity(target)?, fluxes);
        let target = yardstick.target_rows().to_vec();
        let length = dot(&target, &target).sqrt();
        let columns = space
            .columns
            .iter()
            .map(|column| yardstick.rows(&column.moles))
            .collect();
        (length > 0.0).then_some(Distances {
            columns,
            target,
            length,
        })
    }

    fn rows(&self, x: &[f64]) -> Vec<f64> {
        let mut rows = vec![0.0; self.target.len()];
        for (column, grams) in self.columns.iter().zip(x) {
            for (row, part) in rows.iter_mut().zip(column) {
                *row += grams.max(0.0) * part;
            }
        }
        rows
    }

    /// The distance of a point, in tolerances.
    pub fn of(&self, x: &[f64]) -> f64 {
        let rows = self.rows(x);
        let square = dot(&rows, &rows);
        let scale = if square > 0.0 {
            dot(&rows, &self.target) / square
        } else {
            0.0
        };
        rows.iter()
            .zip(&self.target)
            .map(|(row, target)| (scale * row - target).powi(2))
            .sum::<f64>()
            .sqrt()
    }

    /// The tangent of the cone at a point outside it; `None` where the bound holds.
    pub fn cut(&self, phrase: usize, aim: usize, most: f64, x: &[f64]) -> Option<Row> {
        if self.of(x) <= most || most >= self.length {
            return None;
        }
        let bound = most;
        let most = most * (1.0 - INSIDE);
        let rows = self.rows(x);
        let size = dot(&rows, &rows).sqrt();
        if size <= 0.0 {
            return None;
        }
        let cosine = (1.0 - (most / self.length).powi(2)).sqrt();
        let along = |column: &[f64]| dot(&rows, column) / size;
        let by_bound = most / (self.length.powi(2) * cosine.max(1e-9));
        Some(Row {
            phrase,
            aim,
            side: Side::Most,
            bound,
            per_mole: NO_OXIDE,
            coefficients: self
                .columns
                .iter()
                .map(|column| cosine * along(column) - dot(&self.target, column) / self.length)
                .collect(),
            denominator: self
                .columns
                .iter()
                .map(|column| (by_bound * along(column)).max(0.0))
                .collect(),
        })
    }

    /// The point of least distance within rows through the origin.
    pub fn least(&self, rows: &[&Row], space: &Space) -> Result<Option<Point>, KernelError> {
        let count = self.columns.len();
        let mut hessian = vec![0.0; count * count];
        for (i, one) in self.columns.iter().enumerate() {
            for (j, other) in self.columns.iter().enumerate() {
                hessian[i * count + j] = dot(one, other);
            }
            hessian[i * count + i] *= 1.0 + TRACE;
            hessian[i * count + i] += TRACE;
        }
        let before = space.before();
        let linear: Vec<f64> = self
            .columns
            .iter()
            .zip(&before)
            .map(|(column, before)| -dot(&self.target, column) - TRACE * before)
            .collect();
        let flat: Vec<f64> = rows.iter().flat_map(|row| row.coefficients.iter().copied()).collect();
        let at_least = |row: &&Row| row.side == Side::Least;
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&hessian),
            linear: &linear,
            rows: &flat,
            row_lower: &rows
                .iter()
                .map(|row| if at_least(row) { 0.0 } else { f64::NEG_INFINITY })
                .collect::<Vec<f64>>(),
            row_upper: &rows
                .iter()
                .map(|row| if at_least(row) { f64::INFINITY } else { 0.0 })
                .collect::<Vec<f64>>(),
            lower: &vec![0.0; count],
            upper: &vec![f64::INFINITY; count],
        };
        let QpOutcome::Optimal(best) = QpWorkspace::new().solve(&program)? else {
            return Ok(None);
        };
        // Rows through the origin are met by nothing at all: that is no recipe.
        let total = space.base_total(&best.x);
        if total <= 1e-9 * before.iter().sum::<f64>().max(1.0) * self.scale(&before) {
            return Ok(None);
        }
        let x: Vec<f64> = best.x.iter().map(|grams| grams * TOTAL / total).collect();
        Ok(Some(Point {
            objective: self.of(&x),
            multipliers: best.row_multipliers,
            x,
        }))
    }

    /// Grams of the old recipe that make one target, over its total.
    fn scale(&self, before: &[f64]) -> f64 {
        let rows = self.rows(before);
        let square = dot(&rows, &rows);
        if square > 0.0 {
            (dot(&rows, &self.target) / square).abs().max(1e-6)
        } else {
            1.0
        }
    }
}
