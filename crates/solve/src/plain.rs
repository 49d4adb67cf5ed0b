//! The plain, slow versions: textbook steps, fresh factorisations, nothing clever.
//!
//! They are the oracle of the kernels' tests and share no code with them.

use nalgebra::{DMatrix, DVector};

/// Lawson & Hanson's NNLS (*Solving Least Squares Problems*, 1974, chapter 23) as printed,
/// each subproblem solved by a fresh singular value decomposition.
///
/// `columns` is column-major with `rhs.len()` rows. Columns are scaled to norm 1 first, as
/// the book advises; a zero column gets the amount zero. Returns the amounts.
pub fn nnls(columns: &[f64], rhs: &[f64]) -> Vec<f64> {
    let rows = rhs.len();
    let count = columns.len().checked_div(rows).unwrap_or(0);
    let mut a = DMatrix::from_column_slice(rows, count, &columns[..rows * count]);
    let b = DVector::from_column_slice(rhs);
    let norms: Vec<f64> = (0..count).map(|j| a.column(j).norm()).collect();
    for (j, norm) in norms.iter().enumerate() {
        if *norm > 0.0 {
            a.column_mut(j).unscale_mut(*norm);
        }
    }
    let tolerance = 1e-11 * b.norm();
    let mut x = DVector::zeros(count);
    let mut passive: Vec<usize> = Vec::new();
    let mut refused: Vec<usize> = Vec::new();
    for _ in 0..30 * (count + 3) {
        // step 2-4: the gradient, and the column that gains most
        let gradient = a.tr_mul(&(&b - &a * &x));
        let entering = (0..count)
            .filter(|j| !passive.contains(j) && !refused.contains(j) && gradient[*j] > tolerance)
            .max_by(|i, j| gradient[*i].total_cmp(&gradient[*j]));
        let Some(entering) = entering else { break };
        passive.push(entering);
        // steps 6-11: least squares on the set, back to the boundary while it is crossed
        let mut trial = on_set(&a, &b, &passive);
        if trial[entering] <= 0.0 {
            passive.pop();
            refused.push(entering);
            continue;
        }
        while passive.iter().any(|j| trial[*j] <= 0.0) {
            let step = passive
                .iter()
                .filter(|j| trial[**j] <= 0.0)
                .map(|j| x[*j] / (x[*j] - trial[*j]))
                .fold(1.0, f64::min);
            x += step * (&trial - &x);
            passive.retain(|j| x[*j] > 1e-15 * b.norm());
            for j in 0..count {
                if !passive.contains(&j) {
                    x[j] = 0.0;
                }
            }
            trial = on_set(&a, &b, &passive);
        }
        x = trial;
        refused.clear();
    }
    (0..count)
        .map(|j| if norms[j] > 0.0 { x[j] / norms[j] } else { 0.0 })
        .collect()
}

/// Least squares using only the columns of `set`, zero elsewhere.
fn on_set(a: &DMatrix<f64>, b: &DVector<f64>, set: &[usize]) -> DVector<f64> {
    let mut x = DVector::zeros(a.ncols());
    if !set.is_empty() {
        let part = a.select_columns(set);
        if let Ok(z) = part.svd(true, true).solve(b, 1e-13) {
            for (position, j) in set.iter().enumerate() {
                x[*j] = z[position];
            }
        }
    }
    x
}

/// `|A x - b|^2` for column-major `columns`.
pub fn squared_distance(columns: &[f64], rhs: &[f64], x: &[f64]) -> f64 {
    let mut residual = rhs.to_vec();
    for (column, amount) in columns.chunks_exact(rhs.len().max(1)).zip(x) {
        for (r, a) in residual.iter_mut().zip(column) {
            *r -= amount * a;
        }
    }
    residual.iter().map(|r| r * r).sum()
}

/// The `wanted` best fits with the first `free` columns and at most `at_most` others, by
/// solving every subset. Fits equal to 1e-6 in every row count once. Returns distances and
/// amounts, best first.
pub fn best_subsets(columns: &[f64], rhs: &[f64], free: usize, at_most: usize, wanted: usize) -> Vec<(f64, Vec<f64>)> {
    let rows = rhs.len().max(1);
    let count = columns.len() / rows;
    let mut fits: Vec<(f64, Vec<f64>)> = Vec::new();
    let mut subsets: Vec<Vec<usize>> = vec![(0..free).collect()];
    while let Some(subset) = subsets.pop() {
        let part: Vec<f64> = subset
            .iter()
            .flat_map(|j| columns[j * rows..(j + 1) * rows].iter().copied())
            .collect();
        let mut x = vec![0.0; count];
        for (j, amount) in subset.iter().zip(nnls(&part, rhs)) {
            x[*j] = amount;
        }
        fits.push((squared_distance(columns, rhs, &x), x));
        if subset.len() < free + at_most {
            let next = subset.last().map_or(0, |j| j + 1).max(free);
            subsets.extend((next..count).map(|j| subset.iter().copied().chain([j]).collect()));
        }
    }
    fits.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut distinct: Vec<(f64, Vec<f64>)> = Vec::new();
    for (distance, x) in fits {
        let same = |y: &Vec<f64>| {
            (0..rhs.len()).all(|i| {
                let difference: f64 = (0..count).map(|j| columns[j * rows + i] * (x[j] - y[j])).sum();
                difference.abs() <= 1e-6
            })
        };
        if distinct.len() < wanted && !distinct.iter().any(|(_, y)| same(y)) {
            distinct.push((distance, x));
        }
    }
    distinct
}
