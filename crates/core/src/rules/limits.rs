//! Limit formulas: a range for each oxide (or ratio) of the unity formula.

use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, alkali_share, silica_to_alumina};
use glost_chemistry::oxides::{Oxide, OxideMoles};

use super::Signature;

/// What a range is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// One oxide, moles in the unity formula.
    Oxide(Oxide),
    /// The sum of some oxides, moles in the unity formula: `KNaO`, `R2O`.
    Sum(&'static str, &'static [Oxide]),
    /// SiO2 : Al2O3 by moles.
    SilicaToAlumina,
    /// Alkalis as a share of all fluxes.
    AlkaliShare,
}

/// Sums that the trade has names for.
const SUMS: [(&str, &[Oxide]); 3] = [
    ("KNaO", &[Oxide::K2O, Oxide::Na2O]),
    ("R2O", &[Oxide::Li2O, Oxide::Na2O, Oxide::K2O]),
    ("RO", &[Oxide::MgO, Oxide::CaO, Oxide::SrO, Oxide::BaO, Oxide::ZnO]),
];

impl Subject {
    /// Reads `SiO2`, `KNaO`, `R2O`, `RO`, `SiO2:Al2O3`, `alkali share`.
    pub fn parse(text: &str) -> Option<Subject> {
        if let Some(oxide) = Oxide::from_formula(text) {
            return Some(Subject::Oxide(oxide));
        }
        if let Some(&(name, oxides)) = SUMS.iter().find(|known| known.0 == text) {
            return Some(Subject::Sum(name, oxides));
        }
        match text.replace(' ', "").as_str() {
            "SiO2:Al2O3" => Some(Subject::SilicaToAlumina),
            "alkalishare" | "alkali_share" => Some(Subject::AlkaliShare),
            _ => None,
        }
    }

    /// Every name that [`Subject::parse`] takes, for suggestions.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Oxide::ALL
            .into_iter()
            .map(Oxide::formula)
            .chain(SUMS.iter().map(|known| known.0))
            .chain(["SiO2:Al2O3", "alkali share"])
    }

    /// The name as shown.
    pub fn name(&self) -> &'static str {
        match self {
            Subject::Oxide(oxide) => oxide.formula(),
            Subject::Sum(name, _) => name,
            Subject::SilicaToAlumina => "SiO2:Al2O3",
            Subject::AlkaliShare => "alkali share",
        }
    }

    /// Its value in a unity formula; `None` for a ratio over nothing.
    pub fn value(&self, unity: &OxideMoles, fluxes: &FluxList) -> Option<f64> {
        match self {
            Subject::Oxide(oxide) => Some(unity.get(*oxide)),
            Subject::Sum(_, oxides) => Some(unity.sum_of(oxides)),
            Subject::SilicaToAlumina => silica_to_alumina(unity),
            Subject::AlkaliShare => alkali_share(unity, fluxes),
        }
    }
}

/// One range; a missing bound is no bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// What it is about.
    pub subject: Subject,
    /// The least value.
    pub low: Option<f64>,
    /// The most.
    pub high: Option<f64>,
    /// Whether the range means "if it is used": none of it at all is no miss.
    pub optional: bool,
}

impl Range {
    /// Whether a value lies inside, bounds included; of what is optional, none at all will do.
    pub fn holds(&self, value: f64) -> bool {
        if self.optional && value == 0.0 {
            return true;
        }
        self.low.is_none_or(|low| value >= low) && self.high.is_none_or(|high| value <= high)
    }
}

/// A set of ranges with its source.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitSet {
    /// Name of the script, `limits/rhodes-cone-8-12`.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Where the numbers come from, and how sure they are.
    pub source: String,
    /// The ranges, in the script's order.
    pub ranges: Vec<Range>,
    /// The very text that gives them.
    pub signed: Option<Arc<Signature>>,
}
