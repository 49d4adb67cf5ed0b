//! The unity formula: moles scaled so that the fluxes sum to 1 (Seger).

use crate::oxides::{Oxide, OxideMoles};

/// Which oxides count as fluxes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FluxList(Vec<Oxide>);

impl Default for FluxList {
    fn default() -> Self {
        FluxList(Oxide::USUAL_FLUXES.to_vec())
    }
}

impl FluxList {
    /// A studio's own list; `None` where it is empty or names an oxide twice.
    pub fn new(oxides: Vec<Oxide>) -> Option<FluxList> {
        let repeated = oxides
            .iter()
            .enumerate()
            .any(|(index, oxide)| oxides[..index].contains(oxide));
        (!oxides.is_empty() && !repeated).then_some(FluxList(oxides))
    }

    /// The oxides.
    pub fn oxides(&self) -> &[Oxide] {
        &self.0
    }

    /// Whether an oxide counts.
    pub fn contains(&self, oxide: Oxide) -> bool {
        self.0.contains(&oxide)
    }

    /// Moles of flux.
    pub fn moles(&self, amounts: &OxideMoles) -> f64 {
        amounts.sum_of(&self.0)
    }

    /// The unity formula of these moles; `None` where there is no flux.
    pub fn unity(&self, amounts: &OxideMoles) -> Option<OxideMoles> {
        let flux = self.moles(amounts);
        (flux > 0.0).then(|| amounts.scaled(1.0 / flux))
    }
}

/// SiO2 : Al2O3 by moles; `None` without alumina.
pub fn silica_to_alumina(amounts: &OxideMoles) -> Option<f64> {
    let alumina = amounts.get(Oxide::Al2O3);
    (alumina > 0.0).then(|| amounts.get(Oxide::SiO2) / alumina)
}

/// (Li2O + Na2O + K2O) over all fluxes, 0 to 1; `None` where there is no flux.
pub fn alkali_share(amounts: &OxideMoles, fluxes: &FluxList) -> Option<f64> {
    let flux = fluxes.moles(amounts);
    (flux > 0.0).then(|| amounts.sum_of(&[Oxide::Li2O, Oxide::Na2O, Oxide::K2O]) / flux)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_three_alkalis_count_in_the_alkali_share() {
        for alkali in [Oxide::Li2O, Oxide::Na2O, Oxide::K2O] {
            let moles = OxideMoles::worked_out([(alkali, 0.3), (Oxide::CaO, 0.9), (Oxide::SiO2, 4.0)]);
            let share = alkali_share(&moles, &FluxList::default());
            assert!(
                share.is_some_and(|share| (share - 0.25).abs() < 1e-12),
                "{alkali:?}: {share:?}"
            );
        }
    }
}
