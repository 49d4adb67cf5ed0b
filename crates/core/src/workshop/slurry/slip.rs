//! A slip at the scales: so many times too much of one material, and what a jar says of it.

use glost_chemistry::diagnostic::{is_no, of_typed};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::{NumberTrouble, PowderDensity, parse_fraction};
use serde::Serialize;

use super::survey::JAR_READING;

/// Slips that happen: a decimal point, a line weighed twice, a line left out.
const USUAL: [f64; 4] = [10.0, 2.0, 0.1, 0.0];
/// The most times that are believed.
const MOST_TIMES: f64 = 1000.0;

/// What is suspected: `silica 10x`.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspicion {
    /// The material, as typed.
    pub material: String,
    /// How many times its weight went in; 0: it was left out.
    pub times: f64,
}

impl Suspicion {
    /// Reads `silica 10x`, `kaolin 0.1 x`, `whiting left out`, `silica twice`.
    ///
    /// # Errors
    /// No material, or no number of times.
    pub fn parse(text: &str) -> Result<Suspicion, NumberTrouble> {
        let trouble = |message: String| NumberTrouble {
            message,
            help: Some("write the material and how many times its weight went in: \"silica 10x\"".to_owned()),
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let bare = words.join(" ");
        let lower = bare.to_lowercase();
        let cut = |end: &str, times: f64| {
            lower
                .strip_suffix(end)
                .map(|rest| (bare[..rest.len()].trim().to_owned(), times))
        };
        let said = cut(" left out", 0.0).or_else(|| cut(" twice", 2.0));
        let (material, times) = match said {
            Some(said) => said,
            None => {
                let times = lower.strip_suffix(['x', '×']).map(str::trim_end);
                let (name, number) = times
                    .and_then(|rest| rest.rsplit_once(' '))
                    .ok_or_else(|| trouble(of_typed(&bare, "says no number of times")))?;
                (bare[..name.len()].trim().to_owned(), parse_fraction(number)?.value)
            }
        };
        if material.is_empty() || !(0.0..=MOST_TIMES).contains(&times) {
            return Err(trouble(is_no(bare, "slip that can be reckoned with")));
        }
        Ok(Suspicion { material, times })
    }
}

/// A slip with what a jar would say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slip {
    /// The material; none: nothing went wrong.
    pub material: Option<String>,
    /// How many times its weight went in.
    pub times: f64,
    /// The density that the ticket's water then gives, g/ml.
    pub density: f64,
    /// Whether the jar says so too.
    pub fits: bool,
}

/// Grams of a material among so much dry powder, where it went in so many times; `None` where
/// the recipe doesn't hold it.
pub fn grams_after(glaze: &Glaze, material: &str, times: f64, dry_grams: f64) -> Option<f64> {
    let own = share(glaze, material)?;
    Some(dry_grams * own * times / (1.0 - own + own * times))
}

/// A material's share of the dry batch, 0 to 1.
fn share(glaze: &Glaze, material: &str) -> Option<f64> {
    let total: f64 = glaze.portions().map(|portion| portion.percent).sum();
    let same = glaze.portions().filter(|portion| portion.material.name == material);
    let own: f64 = same.map(|portion| portion.percent).sum();
    (own > 0.0 && total > own).then_some(own / total)
}

/// The slips that happen, those that the jar bears out first; the suspected one among them.
/// `water_per_gram`: the ticket's, millilitres to a gram of dry powder.
pub fn slips(
    glaze: &Glaze,
    suspected: (&str, f64),
    measured: f64,
    water_per_gram: f64,
    powder: PowderDensity,
) -> Vec<Slip> {
    let density = |dry: f64| (dry + water_per_gram) / (dry / powder.value() + water_per_gram);
    let slip = |material: Option<&str>, times: f64, dry: f64| {
        let density = density(dry);
        Slip {
            material: material.map(str::to_owned),
            times,
            density,
            fits: (density - measured).abs() <= JAR_READING * measured,
        }
    };
    let mut found = vec![slip(None, 1.0, 1.0)];
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let name = portion.material.name.as_str();
        let Some(own) = share(glaze, name) else { continue };
        let of_it = (suspected.0 == name).then_some(suspected.1);
        let all = USUAL.into_iter().chain(of_it.filter(|times| !USUAL.contains(times)));
        found.extend(all.map(|times| slip(Some(name), times, 1.0 - own + own * times)));
    }
    let off = |slip: &Slip| (slip.density - measured).abs();
    found.sort_by(|one, other| off(one).total_cmp(&off(other)));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn so_many_times_of_what() {
        let read = |text: &str| Suspicion::parse(text).map(|said| (said.material, said.times)).ok();
        assert_eq!(read("silica 10x"), Some(("silica".to_owned(), 10.0)));
        assert_eq!(
            read("Cobalt carbonate 1/2 x"),
            Some(("Cobalt carbonate".to_owned(), 0.5))
        );
        assert_eq!(read("whiting left out"), Some(("whiting".to_owned(), 0.0)));
        assert_eq!(read("kaolin twice"), Some(("kaolin".to_owned(), 2.0)));
        for wrong in ["silica", "10x", "silica x", "silica 5000x", "", "silica ten x"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    use crate::workshop::bench::{glaze, near};

    /// 60 of 100: ten times as much are 600 of 640, none of it none of 40.
    #[test]
    fn a_slip_changes_a_materials_share() {
        let glaze = glaze("parts: { silica: 60, whiting: 40 }");
        let grams = |times| grams_after(&glaze, "silica", times, 1000.0).unwrap();
        near(grams(1.0), 600.0, "as it should be");
        near(grams(10.0), 1000.0 * 600.0 / 640.0, "ten times");
        near(grams(0.0), 0.0, "left out");
        assert_eq!(grams_after(&glaze, "kaolin", 2.0, 1000.0), None);
        assert_eq!(
            share(&crate::workshop::bench::glaze("parts: { silica: 1 }"), "silica"),
            None
        );
    }

    /// Equal weights of powder (2.6) and water: 2 / (1 / 2.6 + 1) = 1.4444; silica twice: 1.6 g of
    /// powder, 2.6 / (1.6 / 2.6 + 1) = 1.6095.
    #[test]
    fn a_jar_bears_out_the_slip_that_makes_its_density() {
        let glaze = glaze("parts: { silica: 60, whiting: 40, kaolin: 0 }");
        let found = slips(&glaze, ("silica", 3.0), 1.61, 1.0, PowderDensity::UNKNOWN);
        let first = &found[0];
        assert_eq!(
            (first.material.as_deref(), first.times, first.fits),
            (Some("silica"), 2.0, true)
        );
        near(first.density, 2.6 / (1.6 / 2.6 + 1.0), "silica twice");
        let none = found.iter().find(|slip| slip.material.is_none()).unwrap();
        near(none.density, 2.0 / (1.0 / 2.6 + 1.0), "no slip");
        assert!(!none.fits && none.times == 1.0);
        // Four usual slips of each, none, and the suspected one.
        assert_eq!(found.len(), 10);
        assert!(
            found
                .iter()
                .any(|slip| slip.times == 3.0 && slip.material.as_deref() == Some("silica"))
        );
        let usual = slips(&glaze, ("silica", 2.0), 1.61, 1.0, PowderDensity::UNKNOWN);
        assert_eq!(usual.len(), 9);
        // 1 % of what was measured: 1.4444 fits 1.458 and not 1.46.
        let fits = |measured: f64| {
            let found = slips(&glaze, ("silica", 2.0), measured, 1.0, PowderDensity::UNKNOWN);
            found.into_iter().any(|slip| slip.material.is_none() && slip.fits)
        };
        assert!(fits(1.458) && !fits(1.46) && fits(1.4305) && !fits(1.43));
    }

    #[test]
    fn a_thousand_times_is_the_most_that_is_believed() {
        let times = |text: &str| Suspicion::parse(text).map(|said| said.times).ok();
        assert_eq!(
            (times("silica 1000x"), times("silica 1001x"), times("silica 0 x")),
            (Some(1000.0), None, Some(0.0))
        );
        assert_eq!(
            (times(" left out"), times("silica -1x"), times("silica 3×")),
            (None, None, Some(3.0))
        );
    }
}
