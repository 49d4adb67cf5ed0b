//! Numbers as texts, digit for digit as the standard library writes them, in a fraction of
//! its time: lines by the million hold little else.
//!
//! What isn't plain (ties, many digits, very large or small) is left to the standard library.

use std::fmt::Write;

/// Powers of ten that a double holds exactly and that few decimals need.
const TENS: [u64; 7] = [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000];
/// Up to here a number times a million is below 2^63, and has 15 digits at most.
const PLAIN_BELOW: f64 = 1e9;
/// Bits of a double's fraction that are written down.
const FRACTION_BITS: u64 = 52;

/// A number's digits with its sign and point.
pub struct Digits {
    /// The last one lies at the end.
    signs: [u8; 24],
    from: usize,
}

impl Digits {
    /// Digits, a point and a sign.
    pub fn as_bytes(&self) -> &[u8] {
        &self.signs[self.from..]
    }

    fn push_to(&self, text: &mut String) {
        // All of them are what UTF-8 is made of, too.
        text.push_str(std::str::from_utf8(self.as_bytes()).unwrap_or(""));
    }
}

/// Adds a number with so many decimals, as `{:.n}` does.
pub fn push_fixed(text: &mut String, value: f64, decimals: usize) {
    match scaled(value, decimals) {
        Some(scaled) => digits(value.is_sign_negative(), scaled, decimals).push_to(text),
        // Writing into memory can't fail.
        None => {
            let _ = write!(text, "{value:.decimals$}");
        }
    }
}

/// Adds a number in the fewest digits that read back as it is, as `{}` does.
pub fn push_shortest(text: &mut String, value: f64) {
    match shortest(value) {
        Some(digits) => digits.push_to(text),
        // Nor here.
        None => {
            let _ = write!(text, "{value}");
        }
    }
}

/// A number in the fewest digits that read back as it is; `None` where they aren't few.
pub fn shortest(value: f64) -> Option<Digits> {
    let magnitude = value.abs();
    if magnitude.is_nan() || magnitude >= PLAIN_BELOW {
        return None;
    }
    TENS.iter().enumerate().find_map(|(decimals, ten)| {
        let scaled = (magnitude * *ten as f64).round();
        // Fifteen digits are one number's alone: the fewest that are right are the shortest.
        let right = scaled < 1e15 && scaled / *ten as f64 == magnitude;
        right.then(|| digits(value.is_sign_negative(), scaled as u64, decimals))
    })
}

/// A whole number.
pub fn whole(value: u64) -> Digits {
    digits(false, value, 0)
}

/// A number times a power of ten, rounded to the nearest whole one; `None` where that isn't
/// plain, or lies halfway between two.
fn scaled(value: f64, decimals: usize) -> Option<u64> {
    let magnitude = value.abs();
    let ten = *TENS.get(decimals)?;
    // Subnormal numbers, and what is no number, are left out with the rest.
    if !(magnitude < PLAIN_BELOW && magnitude.is_normal()) {
        return (magnitude == 0.0).then_some(0);
    }
    let bits = magnitude.to_bits();
    let fraction = (bits & ((1 << FRACTION_BITS) - 1)) | (1 << FRACTION_BITS);
    // Below a thousand million there is always something behind the point.
    let behind = (1023 + FRACTION_BITS).checked_sub(bits >> FRACTION_BITS)?;
    let product = u128::from(fraction) * u128::from(ten);
    if behind >= 127 {
        return Some(0);
    }
    let whole = (product >> behind) as u64;
    let rest = product & ((1 << behind) - 1);
    match rest.cmp(&(1 << behind.checked_sub(1)?)) {
        std::cmp::Ordering::Less => Some(whole),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(whole + 1),
    }
}

/// The digits of a number that was multiplied by so many tens.
fn digits(is_negative: bool, scaled: u64, decimals: usize) -> Digits {
    // A sign, a point, twenty digits; the last one first.
    let mut signs = [b'0'; 24];
    let mut from = signs.len();
    let (mut left, mut written) = (scaled, 0);
    while left > 0 || written <= decimals {
        if written == decimals && decimals > 0 {
            from -= 1;
            signs[from] = b'.';
        }
        from -= 1;
        signs[from] = b'0' + (left % 10) as u8;
        left /= 10;
        written += 1;
    }
    if is_negative {
        from -= 1;
        signs[from] = b'-';
    }
    Digits { signs, from }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fixed(value: f64, decimals: usize) -> String {
        let mut text = String::new();
        push_fixed(&mut text, value, decimals);
        text
    }

    fn shortest(value: f64) -> String {
        let mut text = String::new();
        push_shortest(&mut text, value);
        text
    }

    fn same(value: f64) {
        for value in [value, -value] {
            assert_eq!(shortest(value), format!("{value}"));
            for decimals in 0..=12 {
                assert_eq!(fixed(value, decimals), format!("{value:.decimals$}"), "{value:e}");
            }
        }
    }

    #[test]
    fn odd_numbers_are_written_as_the_standard_library_does() {
        for value in [
            0.0,
            0.5,
            1.5,
            2.5,
            0.05,
            0.25,
            0.125,
            0.375,
            0.995,
            1.005,
            9.995,
            0.45,
            999.9995,
            1e9,
            999_999_999.5,
            999_999_999.999_999_9,
            1e15,
            1e16,
            1e22,
            1e300,
            f64::MAX,
            f64::MIN_POSITIVE,
            5e-324,
            1e-7,
            1e-20,
            1e-40,
            0.1,
            0.2,
            0.3,
            0.1 + 0.2,
            1.0 / 3.0,
            123_456.789,
            f64::INFINITY,
            f64::NAN,
            4_503_599_627_370_496.5,
        ] {
            same(value);
        }
    }

    #[test]
    fn many_numbers_are_written_as_the_standard_library_does() {
        let mut state = 7_u64;
        let mut random = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            state >> 11
        };
        for _ in 0..1_000 {
            let unit = random() as f64 / (1_u64 << 53) as f64;
            for scale in [1e-6, 1e-3, 1.0, 10.0, 100.0, 1e5, 1e12] {
                same(unit * scale);
                same((unit * scale * 1e3).round() / 1e3);
            }
            same(f64::from_bits(random() << 11 | random() & 0x7ff));
        }
    }

    #[test]
    fn numbers_of_few_digits_need_no_standard_library() {
        let quick = |value: f64| super::shortest(value).map(|digits| digits.as_bytes().to_vec());
        for (value, text) in [(12.5, "12.5"), (-0.000_001, "-0.000001"), (0.0, "0"), (38.0, "38")] {
            assert_eq!(quick(value).as_deref(), Some(text.as_bytes()));
        }
        for value in [1.0 / 3.0, 1e9, 1e-7, f64::NAN, f64::INFINITY] {
            assert_eq!(quick(value), None, "{value}");
        }
    }
}
