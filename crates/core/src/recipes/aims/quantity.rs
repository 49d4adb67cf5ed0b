//! What a typed bound is on: an oxide, a sum, a ratio, a figure of the batch, materials.

use std::sync::Arc;

use crate::rules::Subject;
use glost_chemistry::diagnostic::{Diagnostic, is_no, of_typed, suggestion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;

use super::aim::Quantity;
use super::phrase::Reader;
use super::sum::{OxideSum, SumTerm};

/// Figures of the batch, by the words that people type.
const FIGURES: [&str; 8] = [
    "expansion",
    "loss on ignition",
    "loss",
    "loi",
    "cost",
    "price",
    "distance",
    "raw clay",
];

fn figure(word: &str) -> Option<Quantity> {
    Some(match word {
        "expansion" => Quantity::Expansion,
        "loss on ignition" | "loss" | "loi" => Quantity::LossOnIgnition,
        "cost" | "price" => Quantity::Cost,
        "distance" => Quantity::Distance,
        "raw clay" => Quantity::RawClay,
        _ => return None,
    })
}

/// A name that is an oxide, a sum of oxides or one of the named ratios.
fn chemistry(name: &str) -> Option<Quantity> {
    match Subject::parse(name) {
        Some(Subject::Sum(..)) | None => SumTerm::parse(name).map(|term| Quantity::Sum(OxideSum::new(vec![term]))),
        Some(subject) => Some(Quantity::Chemistry(subject)),
    }
}

impl Reader<'_> {
    /// What stands before the sign.
    pub(super) fn quantity(&self, name: &str) -> Result<Quantity, Diagnostic> {
        if name.is_empty() {
            return Err(self
                .error("what is this bound on?", self.text.trim())
                .help("start with an oxide, a ratio, expansion, cost or a material"));
        }
        if let Some(quantity) = chemistry(name) {
            return Ok(quantity);
        }
        if let Some(figure) = figure(&name.to_lowercase()) {
            return Ok(figure);
        }
        if let Some(material) = self.library.find(name) {
            return Ok(Quantity::Share(vec![material.clone()]));
        }
        if let Some((above, below)) = name.split_once(':') {
            return self.ratio(above.trim(), below.trim());
        }
        if name.contains('+') {
            return self.sum(name);
        }
        Err(self.unknown(name))
    }

    fn ratio(&self, above: &str, below: &str) -> Result<Quantity, Diagnostic> {
        let side = |text: &str| -> Result<OxideSum, Diagnostic> {
            if text.is_empty() {
                return Err(self
                    .error("a ratio has two sides", self.text.trim())
                    .help("write it such as \"K2O:Na2O >= 1\""));
            }
            let terms: Result<Vec<SumTerm>, Diagnostic> = text
                .split('+')
                .map(|term| {
                    let term = term.trim();
                    SumTerm::parse(term).ok_or_else(|| self.no_oxide(term))
                })
                .collect();
            Ok(OxideSum::new(terms?))
        };
        let (above, below) = (side(above)?, side(below)?);
        if above == below {
            return Err(self.error("both sides of the ratio are the same", self.text.trim()));
        }
        Ok(match (above.only_oxide(), below.only_oxide()) {
            (Some(Oxide::SiO2), Some(Oxide::Al2O3)) => Quantity::Chemistry(Subject::SilicaToAlumina),
            _ => Quantity::Ratio(above, below),
        })
    }

    /// Oxides, or materials: never both in one sum.
    fn sum(&self, name: &str) -> Result<Quantity, Diagnostic> {
        let parts: Vec<&str> = name.split('+').map(str::trim).collect();
        let terms: Vec<SumTerm> = parts.iter().filter_map(|part| SumTerm::parse(part)).collect();
        if terms.len() == parts.len() {
            return Ok(Quantity::Sum(OxideSum::new(terms)));
        }
        if !terms.is_empty() {
            let odd = parts.iter().find(|part| SumTerm::parse(part).is_none());
            return Err(self.no_oxide(odd.copied().unwrap_or(name)));
        }
        let mut materials: Vec<Arc<Material>> = Vec::new();
        for part in parts {
            let material = self.material(part)?;
            if materials.iter().any(|known| known.name == material.name) {
                return Err(self.error(of_typed(part, "stands twice in the sum"), part));
            }
            materials.push(material);
        }
        Ok(Quantity::Share(materials))
    }

    fn no_oxide(&self, name: &str) -> Diagnostic {
        let names = Subject::names().chain(SumTerm::NAMES);
        self.error(is_no(name, "oxide and no sum of oxides"), name)
            .maybe_help(suggestion(name, names))
    }

    fn unknown(&self, name: &str) -> Diagnostic {
        let words = Subject::names().chain(SumTerm::NAMES).chain(FIGURES);
        self.error(is_no(name, "oxide, ratio or material"), name)
            .maybe_help(suggestion(name, words).or_else(|| self.library.suggestion(name)))
    }
}
