//! The lines of a printed analysis: which oxide a line means once fired.

use super::oxide::Oxide;
use crate::oxides::Formula;

/// What an analysis' 100 % means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Oxides and loss on ignition together make about 100 of the supplied material.
    AsSupplied,
    /// The same of the dry material; its moisture comes off the supplied weight.
    Dried,
    /// The oxides alone make about 100.
    Fired,
}

impl Basis {
    /// The words used in files.
    pub const WORDS: [&'static str; 3] = ["as supplied", "dried", "fired"];

    /// Reads one of [`Basis::WORDS`].
    pub fn from_words(words: &str) -> Option<Basis> {
        match words {
            "as supplied" => Some(Basis::AsSupplied),
            "dried" => Some(Basis::Dried),
            "fired" => Some(Basis::Fired),
            _ => None,
        }
    }

    /// The word used in files.
    pub fn words(self) -> &'static str {
        match self {
            Basis::AsSupplied => Basis::WORDS[0],
            Basis::Dried => Basis::WORDS[1],
            Basis::Fired => Basis::WORDS[2],
        }
    }
}

/// Oxides that sheets print but that are counted in another valence when
/// fired, with the metal atoms of one formula unit.
const OTHER_VALENCES: [(&str, f64); 15] = [
    ("FeO", 1.0),
    ("Fe3O4", 3.0),
    ("Mn3O4", 3.0),
    ("MnO2", 1.0),
    ("Mn2O3", 2.0),
    ("Co3O4", 3.0),
    ("Co2O3", 2.0),
    ("Cu2O", 2.0),
    ("Pb3O4", 3.0),
    ("PbO2", 1.0),
    ("Ni2O3", 2.0),
    ("V2O3", 2.0),
    ("As2O5", 2.0),
    ("Sb2O5", 2.0),
    ("Ce2O3", 2.0),
];

/// Volatile lines, with the grams that leave per gram printed: fluorine and
/// chlorine leave half an oxygen behind each.
const VOLATILE: [&str; 10] = ["H2O", "H2O+", "H2O-", "CO2", "SO3", "S", "F", "Cl", "C", "N2O5"];

/// What one line of an analysis counts as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AnalysisKey {
    /// An oxide as it is counted after firing.
    Fired(Oxide),
    /// Another valence: the fired oxide and the grams of it per gram printed.
    Converted {
        /// As printed, `FeO`.
        printed: &'static str,
        /// What it becomes.
        oxide: Oxide,
        /// Grams of the fired oxide per gram printed.
        grams_per_gram: f64,
    },
    /// A volatile: grams that leave per gram printed.
    Leaves {
        /// As printed, `CO2`.
        printed: &'static str,
        /// Grams of loss per gram printed.
        grams_per_gram: f64,
    },
}

impl AnalysisKey {
    /// Reads the name of an analysis line; exact spelling.
    pub fn parse(name: &str) -> Option<AnalysisKey> {
        if let Some(oxide) = Oxide::from_formula(name) {
            return Some(AnalysisKey::Fired(oxide));
        }
        if let Some(&printed) = VOLATILE.iter().find(|known| **known == name) {
            return Some(AnalysisKey::Leaves {
                printed,
                grams_per_gram: loss_per_gram(printed),
            });
        }
        let &(printed, metal_atoms) = OTHER_VALENCES.iter().find(|known| known.0 == name)?;
        let formula = Formula::parse(printed).ok()?;
        let metal = formula
            .atoms()
            .map(|(element, _)| element.symbol())
            .find(|symbol| *symbol != "O")?;
        let oxide = Oxide::of_element(metal)?;
        let grams = metal_atoms / oxide.metal_atoms() * oxide.grams_per_mole();
        Some(AnalysisKey::Converted {
            printed,
            oxide,
            grams_per_gram: grams / formula.grams_per_mole(),
        })
    }

    /// The fired oxide and the grams of it per gram printed; `None` for a volatile.
    pub fn fired(&self) -> Option<(Oxide, f64)> {
        match *self {
            AnalysisKey::Fired(oxide) => Some((oxide, 1.0)),
            AnalysisKey::Converted {
                oxide, grams_per_gram, ..
            } => Some((oxide, grams_per_gram)),
            AnalysisKey::Leaves { .. } => None,
        }
    }

    /// Every name that an analysis may use, oxides first.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Oxide::ALL
            .into_iter()
            .map(Oxide::formula)
            .chain(OTHER_VALENCES.iter().map(|known| known.0))
            .chain(VOLATILE)
    }
}

fn loss_per_gram(printed: &str) -> f64 {
    let mass = |text: &str| Formula::parse(text).map_or(f64::NAN, |formula| formula.grams_per_mole());
    match printed {
        "F" | "Cl" => 1.0 - mass("O") / (2.0 * mass(printed)),
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn iron_as_feo_counts_as_fe2o3() {
        let iron = AnalysisKey::parse("FeO").and_then(|key| key.fired());
        assert!(iron.is_some_and(|(oxide, factor)| oxide == Oxide::Fe2O3 && (factor - 159.687 / 143.688).abs() < 1e-6));
        assert_eq!(AnalysisKey::parse("Si02"), None);
        assert_eq!(AnalysisKey::parse("CO2").and_then(|key| key.fired()), None);
    }

    #[test]
    fn no_metal_is_lost_or_made_by_another_valence() {
        // Grams of the metal in a gram of the oxide, from its formula alone.
        let metal_share = |text: &str| {
            let formula = Formula::parse(text).ok()?;
            let (metal, atoms) = formula.atoms().find(|(element, _)| element.symbol() != "O")?;
            Some(atoms * metal.grams_per_mole() / formula.grams_per_mole())
        };
        for (printed, _) in OTHER_VALENCES {
            let fired = AnalysisKey::parse(printed).and_then(|key| key.fired());
            let after = fired.and_then(|(oxide, grams)| Some(grams * metal_share(oxide.formula())?));
            let before = metal_share(printed);
            assert!(
                after
                    .zip(before)
                    .is_some_and(|(after, before)| (after - before).abs() < 1e-9),
                "{printed}: {before:?}, {after:?}"
            );
        }
    }
}
