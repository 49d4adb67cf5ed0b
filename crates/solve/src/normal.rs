//! The normal distribution, right in both tails.

use std::f64::consts::PI;

/// Beyond this many standard deviations the tail is worked from its continued fraction.
const TAIL_FROM: f64 = 3.0;
/// Terms of the fraction; at 3 standard deviations these give all digits.
const FRACTION_TERMS: u32 = 80;

/// ln of the density of Normal(0, 1).
pub fn ln_density(x: f64) -> f64 {
    -0.5 * x * x - 0.5 * (2.0 * PI).ln()
}

/// ln P(X <= x) of Normal(0, 1); finite wherever `x` is.
pub fn ln_cumulative(x: f64) -> f64 {
    if x < -TAIL_FROM {
        ln_density(x) - mills_denominator(-x).ln()
    } else {
        cumulative(x).ln()
    }
}

/// P(X <= x) of Normal(0, 1).
///
/// The middle by the series of G. Marsaglia, J. Stat. Softw. 11 (2004) no. 4; the tails by
/// the continued fraction 26.2.14 of M. Abramowitz and I. Stegun, Handbook of Mathematical
/// Functions (1964).
pub fn cumulative(x: f64) -> f64 {
    if x < -TAIL_FROM {
        return ln_density(x).exp() / mills_denominator(-x);
    }
    if x > TAIL_FROM {
        return 1.0 - ln_density(x).exp() / mills_denominator(x);
    }
    let (mut term, mut sum, mut odd) = (x, x, 1.0);
    loop {
        odd += 2.0;
        term *= x * x / odd;
        let next = sum + term;
        if next == sum {
            return 0.5 + ln_density(x).exp() * sum;
        }
        sum = next;
    }
}

/// So many are worked side by side.
const LANES: usize = 8;

/// [`cumulative`] of each of many, to the same bits. A division waits for the one before it;
/// those of several numbers don't wait for each other, which makes it several times as fast.
pub fn cumulative_each(x: &[f64]) -> Vec<f64> {
    let mut found = vec![0.0; x.len()];
    let mut tails: Vec<usize> = Vec::new();
    let mut middle: Vec<usize> = Vec::new();
    for (index, x) in x.iter().enumerate() {
        let is_tail = *x < -TAIL_FROM || *x > TAIL_FROM;
        if is_tail { &mut tails } else { &mut middle }.push(index);
    }
    for lanes in tails.chunks(LANES) {
        let mut at = [TAIL_FROM; LANES];
        for (at, index) in at.iter_mut().zip(lanes) {
            *at = x[*index].abs();
        }
        let mut below = at;
        for term in (1..=FRACTION_TERMS).rev() {
            let term = f64::from(term);
            for (below, at) in below.iter_mut().zip(&at) {
                *below = at + term / *below;
            }
        }
        for (below, index) in below.iter().zip(lanes) {
            let tail = ln_density(x[*index]).exp() / below;
            found[*index] = if x[*index] < 0.0 { tail } else { 1.0 - tail };
        }
    }
    for lanes in middle.chunks(LANES) {
        let mut at = [0.0; LANES];
        for (at, index) in at.iter_mut().zip(lanes) {
            *at = x[*index];
        }
        let (mut term, mut sum, mut odd) = (at, at, 1.0);
        // One that has met its end stays there: its terms only become smaller.
        let mut is_done = false;
        while !is_done {
            odd += 2.0;
            is_done = true;
            for ((term, sum), at) in term.iter_mut().zip(&mut sum).zip(&at) {
                *term *= at * at / odd;
                let next = *sum + *term;
                is_done &= next == *sum;
                *sum = next;
            }
        }
        for (sum, index) in sum.iter().zip(lanes) {
            found[*index] = 0.5 + ln_density(x[*index]).exp() * sum;
        }
    }
    found
}

/// The x below which Normal(0, 1) lies with this probability, which is above 0 and
/// below 1; `None` for another. By bisection, to 1e-12.
pub fn quantile(probability: f64) -> Option<f64> {
    if !(probability > 0.0 && probability < 1.0) {
        return None;
    }
    let (mut low, mut high) = (-40.0, 40.0);
    while high - low > 1e-12 {
        let middle = 0.5 * (low + high);
        if cumulative(middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// The density over the upper tail at `x`: x + 1/(x + 2/(x + 3/(x + ...))).
fn mills_denominator(x: f64) -> f64 {
    let mut below = x;
    for term in (1..=FRACTION_TERMS).rev() {
        below = x + f64::from(term) / below;
    }
    below
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_at_once_are_to_the_bit_what_each_is_alone() {
        let mut x: Vec<f64> = (-90_000..=90_000).map(|step| f64::from(step) / 2_000.0).collect();
        x.extend([
            0.0,
            -0.0,
            1e-300,
            -1e-17,
            3.0,
            -3.0,
            3.0f64.next_up(),
            (-3.0f64).next_down(),
        ]);
        for count in [x.len(), 1, 7, 9] {
            let found = cumulative_each(&x[..count]);
            for (x, found) in x.iter().zip(found) {
                assert_eq!(found.to_bits(), cumulative(*x).to_bits(), "{x}");
            }
        }
    }

    /// Abramowitz & Stegun (1964), table 26.5.
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (probability, x) in [
            (0.5, 0.0),
            (0.9, 1.281_55),
            (0.95, 1.644_85),
            (0.99, 2.326_35),
            (0.1, -1.281_55),
        ] {
            assert!(
                quantile(probability).is_some_and(|found| (found - x).abs() < 1e-5),
                "{probability}"
            );
        }
        assert_eq!([0.0, 1.0, f64::NAN].map(quantile), [None; 3]);
    }

    /// Worked outside with scipy 1.17.1: `scipy.stats.norm.cdf` and `logcdf`.
    #[test]
    fn it_agrees_with_scipy_in_the_middle_and_in_the_tails() {
        for (x, outside, ln_outside) in [
            (-40.0, 0.0, -804.608_442_013_753_9),
            (-10.0, 7.619_853_024_160_47e-24, -53.231_285_150_512_47),
            (-3.5, 2.326_290_790_355_250_2e-4, -8.366_065_308_344_094),
            (-3.000_1, 1.349_454_913_260_717_2e-3, -6.608_054_536_023_053),
            (-2.0, 0.022_750_131_948_179_195, -3.783_184_333_682_031_7),
            (-0.3, 0.382_088_577_811_047_4, -0.962_102_818_168_850_6),
            (0.0, 0.5, -std::f64::consts::LN_2),
            (1.7, 0.955_434_537_241_457, -0.045_589_029_170_068_934),
            (3.5, 0.999_767_370_920_964_5, -2.326_561_413_768_045_3e-4),
        ] {
            let close = |ours: f64, other: f64| (ours - other).abs() <= 1e-12 * other.abs().max(1e-300);
            assert!(close(cumulative(x), outside) || x < -38.0, "{x}: {}", cumulative(x));
            assert!(close(ln_cumulative(x), ln_outside), "{x}: {}", ln_cumulative(x));
        }
        assert!(ln_cumulative(-1e6).is_finite());
    }
}
