//! Sums of oxides by the trade's names: `CaO + MgO`, `R2O`, `RO`, `KNaO`.

use std::fmt;

use glost_chemistry::glaze::FluxList;
use glost_chemistry::oxides::Oxide;

/// Alkalis.
pub(crate) const R2O: [Oxide; 3] = [Oxide::Li2O, Oxide::Na2O, Oxide::K2O];
/// Potash and soda.
pub(crate) const KNAO: [Oxide; 2] = [Oxide::K2O, Oxide::Na2O];

/// One term of a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SumTerm {
    /// One oxide.
    Oxide(Oxide),
    /// K2O + Na2O.
    PotashAndSoda,
    /// Li2O + Na2O + K2O.
    Alkalis,
    /// The fluxes that are no alkalis.
    OtherFluxes,
}

impl SumTerm {
    /// Reads `CaO`, `KNaO`, `R2O`, `RO`.
    pub fn parse(text: &str) -> Option<SumTerm> {
        match text {
            "KNaO" => Some(SumTerm::PotashAndSoda),
            "R2O" => Some(SumTerm::Alkalis),
            "RO" => Some(SumTerm::OtherFluxes),
            _ => Oxide::from_formula(text).map(SumTerm::Oxide),
        }
    }

    /// The names that are no oxides.
    pub const NAMES: [&'static str; 3] = ["KNaO", "R2O", "RO"];
}

impl fmt::Display for SumTerm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            SumTerm::Oxide(oxide) => oxide.formula(),
            SumTerm::PotashAndSoda => "KNaO",
            SumTerm::Alkalis => "R2O",
            SumTerm::OtherFluxes => "RO",
        })
    }
}

/// A sum of oxides; an oxide that two terms name counts once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OxideSum(Vec<SumTerm>);

impl OxideSum {
    /// Of these terms.
    pub fn new(terms: Vec<SumTerm>) -> OxideSum {
        OxideSum(terms)
    }

    /// The oxide, where the sum is of one alone.
    pub fn only_oxide(&self) -> Option<Oxide> {
        match self.0.as_slice() {
            [SumTerm::Oxide(oxide)] => Some(*oxide),
            _ => None,
        }
    }

    /// The oxides under a list of fluxes.
    pub fn oxides(&self, fluxes: &FluxList) -> Vec<Oxide> {
        let mut found: Vec<Oxide> = Vec::new();
        for term in &self.0 {
            let own: Vec<Oxide> = match term {
                SumTerm::Oxide(oxide) => vec![*oxide],
                SumTerm::PotashAndSoda => KNAO.to_vec(),
                SumTerm::Alkalis => R2O.to_vec(),
                SumTerm::OtherFluxes => {
                    let fluxes = fluxes.oxides().iter().copied();
                    fluxes.filter(|flux| !R2O.contains(flux)).collect()
                }
            };
            for oxide in own {
                if !found.contains(&oxide) {
                    found.push(oxide);
                }
            }
        }
        found
    }
}

impl fmt::Display for OxideSum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, term) in self.0.iter().enumerate() {
            if index > 0 {
                f.write_str(" + ")?;
            }
            write!(f, "{term}")?;
        }
        Ok(())
    }
}
