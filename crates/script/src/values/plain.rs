//! What a glaze holds without the engine's values around it, for the compiled walk.

use std::sync::Arc;

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{FiredChemistry, Glaze, Use};
use glost_core::evidence::ware::Clay;

use super::glaze::GlazeValue;
use super::oxides::Amounts;

impl GlazeValue {
    pub(crate) fn usage(&self) -> Option<Use> {
        self.0.usage
    }

    pub(crate) fn students(&self) -> bool {
        self.0.students
    }

    pub(crate) fn own_clay(&self) -> Option<&Arc<Clay>> {
        self.0.clay.as_ref()
    }

    pub(crate) fn glaze(&self) -> &Glaze {
        &self.0.glaze
    }

    /// `None` where the chemistry can't be told, here and below.
    pub(crate) fn plain_chemistry(&self) -> Option<&FiredChemistry> {
        self.chemistry().ok()
    }

    pub(crate) fn plain_unity(&self) -> Option<Amounts<'_>> {
        let amounts = self.plain_chemistry()?.unity.as_ref()?.as_slice();
        Some(Amounts {
            amounts,
            fluxes: &self.0.fluxes,
        })
    }

    pub(crate) fn plain_mole_percent(&self) -> Option<Amounts<'_>> {
        Some(self.mole_percent().ok()?.amounts())
    }

    pub(crate) fn plain_weight_percent(&self) -> Option<Amounts<'_>> {
        Some(self.weight_percent().ok()?.amounts())
    }

    pub(crate) fn plain_known_oxides(&self) -> Amounts<'_> {
        self.known_oxides().amounts()
    }

    pub(crate) fn plain_flux_moles(&self) -> Option<f64> {
        Some(self.0.fluxes.moles(&self.plain_chemistry()?.moles))
    }

    /// The default model's; nothing inside where it has nothing to say.
    pub(crate) fn plain_expansion(&self) -> Option<Option<f64>> {
        Some(ExpansionModel::default().value(&self.plain_chemistry()?.moles))
    }
}
