//! Least change as change of what is fired: a convex quadratic.
//!
//! `sum over rows (r . y - b_r)^2 + 0.01 sum ((v - v0) / s)^2`: the rows of the
//! chemistry distance to the old chemistry with what was asked put in, and a
//! trace of the change in weights, so that twins and newcomers stay put. Parts are
//! counted on 100 of the old base, and the rows take them at the scale where the old
//! glaze's fluxes sum to 1. Every aim is a ratio, so the scale is free.

use glost_chemistry::distance::ChemistryDistance;
use glost_solve::qp::Hessian;

use super::rows::dot;
use super::space::Space;

/// What the change of weights counts beside the change of what is fired (ours).
const WEIGHTS_COUNT: f64 = 0.01;

/// The quadratic and what it is made of.
#[derive(Debug, Clone)]
pub(crate) struct LeastChange {
    /// Rows of the distance per part of each column.
    columns: Vec<Vec<f64>>,
    target: Vec<f64>,
    before: Vec<f64>,
    steps: Vec<f64>,
    hessian: Vec<f64>,
    linear: Vec<f64>,
}

impl LeastChange {
    /// Towards a target; `None` for an old recipe without flux.
    pub fn new(space: &Space, target: &ChemistryDistance) -> Option<LeastChange> {
        let before = space.before();
        let fluxes: f64 = space
            .columns
            .iter()
            .zip(&before)
            .map(|(column, x)| column.flux * x)
            .sum();
        if fluxes <= 0.0 {
            return None;
        }
        let scale = 1.0 / fluxes;
        let mut columns: Vec<Vec<f64>> = space
            .columns
            .iter()
            .map(|column| target.rows(&column.moles.scaled(scale)))
            .collect();
        let mut wanted = target.target_rows().to_vec();
        drop_empty_rows(&mut columns, &mut wanted);
        let steps: Vec<f64> = space.columns.iter().map(super::space::Column::step).collect();
        let count = columns.len();
        let mut hessian = vec![0.0; count * count];
        let mut linear = vec![0.0; count];
        for i in 0..count {
            for j in 0..=i {
                let both = 2.0 * dot(&columns[i], &columns[j]);
                hessian[i * count + j] = both;
                hessian[j * count + i] = both;
            }
            let pull = 2.0 * WEIGHTS_COUNT / steps[i].powi(2);
            hessian[i * count + i] += pull;
            linear[i] = -2.0 * dot(&columns[i], &wanted) - pull * before[i];
        }
        Some(LeastChange {
            columns,
            target: wanted,
            before,
            steps,
            hessian,
            linear,
        })
    }

    /// The quadratic's matrix.
    pub fn hessian(&self) -> Hessian<'_> {
        Hessian::Dense(&self.hessian)
    }

    /// Its linear part.
    pub fn linear(&self) -> &[f64] {
        &self.linear
    }

    /// Its value at a point, at the scale that makes it least.
    pub fn of(&self, x: &[f64]) -> f64 {
        let mut fired = vec![0.0; self.target.len()];
        for (column, parts) in self.columns.iter().zip(x) {
            for (sum, row) in fired.iter_mut().zip(column) {
                *sum += parts * row;
            }
        }
        let over = |values: &[f64]| -> Vec<f64> {
            let root = WEIGHTS_COUNT.sqrt();
            values
                .iter()
                .zip(&self.steps)
                .map(|(value, step)| root * value / step)
                .collect()
        };
        fired.extend(over(x));
        let mut wanted = self.target.clone();
        wanted.extend(over(&self.before));
        glost_chemistry::distance::distance_of_rows(&fired, &wanted).powi(2)
    }
}

/// Rows that are zero in the target and in every column say nothing.
fn drop_empty_rows(columns: &mut [Vec<f64>], target: &mut Vec<f64>) {
    let used: Vec<bool> = (0..target.len())
        .map(|row| target[row] != 0.0 || columns.iter().any(|column| column[row] != 0.0))
        .collect();
    let keep = |rows: &mut Vec<f64>| {
        let mut index = 0;
        rows.retain(|_| {
            index += 1;
            used[index - 1]
        });
    };
    columns.iter_mut().for_each(keep);
    keep(target);
}
