//! Ordinary least squares by orthogonal columns, with the columns that say nothing new.
//!
//! Modified Gram-Schmidt, every column cleaned twice: as accurate as Householder's QR at
//! these sizes, and it meets the columns in order, so that it can name the first one that
//! the ones before already make up.

/// What is left of a column, over its length, below which it says nothing new.
const NOTHING_NEW: f64 = 1e-7;

/// Columns with their orthogonal factors: `columns = q r`.
#[derive(Debug, Clone)]
pub(super) struct Factor {
    /// Orthonormal columns.
    q: Vec<Vec<f64>>,
    /// `r[j][i]`, `i <= j`: how much of `q[i]` is in column `j`.
    r: Vec<Vec<f64>>,
}

/// A column that earlier ones make up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Repeat {
    /// Its place.
    pub column: usize,
    /// The places of the columns that make it up; none for a column of zeros.
    pub of: Vec<usize>,
}

impl Factor {
    /// Factors columns of equal length.
    ///
    /// # Errors
    /// Every column that earlier ones make up.
    pub(super) fn of(columns: &[Vec<f64>]) -> Result<Factor, Vec<Repeat>> {
        let mut factor = Factor {
            q: Vec::new(),
            r: Vec::new(),
        };
        let mut places = Vec::new();
        let mut repeats = Vec::new();
        for (place, column) in columns.iter().enumerate() {
            let length = norm(column);
            let (rest, mut within) = factor.without(column);
            let left = norm(&rest);
            if left <= NOTHING_NEW * length {
                let of = factor.back(&within);
                let size = of.iter().fold(0.0_f64, |most, share| most.max(share.abs()));
                repeats.push(Repeat {
                    column: place,
                    of: of
                        .iter()
                        .zip(&places)
                        .filter(|(share, _)| share.abs() > 1e-6 * size)
                        .map(|(_, place)| *place)
                        .collect(),
                });
                continue;
            }
            within.push(left);
            places.push(place);
            factor.q.push(rest.iter().map(|value| value / left).collect());
            factor.r.push(within);
        }
        if repeats.is_empty() { Ok(factor) } else { Err(repeats) }
    }

    /// A column less what the factor holds of it, and that part's shares.
    fn without(&self, column: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let mut rest = column.to_vec();
        let mut within = vec![0.0; self.q.len()];
        for _ in 0..2 {
            for (direction, share) in self.q.iter().zip(&mut within) {
                let along = dot(direction, &rest);
                *share += along;
                for (value, unit) in rest.iter_mut().zip(direction) {
                    *value -= along * unit;
                }
            }
        }
        (rest, within)
    }

    /// Solves `r x = shares`.
    fn back(&self, shares: &[f64]) -> Vec<f64> {
        let mut x = shares.to_vec();
        for row in (0..x.len()).rev() {
            let later: f64 = (row + 1..x.len()).map(|column| self.r[column][row] * x[column]).sum();
            x[row] = (x[row] - later) / self.r[row][row];
        }
        x
    }

    /// Coefficients of the columns nearest to `y`, and what they leave of it.
    pub(super) fn solve(&self, y: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let (rest, within) = self.without(y);
        (self.back(&within), rest)
    }

    /// How much of each row its own value decides: 0 to 1, the columns' count in all.
    pub(super) fn leverages(&self) -> Vec<f64> {
        let rows = self.q.first().map_or(0, Vec::len);
        (0..rows)
            .map(|row| self.q.iter().map(|direction| direction[row] * direction[row]).sum())
            .collect()
    }

    /// `f' (X'X)^-1 f`: the variance of `f' b` over that of one row.
    pub(super) fn variance(&self, f: &[f64]) -> f64 {
        // r' z = f, forward.
        let mut z: Vec<f64> = Vec::with_capacity(f.len());
        for (column, value) in f.iter().enumerate() {
            let within = &self.r[column];
            let earlier: f64 = z.iter().zip(within).map(|(known, share)| known * share).sum();
            z.push((value - earlier) / within[column]);
        }
        dot(&z, &z)
    }
}

pub(super) fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

fn norm(column: &[f64]) -> f64 {
    dot(column, column).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_made_of_others_is_named_with_them() {
        let columns = [
            vec![1.0, 0.0, 0.0, 1.0],
            vec![0.0, 1.0, 0.0, 1.0],
            vec![0.0, 0.0, 1.0, 1.0],
            vec![2.0, 0.0, -1.0, 1.0],
            vec![0.0; 4],
        ];
        let repeats = Factor::of(&columns).err().unwrap_or_else(|| panic!("columns repeat"));
        assert_eq!(repeats.len(), 2);
        assert_eq!((repeats[0].column, repeats[0].of.as_slice()), (3, &[0, 2][..]));
        assert_eq!((repeats[1].column, repeats[1].of.as_slice()), (4, &[][..]));
    }

    #[test]
    fn what_is_left_is_at_right_angles_to_every_column() {
        // Powers of nearly equal numbers: badly conditioned.
        let columns: Vec<Vec<f64>> = (0..4)
            .map(|power| (0..9).map(|row| (1.0 + 0.05 * f64::from(row)).powi(power)).collect())
            .collect();
        let y: Vec<f64> = (0..9).map(|row| f64::from(row * row % 5)).collect();
        let Ok(factor) = Factor::of(&columns) else {
            panic!("independent columns")
        };
        let (x, rest) = factor.solve(&y);
        for column in &columns {
            assert!(dot(column, &rest).abs() < 1e-12);
        }
        for row in 0..9 {
            let fitted: f64 = columns.iter().zip(&x).map(|(column, x)| column[row] * x).sum();
            assert!((fitted + rest[row] - y[row]).abs() < 1e-9);
        }
        assert!((factor.leverages().iter().sum::<f64>() - 4.0).abs() < 1e-12);
    }
}
