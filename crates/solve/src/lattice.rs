//! Mixtures over a lattice: `out[j] = ln sum_m weights[m] exp(table[2 m + count - 1 - j])`.
//!
//! Where two variables lie on lattices, the one's step twice the other's, a function of
//! their difference takes few values. They are worked once and the mixture is an inner
//! product over every second of them. Where that underflows the sum is done in logarithms.

use super::dense::dot;

/// Below this an inner product of scaled values is done again in logarithms.
const UNDERFLOW: f64 = 1e-250;

/// How many values a table has for `count` points mixed over `weights` points.
pub fn table_length(weights: usize, count: usize) -> usize {
    (2 * weights + count).saturating_sub(2)
}

/// ln of the mixture at each of `count` points. `table[2 m + count - 1 - j]` is ln of the
/// function at the difference of mixing point `m` and point `j`; none of it may be NaN or
/// plus infinity.
pub fn ln_mixtures(weights: &[f64], table: &[f64], count: usize) -> Vec<f64> {
    let most = table.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if weights.is_empty() || most == f64::NEG_INFINITY {
        return vec![f64::NEG_INFINITY; count];
    }
    // Every second value side by side, so that the inner loop runs over neighbours.
    let mut halves = [Vec::new(), Vec::new()];
    for (index, value) in table.iter().enumerate() {
        halves[index % 2].push((value - most).exp());
    }
    (0..count)
        .map(|point| {
            let first = count - 1 - point;
            let values = halves[first % 2].get(first / 2..).unwrap_or_default();
            let sum = dot(weights, values);
            if sum > UNDERFLOW {
                most + sum.ln()
            } else {
                in_logarithms(weights, table.get(first..).unwrap_or_default())
            }
        })
        .collect()
}

fn in_logarithms(weights: &[f64], table: &[f64]) -> f64 {
    let terms = || {
        let pairs = weights.iter().zip(table.iter().step_by(2));
        pairs.map(|(weight, value)| weight.ln() + value)
    };
    let most = terms().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    most + terms().map(|term| (term - most).exp()).sum::<f64>().ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The plain double loop, on a table that underflows at one end.
    #[test]
    fn it_is_the_plain_sum_also_where_that_underflows() {
        let count = 37;
        let weights: Vec<f64> = (0..15).map(|point| 1.0 / (1.0 + f64::from(point))).collect();
        let length = table_length(weights.len(), count);
        let steep = |index: usize| -0.9 * (index as f64 - 63.0).powi(2);
        let table: Vec<f64> = (0..length).map(steep).collect();
        let ours = ln_mixtures(&weights, &table, count);
        for (point, ours) in ours.iter().enumerate() {
            let terms: Vec<f64> = weights
                .iter()
                .enumerate()
                .map(|(mixing, weight)| weight.ln() + table[2 * mixing + count - 1 - point])
                .collect();
            let most = terms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let plain = most + terms.iter().map(|term| (term - most).exp()).sum::<f64>().ln();
            assert!(
                (ours - plain).abs() < 1e-11 * plain.abs().max(1.0),
                "{point}: {ours} {plain}"
            );
        }
        assert!(ours[36] < -1000.0, "no value of the table was small enough");
    }
}
