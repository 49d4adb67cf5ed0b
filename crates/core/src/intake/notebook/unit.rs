//! The units of notebooks.

use super::doubt::{Doubt, UnitGuess};
use glost_chemistry::quantity::{GRAMS_PER_OUNCE, GRAMS_PER_POUND, Millilitres};

/// US fluid ounce, a 128th of the US gallon of 231 cubic inches, exact (NIST Handbook 44).
const US_FLUID_OUNCE: f64 = 3_785.411_784 / 128.0;
/// Imperial fluid ounce, a 160th of 4.54609 l, exact (UK Units of Measurement Regulations 1995).
const IMPERIAL_FLUID_OUNCE: f64 = 4_546.09 / 160.0;

/// What an amount is counted in.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Unit {
    /// No unit.
    Bare,
    /// Per cent.
    Percent,
    /// Parts.
    Parts,
    /// Weight: grams per unit.
    Weight(f64),
    /// Volume: millilitres per unit from least to most, where it can be told.
    Volume(Option<(f64, f64)>),
}

/// A unit that was found, with what is to be said of it.
pub(super) struct FoundUnit {
    pub(super) unit: Unit,
    pub(super) doubt: Option<Doubt>,
    /// How many words it took.
    pub(super) words: usize,
}

/// The unit at the start of `words`; `None` where there is none.
pub(super) fn unit_at(words: &[&str], cup: Millilitres) -> Option<FoundUnit> {
    let first = *words.first()?;
    let bare = first.trim_end_matches('.');
    let lower = bare.to_lowercase();
    let second = words.get(1).map(|word| word.trim_end_matches('.').to_lowercase());
    let found = |unit: Unit, doubt: Option<UnitGuess>, words: usize| {
        Some(FoundUnit {
            unit,
            doubt: doubt.map(Doubt::Unit),
            words,
        })
    };
    match (lower.as_str(), second.as_deref()) {
        ("per", Some("cent")) => return found(Unit::Percent, None, 2),
        ("fl" | "fluid", Some("oz" | "ounce" | "ounces" | "ozs")) => {
            return found(Unit::Volume(Some((IMPERIAL_FLUID_OUNCE, US_FLUID_OUNCE))), None, 2);
        }
        ("us" | "imperial", Some("pint" | "pints" | "quart" | "quarts" | "gallon" | "gallons")) => {
            return found(Unit::Volume(None), None, 2);
        }
        _ => {}
    }
    // A capital T and a small t mean two spoons, and never tonnes.
    match bare {
        "T" => return found(Unit::Volume(Some((15.0, 20.0))), Some(UnitGuess::Tablespoon), 1),
        "t" => return found(Unit::Volume(Some((5.0, 5.0))), Some(UnitGuess::Teaspoon), 1),
        _ => {}
    }
    if let Some(grams) = weight(&lower) {
        let doubt = match lower.as_str() {
            "gr" => Some(UnitGuess::Grams),
            "cwt" => Some(UnitGuess::Hundredweight),
            "#" => Some(UnitGuess::Pounds),
            _ => None,
        };
        return found(Unit::Weight(grams), doubt, 1);
    }
    let cup = cup.millilitres();
    let volume = |range: Option<(f64, f64)>| found(Unit::Volume(range), None, 1);
    match lower.as_str() {
        "percent" | "pct" | "pc" => found(Unit::Percent, None, 1),
        "part" | "parts" | "pbw" => found(Unit::Parts, None, 1),
        "pts" => found(Unit::Parts, Some(UnitGuess::Parts), 1),
        "cup" | "cups" | "cupful" | "cupfuls" => volume(Some((cup, cup))),
        "tablespoon" | "tablespoons" | "tbsp" | "tbsps" | "tbs" | "tblsp" | "tablespoonful" => {
            volume(Some((15.0, 15.0)))
        }
        "dessertspoon" | "dessertspoons" | "dsp" => volume(Some((10.0, 10.0))),
        "teaspoon" | "teaspoons" | "tsp" | "tsps" | "teaspoonful" => volume(Some((5.0, 5.0))),
        "ml" | "cc" => volume(Some((1.0, 1.0))),
        "l" | "litre" | "litres" | "liter" | "liters" => volume(Some((1000.0, 1000.0))),
        "spoon" | "spoons" | "spoonful" | "spoonfuls" | "scoop" | "scoops" | "pint" | "pints" | "quart" | "quarts"
        | "gallon" | "gallons" | "jar" | "jars" | "mug" | "mugs" | "bucket" | "buckets" | "ladle" | "ladles"
        | "trowel" | "trowels" | "handful" | "handfuls" | "pinch" | "pinches" | "dash" | "trace" | "touch"
        | "knifepoint" => volume(None),
        _ => None,
    }
}

fn weight(word: &str) -> Option<f64> {
    Some(match word {
        "g" | "gm" | "gms" | "grm" | "grms" | "gr" | "gram" | "grams" | "gramme" | "grammes" => 1.0,
        "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => 1000.0,
        "mg" => 0.001,
        "lb" | "lbs" | "pound" | "pounds" | "#" => GRAMS_PER_POUND,
        // 14 lb and 112 lb (UK Weights and Measures Act 1985, Schedule 1).
        "stone" | "stones" => 14.0 * GRAMS_PER_POUND,
        "cwt" => 112.0 * GRAMS_PER_POUND,
        "oz" | "ozs" | "ounce" | "ounces" => GRAMS_PER_OUNCE,
        // A sixteenth of an ounce and a 7000th of a pound, exact by definition.
        "dram" | "drams" | "drachm" | "drachms" => GRAMS_PER_OUNCE / 16.0,
        "grain" | "grains" => GRAMS_PER_POUND / 7000.0,
        _ => return None,
    })
}

/// Words between an amount and its unit, `level` of `1 level tablespoon`.
pub(super) fn is_qualifier(word: &str) -> bool {
    matches!(
        word,
        "level" | "heaped" | "heaping" | "rounded" | "scant" | "full" | "big" | "large" | "small" | "good"
    )
}
