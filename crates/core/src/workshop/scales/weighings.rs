//! Scales: as people say them, and a weight split into what they carry.

use crate::workshop::scales::Scales;
use glost_chemistry::diagnostic::under;
use glost_chemistry::quantity::{Grams, NumberTrouble};

use super::rounding::to_step;

/// More weighings of one material than this are a wrong scale or a wrong unit.
pub const MOST_WEIGHINGS: usize = 50;

/// Reads `1 g`, `1 g to 15 kg`, `0.1 g up to 2 kg`.
///
/// # Errors
/// Not a step, a step of nothing, or more step than they carry.
pub fn parse_scales(text: &str) -> Result<Scales, NumberTrouble> {
    let trouble = |message: String| NumberTrouble {
        message,
        help: Some("write the step and the most they carry: \"1 g to 15 kg\"".to_owned()),
    };
    let (step, most) = match text.split_once(" up to ").or_else(|| text.split_once(" to ")) {
        Some((step, most)) => (step, Some(most)),
        None => (text, None),
    };
    let scales = Scales {
        reads_to: Grams::parse(step)?,
        up_to: most.map(Grams::parse).transpose()?,
    };
    if scales.reads_to.grams() <= 0.0 {
        return Err(trouble(under(text, "a step of nothing")));
    }
    if scales.up_to.is_some_and(|most| most < scales.reads_to) {
        return Err(trouble(under(text, "they would carry less than one step")));
    }
    Ok(scales)
}

/// One weight as weighings that the scales can carry: round ones first, the rest
/// last. `None` where it takes more than [`MOST_WEIGHINGS`].
pub fn weighings(grams: f64, scales: &Scales) -> Option<Vec<f64>> {
    let step = scales.reads_to.grams();
    let most = scales.up_to.map_or(f64::INFINITY, Grams::grams);
    if grams <= most {
        return Some(vec![grams]);
    }
    let most = (most / step + 1e-9).floor() * step;
    let count = (grams / most - 1e-9).ceil();
    if !(1.0..=MOST_WEIGHINGS as f64).contains(&count) {
        return None;
    }
    let even = grams / count;
    // A round figure a person can read off and repeat: 2400 rather than 2333.3.
    let grain = 10f64.powf(even.log10().floor() - 1.0).max(step);
    let rounded = to_step((even / grain - 1e-9).ceil() * grain, step);
    let each = if rounded <= most { rounded } else { to_step(most, step) };
    let mut parts = Vec::new();
    let mut rest = grams;
    while rest > each + 0.5 * step && parts.len() < MOST_WEIGHINGS {
        parts.push(each);
        rest -= each;
    }
    parts.push(to_step(rest, step));
    Some(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scales(text: &str) -> Scales {
        parse_scales(text).unwrap_or_else(|why| panic!("{why:?}"))
    }

    #[test]
    fn scales_are_told_by_step_and_reach() {
        assert_eq!(scales("1 g to 15 kg").up_to.map(Grams::grams), Some(15_000.0));
        assert_eq!(scales("0.1 g").up_to, None);
        for text in ["1", "0 g", "1 kg to 1 g", "fine", "-1 g", "1 g to heaven"] {
            assert!(parse_scales(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_too_heavy_is_split_into_round_weighings() {
        let split = |grams, text| weighings(grams, &scales(text));
        assert_eq!(split(7000.0, "1 g to 3 kg"), Some(vec![2400.0, 2400.0, 2200.0]));
        assert_eq!(split(2958.0, "1 g"), Some(vec![2958.0]));
        assert_eq!(split(3000.0, "1 g to 3 kg"), Some(vec![3000.0]));
        assert_eq!(split(6000.0, "1 g to 3 kg"), Some(vec![3000.0, 3000.0]));
        assert_eq!(split(1e6, "1 g to 3 kg"), None);
        for grams in [3000.1, 4999.9, 8765.4, 149_999.9] {
            let parts = split(grams, "0.1 g to 3 kg").unwrap_or_else(|| panic!("{grams} g"));
            assert!(parts.iter().all(|part| *part > 0.0 && *part <= 3000.0), "{parts:?}");
            assert!((parts.iter().sum::<f64>() - grams).abs() < 1e-6, "{parts:?}");
        }
    }

    #[test]
    fn fifty_weighings_are_the_most() {
        let count = |grams, text| weighings(grams, &scales(text)).map(|parts| parts.len());
        assert_eq!(
            (count(50_000.0, "1 g to 1 kg"), count(50_001.0, "1 g to 1 kg")),
            (Some(50), None)
        );
        assert_eq!(weighings(1001.0, &scales("1 g to 1 kg")), Some(vec![510.0, 491.0]));
        assert_eq!(weighings(5.0, &scales("1 g to 2.5 g")), Some(vec![2.0, 2.0, 1.0]));
        assert!(parse_scales("1 g to 1 g").is_ok());
    }
}
