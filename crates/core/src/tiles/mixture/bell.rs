//! The normal law, fast: the same digits as `glost_solve::normal`, by a short series.
//!
//! The upper tail over the density (the Mills ratio) is smooth in `t = 2 / (2 + x)`; its
//! Chebyshev coefficients are worked out once, from the continued fraction 26.2.14 and the
//! series 26.2.11 of M. Abramowitz and I. Stegun, Handbook of Mathematical Functions (1964).

use std::f64::consts::PI;
use std::sync::LazyLock;

/// The 95 % point: a 90 % band on both sides.
pub(super) const NORMAL_90: f64 = 1.644_853_626_951_472_2;
/// The 90 % point.
pub(super) const NORMAL_TENTH: f64 = 1.281_551_565_544_600_4;

const TERMS: usize = 34;

static TAIL: LazyLock<[f64; TERMS]> = LazyLock::new(|| {
    const NODES: usize = 96;
    let mut coefficients = [0.0; TERMS];
    for node in 0..NODES {
        let angle = PI * (node as f64 + 0.5) / NODES as f64;
        let t = 0.5 * (angle.cos() + 1.0);
        let value = mills(2.0 / t - 2.0) / t;
        for (order, coefficient) in coefficients.iter_mut().enumerate() {
            *coefficient += 2.0 / NODES as f64 * value * (order as f64 * angle).cos();
        }
    }
    coefficients[0] *= 0.5;
    coefficients
});

/// The upper tail over the density at `x >= 0`, slowly.
fn mills(x: f64) -> f64 {
    if x < 1.0 {
        let (mut term, mut sum, mut odd) = (x, x, 1.0);
        while term > 1e-18 * sum {
            odd += 2.0;
            term *= x * x / odd;
            sum += term;
        }
        return 0.5 / density(x) - sum;
    }
    let below = (1..=3000).rev().fold(x, |below, term| x + f64::from(term) / below);
    1.0 / below
}

/// The density.
pub(super) fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}

/// The upper tail over the density at `x >= 0`.
fn tail_over_density(x: f64) -> f64 {
    let t = 2.0 / (2.0 + x);
    let twice = 2.0 * (2.0 * t - 1.0);
    let (mut one, mut two) = (0.0, 0.0);
    for coefficient in TAIL[1..].iter().rev() {
        (one, two) = (twice * one - two + coefficient, one);
    }
    t * (0.5 * twice * one - two + TAIL[0])
}

/// P(X <= x).
pub(super) fn cumulative(x: f64) -> f64 {
    let tail = density(x) * tail_over_density(x.abs());
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// ln P(X <= x), and the density over that chance.
pub(super) fn ln_cumulative(x: f64) -> (f64, f64) {
    if x < 0.0 {
        let over = tail_over_density(-x);
        return (over.ln() - 0.5 * x * x - 0.5 * (2.0 * PI).ln(), 1.0 / over);
    }
    let tail = density(x) * tail_over_density(x);
    ((-tail).ln_1p(), density(x) / (1.0 - tail))
}

/// The place below which this share lies, for a share strictly between 0 and 1.
pub(super) fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-38.0, 38.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if cumulative(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Places and weights of Gauss and Hermite's rule for the normal law: the mean of a
/// function over Normal(0, 1), exact for polynomials of degree below `2 N`.
pub(super) fn gauss_hermite<const N: usize>() -> [(f64, f64); N] {
    // Roots of the Hermite polynomial are the eigenvalues of this matrix, weights the
    // squares of the eigenvectors' first entries (G. Golub, J. Welsch, Math. Comp. 23
    // (1969) 221).
    let jacobi = nalgebra::DMatrix::from_fn(N, N, |row, column| {
        if row.abs_diff(column) == 1 {
            (row.max(column) as f64).sqrt()
        } else {
            0.0
        }
    });
    let eigen = nalgebra::SymmetricEigen::new(jacobi);
    let mut rule: Vec<(f64, f64)> = (0..N)
        .map(|place| (eigen.eigenvalues[place], eigen.eigenvectors[(0, place)].powi(2)))
        .collect();
    rule.sort_by(|one, other| one.0.total_cmp(&other.0));
    std::array::from_fn(|place| rule[place])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_has_the_digits_of_the_slow_one() {
        for step in -380..=380 {
            let x = f64::from(step) / 10.0 + 0.037;
            let slow = glost_solve::normal::cumulative(x);
            assert!((cumulative(x) - slow).abs() <= 2e-13 * slow.max(1e-290), "{x}");
            let (ln, over) = ln_cumulative(x);
            let slow = glost_solve::normal::ln_cumulative(x);
            // Far up, the slow one takes the logarithm of a number next to 1.
            assert!((ln - slow).abs() <= 1e-12 * slow.abs() + 4e-16, "{x}: {ln}, not {slow}");
            let known = (glost_solve::normal::ln_density(x) - slow).exp();
            // Far up, both leave the numbers that are held in full.
            assert!((over - known).abs() <= 1e-11 * known + 1e-300, "{x}");
        }
        assert!((quantile(0.9) - NORMAL_TENTH).abs() < 1e-12);
        assert!((quantile(0.95) - NORMAL_90).abs() < 1e-12);
    }

    #[test]
    fn the_rule_has_the_moments_of_the_normal_law() {
        for (power, moment) in [(0, 1.0), (2, 1.0), (4, 3.0), (6, 15.0), (8, 105.0)] {
            let sum: f64 = gauss_hermite::<9>().iter().map(|(x, w)| w * x.powi(power)).sum();
            assert!((sum - moment).abs() < 1e-10 * moment, "{power}: {sum}");
        }
    }
}
