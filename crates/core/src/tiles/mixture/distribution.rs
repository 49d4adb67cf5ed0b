//! Student's t and Fisher's F: what a handful of tiles can and can't say.
//!
//! Both come from the regularised incomplete beta function, by the continued fraction of
//! NIST DLMF 8.17.22 with the modified Lentz method; log-gamma by Lanczos' series
//! (g = 7, 9 terms), good to about 1e-14.

/// Lanczos' coefficients for g = 7.
const LANCZOS: [f64; 9] = [
    0.999_999_999_999_809_9,
    676.520_368_121_885_1,
    -1_259.139_216_722_402_8,
    771.323_428_777_653_1,
    -176.615_029_162_140_6,
    12.507_343_278_686_905,
    -0.138_571_095_265_720_12,
    9.984_369_578_019_572e-6,
    1.505_632_735_149_311_6e-7,
];

/// The logarithm of the gamma function, for `x > 0`.
fn ln_gamma(x: f64) -> f64 {
    let x = x - 1.0;
    let sum = LANCZOS
        .iter()
        .enumerate()
        .skip(1)
        .fold(LANCZOS[0], |sum, (index, term)| sum + term / (x + index as f64));
    let shifted = x + 7.5;
    0.5 * (2.0 * std::f64::consts::PI).ln() + (x + 0.5) * shifted.ln() - shifted + sum.ln()
}

/// The regularised incomplete beta function `I_x(a, b)`, for `a, b > 0` and `x` in 0..1.
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction converges fast on this side only.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(1.0 - x, b, a);
    }
    let front = (a * x.ln() + b * (1.0 - x).ln() + ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b)).exp() / a;
    front / beta_fraction(x, a, b)
}

/// The continued fraction `1 + d1/(1 + d2/(1 + ...))` of DLMF 8.17.22.
fn beta_fraction(x: f64, a: f64, b: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let guarded = |value: f64| if value.abs() < TINY { TINY } else { value };
    let (mut fraction, mut c, mut d) = (1.0, 1.0, 0.0);
    for step in 1..10_000 {
        let half = f64::from(step / 2);
        let numerator = if step % 2 == 0 {
            half * (b - half) * x / ((a + 2.0 * half - 1.0) * (a + 2.0 * half))
        } else {
            -(a + half) * (a + b + half) * x / ((a + 2.0 * half) * (a + 2.0 * half + 1.0))
        };
        d = 1.0 / guarded(1.0 + numerator * d);
        c = guarded(1.0 + numerator / c);
        let change = c * d;
        fraction *= change;
        if (change - 1.0).abs() < 1e-15 {
            break;
        }
    }
    fraction
}

/// The chance that Student's t with `df` degrees of freedom lies beyond `+t` or `-t`.
pub fn t_two_sided(t: f64, df: f64) -> f64 {
    incomplete_beta(df / (df + t * t), 0.5 * df, 0.5)
}

/// The `t` that leaves `1 - coverage` outside of `-t..t`, with `df` degrees of freedom.
///
/// For `coverage` between 0 and 1 and `df > 0`; by bisection, to the last few bits.
pub fn t_quantile(coverage: f64, df: f64) -> f64 {
    let outside = 1.0 - coverage;
    let (mut low, mut high) = (0.0, 1.0);
    while t_two_sided(high, df) > outside && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if t_two_sided(middle, df) > outside {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The chance of an F at least this large, with `above` and `below` degrees of freedom.
pub fn f_upper(f: f64, above: f64, below: f64) -> f64 {
    if f <= 0.0 {
        return 1.0;
    }
    incomplete_beta(below / (below + above * f), 0.5 * below, 0.5 * above)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook 1.3.6.7.2, critical values of t (0.95 one-sided = 90 %
    /// two-sided; 0.975), to the digits printed there.
    #[test]
    fn the_printed_table_of_t() {
        let table = [
            (0.90, 1.0, 6.314),
            (0.90, 2.0, 2.920),
            (0.90, 3.0, 2.353),
            (0.90, 4.0, 2.132),
            (0.90, 5.0, 2.015),
            (0.90, 9.0, 1.833),
            (0.90, 10.0, 1.812),
            (0.90, 30.0, 1.697),
            (0.90, 100.0, 1.660),
            (0.95, 1.0, 12.706),
            (0.95, 9.0, 2.262),
            (0.99, 5.0, 4.032),
        ];
        for (coverage, df, printed) in table {
            let found = t_quantile(coverage, df);
            assert!((found - printed).abs() < 6e-4, "{coverage} {df}: {found}");
        }
    }

    /// NIST/SEMATECH e-Handbook 1.3.6.7.3, upper critical values of F, 5 % and 1 %.
    #[test]
    fn the_printed_table_of_f() {
        let table = [
            (0.05, 1.0, 1.0, 161.448),
            (0.05, 3.0, 6.0, 4.757),
            (0.05, 2.0, 9.0, 4.256),
            (0.05, 10.0, 20.0, 2.348),
            (0.01, 3.0, 6.0, 9.780),
        ];
        for (chance, above, below, printed) in table {
            let found = f_upper(printed, above, below);
            assert!((found - chance).abs() < 5e-5, "F({above}, {below}): {found}");
        }
    }

    #[test]
    fn t_squared_is_f_with_one_degree() {
        for (t, df) in [(0.3, 1.0), (1.7, 4.0), (6.0, 12.0), (2.0, 250.0)] {
            assert!((t_two_sided(t, df) - f_upper(t * t, 1.0, df)).abs() < 1e-13);
        }
        // One degree of freedom is Cauchy's law: 2/pi arctan.
        let cauchy = 1.0 - 2.0 / std::f64::consts::PI * 3.0_f64.atan();
        assert!((t_two_sided(3.0, 1.0) - cauchy).abs() < 1e-13);
        assert!((t_quantile(0.5, 1.0) - 1.0).abs() < 1e-12);
    }
}
