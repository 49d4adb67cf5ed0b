//! Mixtures over a lattice: `out[j] = ln sum_m weights[m] exp(table[2 m + count - 1 - j])`.
//!
//! Where two variables lie on lattices, the one's step twice the other's, a function of
//! their difference takes few values. They are worked once and the mixture is an inner
//! product over every second of them. Where that underflows the sum is done in logarithms.

use super::dense::dot;

/// Below this an inner product of scaled values is done again in logarithms.
const UNDERFLOW: f64 = 1e-250;
/// Below this e^x is nothing.
const SMALLEST_EXPONENT: f64 = -745.0;
/// A term of a sum in logarithms that lies so far below the largest adds less than 1e-19 of it.
const NEGLIGIBLE_BELOW: f64 = 44.0;

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
        halves[index % 2].push(scaled_exp(value - most));
    }
    let ln_weights: Vec<f64> = weights.iter().map(|weight| weight.ln()).collect();
    (0..count)
        .map(|point| {
            let first = count - 1 - point;
            let values = halves[first % 2].get(first / 2..).unwrap_or_default();
            let sum = dot(weights, values);
            if sum > UNDERFLOW {
                most + sum.ln()
            } else {
                in_logarithms(&ln_weights, table.get(first..).unwrap_or_default(), 2)
            }
        })
        .collect()
}

/// ln of the mixture of a table over neighbouring shifts:
/// `out[i] = ln sum_j weights[j] exp(table[i + j])`, one value less than the table has for
/// each weight but the first. No value of the table may be NaN or plus infinity.
pub fn ln_shifted(weights: &[f64], table: &[f64]) -> Vec<f64> {
    let count = (table.len() + 1).saturating_sub(weights.len());
    let most = table.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if weights.is_empty() || most == f64::NEG_INFINITY {
        return vec![f64::NEG_INFINITY; count];
    }
    // Level ends of the table mix to level ends.
    let (first, end) = uneven(table, weights.len());
    let (first, end) = (first.min(count), end.min(count).max(first.min(count)));
    let ln_total = weights.iter().sum::<f64>().ln();
    let mut mixed = vec![table.first().copied().unwrap_or(most) + ln_total; first];
    let last = (end + weights.len()).saturating_sub(1).clamp(first, table.len());
    let scaled: Vec<f64> = table[first..last]
        .iter()
        .map(|value| scaled_exp(value - most))
        .collect();
    let ln_weights: Vec<f64> = weights.iter().map(|weight| weight.ln()).collect();
    // One pass over all outputs a weight: the inner loop runs over neighbours.
    let mut sums = vec![0.0; end - first];
    for (shift, weight) in weights.iter().enumerate() {
        for (sum, value) in sums.iter_mut().zip(scaled.iter().skip(shift)) {
            *sum += weight * value;
        }
    }
    mixed.extend(sums.into_iter().enumerate().map(|(index, sum)| {
        if sum > UNDERFLOW {
            most + sum.ln()
        } else {
            in_logarithms(&ln_weights, &table[first + index..], 1)
        }
    }));
    mixed.resize(count, table.last().copied().unwrap_or(most) + ln_total);
    mixed
}

/// From which output on, and up to which, a mixture over so many neighbours meets anything
/// but the value at the table's beginning or at its end.
fn uneven(table: &[f64], weights: usize) -> (usize, usize) {
    let (begins, ends) = (table.first(), table.last());
    let leading = table.iter().take_while(|value| Some(*value) == begins).count();
    let trailing = table.iter().rev().take_while(|value| Some(*value) == ends).count();
    let first = (leading + 1).saturating_sub(weights);
    (first, table.len().saturating_sub(trailing))
}

/// e^x; 0 at once where that is what it comes to, which the library works out slowly.
fn scaled_exp(x: f64) -> f64 {
    if x < SMALLEST_EXPONENT { 0.0 } else { x.exp() }
}

/// ln of the sum of weight times e^value, the weights by their logarithms.
fn in_logarithms(ln_weights: &[f64], table: &[f64], step: usize) -> f64 {
    let terms = || {
        let pairs = ln_weights.iter().zip(table.iter().step_by(step));
        pairs.map(|(weight, value)| weight + value)
    };
    let most = terms().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    // Terms far below the largest change no digit.
    let counting = terms().filter(|term| *term > most - NEGLIGIBLE_BELOW);
    most + counting.map(|term| (term - most).exp()).sum::<f64>().ln()
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

    #[test]
    fn shifts_are_the_plain_sum_also_where_that_underflows() {
        let weights = [0.25, 0.5, 0.25];
        let table: Vec<f64> = (0..40).map(|index| -1.5 * (f64::from(index) - 3.0).powi(2)).collect();
        let ours = ln_shifted(&weights, &table);
        assert_eq!(ours.len(), 38);
        for (point, ours) in ours.iter().enumerate() {
            let most = table[point..point + 3]
                .iter()
                .copied()
                .fold(f64::NEG_INFINITY, f64::max);
            let terms = weights.iter().zip(&table[point..]);
            let plain = most
                + terms
                    .map(|(weight, value)| weight * (value - most).exp())
                    .sum::<f64>()
                    .ln();
            assert!(
                (ours - plain).abs() < 1e-11 * plain.abs().max(1.0),
                "{point}: {ours} {plain}"
            );
        }
        assert!(ours[37] < -1000.0);
    }
}
