//! Where the weights are not unique though the fired chemistry is.
//!
//! Materials whose chemistries depend on each other (two silicas, a feldspar
//! and a mix that holds it) can stand in for each other without moving an
//! oxide. Then the recipe nearest to what was wanted is taken, and each weight
//! has a range.

use nalgebra::{DMatrix, DVector};

use glost_solve::lp::{LinearProgram, LpOutcome, LpWorkspace};
use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};

/// Singular values below this share of the largest count as zero.
const DEPENDENT: f64 = 1e-10;

/// The fitted chemistry as independent equations over the amounts.
pub(super) struct SameChemistry {
    rows: Vec<f64>,
    values: Vec<f64>,
    count: usize,
}

impl SameChemistry {
    /// Of these columns at these amounts; `None` where the amounts are unique.
    pub fn of(columns: &[&[f64]], amounts: &[f64]) -> Option<SameChemistry> {
        let (height, count) = (columns.first()?.len(), columns.len());
        let matrix = DMatrix::from_fn(height, count, |row, column| columns[column][row]);
        let fitted = &matrix * DVector::from_row_slice(amounts);
        let svd = matrix.clone().svd(true, false);
        let largest = svd.singular_values.iter().copied().fold(0.0, f64::max);
        let rank = svd
            .singular_values
            .iter()
            .filter(|value| **value > DEPENDENT * largest)
            .count();
        if rank >= count || largest <= 0.0 {
            return None;
        }
        let left = svd.u?;
        let mut same = SameChemistry {
            rows: Vec::new(),
            values: Vec::new(),
            count,
        };
        for (index, value) in svd.singular_values.iter().enumerate() {
            if *value > DEPENDENT * largest {
                let direction = left.column(index);
                same.rows
                    .extend((0..count).map(|column| direction.dot(&matrix.column(column)) / value));
                same.values.push(direction.dot(&fitted) / value);
            }
        }
        Some(same)
    }

    /// Amounts of the same chemistry nearest to those wanted.
    pub fn nearest(&self, wanted: &[f64]) -> Option<Vec<f64>> {
        let linear: Vec<f64> = wanted.iter().map(|wanted| -wanted).collect();
        let program = QuadraticProgram {
            hessian: Hessian::Diagonal(&vec![1.0; self.count]),
            linear: &linear,
            rows: &self.rows,
            row_lower: &self.values,
            row_upper: &self.values,
            lower: &vec![0.0; self.count],
            upper: &vec![f64::INFINITY; self.count],
        };
        match QpWorkspace::new().solve(&program) {
            Ok(QpOutcome::Optimal(best)) => Some(best.x),
            _ => None,
        }
    }

    /// The least and the most that each amount can be at the same chemistry.
    pub fn ranges(&self, amounts: &[f64]) -> Vec<(f64, f64)> {
        let extreme = |index: usize, sign: f64| -> f64 {
            let mut cost = vec![0.0; self.count];
            cost[index] = sign;
            let program = LinearProgram {
                cost: &cost,
                rows: &self.rows,
                row_lower: &self.values,
                row_upper: &self.values,
                lower: &vec![0.0; self.count],
                upper: &vec![f64::INFINITY; self.count],
            };
            match LpWorkspace::new().solve(&program) {
                Ok(LpOutcome::Optimal(best)) => best.x[index],
                _ => amounts[index],
            }
        };
        (0..self.count)
            .map(|index| (extreme(index, 1.0), extreme(index, -1.0)))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twins_share_one_amount_and_a_third_stands_firm() {
        let columns: [&[f64]; 3] = [&[1.0, 0.0], &[2.0, 0.0], &[0.0, 1.0]];
        let same = SameChemistry::of(&columns, &[4.0, 0.0, 3.0]).unwrap_or_else(|| panic!("they are unique"));
        let nearest = same.nearest(&[2.0, 1.0, 3.0]).unwrap_or_else(|| panic!("there is one"));
        for (found, wanted) in nearest.iter().zip([2.0, 1.0, 3.0]) {
            assert!((found - wanted).abs() < 1e-9, "{nearest:?}");
        }
        let ranges = same.ranges(&nearest);
        for ((low, high), (least, most)) in ranges.iter().zip([(0.0, 4.0), (0.0, 2.0), (3.0, 3.0)]) {
            assert!((low - least).abs() < 1e-6 && (high - most).abs() < 1e-6, "{ranges:?}");
        }
        assert!(SameChemistry::of(&columns[..1], &[4.0]).is_none());
    }
}
