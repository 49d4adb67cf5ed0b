//! Triangular factors of small dense matrices, row by row, fast enough for a thousand
//! right-hand sides.

/// Right-hand sides solved together: they fit the registers.
const TOGETHER: usize = 16;
/// Columns of a panel, in sums of products.
const PANEL: usize = 4;

/// The lower factor `l` of a symmetric matrix `l l'`.
#[derive(Debug, Clone)]
pub(super) struct Lower {
    size: usize,
    /// Row after row; above the diagonal nothing is read.
    rows: Vec<f64>,
}

/// A product's sum in four strands, so that the processor needn't wait for each.
pub(super) fn dot(one: &[f64], other: &[f64]) -> f64 {
    let length = one.len().min(other.len());
    let (one, other) = (&one[..length], &other[..length]);
    let (quads, rest) = one.as_chunks::<4>();
    let (others, other_rest) = other.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (a, b) in quads.iter().zip(others) {
        for strand in 0..4 {
            sums[strand] += a[strand] * b[strand];
        }
    }
    let tail: f64 = rest.iter().zip(other_rest).map(|(a, b)| a * b).sum();
    (sums[0] + sums[2]) + (sums[1] + sums[3]) + tail
}

impl Lower {
    /// Factors a matrix given row after row; `None` where it isn't positive definite.
    pub(super) fn of(mut matrix: Vec<f64>, size: usize) -> Option<Lower> {
        for row in 0..size {
            let (above, from_row) = matrix.split_at_mut(row * size);
            let here = &mut from_row[..size];
            for column in 0..row {
                let other = &above[column * size..column * size + column + 1];
                let sum = here[column] - dot(&here[..column], &other[..column]);
                here[column] = sum / other[column];
            }
            let left = here[row] - dot(&here[..row], &here[..row]);
            if left.is_nan() || left <= 0.0 {
                return None;
            }
            here[row] = left.sqrt();
        }
        Some(Lower { size, rows: matrix })
    }

    fn row(&self, row: usize) -> &[f64] {
        &self.rows[row * self.size..row * self.size + row + 1]
    }

    /// The sum of the logarithms of the diagonal.
    pub(super) fn ln_diagonal(&self) -> f64 {
        (0..self.size).map(|row| self.row(row)[row].ln()).sum()
    }

    /// `l^-1 b`.
    pub(super) fn forward(&self, b: &mut [f64]) {
        for row in 0..self.size {
            let line = self.row(row);
            b[row] = (b[row] - dot(&line[..row], &b[..row])) / line[row];
        }
    }

    /// `l'^-1 b`.
    pub(super) fn back(&self, b: &mut [f64]) {
        for row in (0..self.size).rev() {
            let line = self.row(row);
            let solved = b[row] / line[row];
            b[row] = solved;
            for (entry, weight) in b[..row].iter_mut().zip(line) {
                *entry -= weight * solved;
            }
        }
    }

    /// `l^-1 b` for many right-hand sides: `b` holds a row of `columns` for each row of `l`.
    pub(super) fn forward_many(&self, b: &mut [f64], columns: usize) {
        let mut packed = vec![[0.0_f64; TOGETHER]; self.size];
        for start in (0..columns).step_by(TOGETHER) {
            let width = TOGETHER.min(columns - start);
            for (row, pack) in packed.iter_mut().enumerate() {
                let from = row * columns + start;
                pack[..width].copy_from_slice(&b[from..from + width]);
            }
            for row in 0..self.size {
                let line = self.row(row);
                let mut sums = packed[row];
                for (before, weight) in packed[..row].iter().zip(line) {
                    for place in 0..TOGETHER {
                        sums[place] -= weight * before[place];
                    }
                }
                packed[row] = sums.map(|sum| sum / line[row]);
            }
            for (row, pack) in packed.iter().enumerate() {
                let from = row * columns + start;
                b[from..from + width].copy_from_slice(&pack[..width]);
            }
        }
    }
}

/// Adds `sign v' v` to a square of `columns`, for `v` of rows of `columns`; only the lower
/// half is written.
pub(super) fn add_squares(square: &mut [f64], v: &[f64], columns: usize, sign: f64) {
    let rows = v.len() / columns.max(1);
    let panels = columns.div_ceil(PANEL);
    let mut packed = vec![[0.0_f64; PANEL]; panels * rows];
    for panel in 0..panels {
        let width = PANEL.min(columns - PANEL * panel);
        for row in 0..rows {
            let from = row * columns + PANEL * panel;
            packed[panel * rows + row][..width].copy_from_slice(&v[from..from + width]);
        }
    }
    for down in 0..panels {
        let left = &packed[down * rows..(down + 1) * rows];
        for across in 0..=down {
            let right = &packed[across * rows..(across + 1) * rows];
            let mut sums = [[0.0_f64; PANEL]; PANEL];
            for (a, b) in left.iter().zip(right) {
                for one in 0..PANEL {
                    for other in 0..PANEL {
                        sums[one][other] += a[one] * b[other];
                    }
                }
            }
            for (one, line) in sums.iter().enumerate() {
                for (other, sum) in line.iter().enumerate() {
                    let (row, column) = (PANEL * down + one, PANEL * across + other);
                    if row < columns && column < columns {
                        square[row * columns + column] += sign * sum;
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_factor_solves_and_squares_add_up() {
        let size = 23;
        let matrix: Vec<f64> = (0..size * size)
            .map(|place| {
                let (row, column) = ((place / size) as f64, (place % size) as f64);
                (-0.1 * (row - column).abs()).exp() + if row == column { 0.3 } else { 0.0 }
            })
            .collect();
        let known: Vec<f64> = (0..size).map(|place| (place as f64).sin()).collect();
        let mut b: Vec<f64> = matrix.chunks(size).map(|row| dot(row, &known)).collect();
        let Some(factor) = Lower::of(matrix, size) else {
            panic!("positive definite")
        };
        let mut many: Vec<f64> = b.iter().flat_map(|entry| [*entry; 19]).collect();
        factor.forward_many(&mut many, 19);
        factor.forward(&mut b);
        assert!((0..size).all(|row| {
            many[row * 19..(row + 1) * 19]
                .iter()
                .all(|x| (x - b[row]).abs() < 1e-12)
        }));
        let mut square = vec![0.0; 19 * 19];
        add_squares(&mut square, &many, 19, -1.0);
        assert!((square[18 * 19 + 5] + dot(&b, &b)).abs() < 1e-12);
        factor.back(&mut b);
        assert!(b.iter().zip(&known).all(|(x, known)| (x - known).abs() < 1e-12));
        assert!(Lower::of(vec![1.0, 2.0, 2.0, 1.0], 2).is_none());
    }
}
