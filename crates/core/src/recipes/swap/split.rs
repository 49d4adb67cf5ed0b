//! Why a potash and soda split can't be kept.

use std::sync::Arc;

use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;

/// K2O : Na2O by moles of what is gone and of what came in, where no mix of
/// the newcomers can make the old split.
#[derive(Debug, Clone, PartialEq)]
pub struct AlkaliSplit {
    /// Of the missing material.
    pub gone: f64,
    /// Of each newcomer; infinite for one without soda.
    pub newcomers: Vec<(String, f64)>,
}

/// K2O : Na2O by moles; `None` for a material without alkali to speak of (2 wt %).
fn potash_to_soda(material: &Material) -> Option<f64> {
    let fired = material.fired.as_ref()?;
    let alkali = fired.oxides.get(Oxide::K2O) + fired.oxides.get(Oxide::Na2O);
    if alkali < 2.0 {
        return None;
    }
    let moles = fired.oxides.to_moles();
    Some(moles.get(Oxide::K2O) / moles.get(Oxide::Na2O))
}

/// The split that can't be kept: all newcomers with alkali lie on one side of
/// the missing material. `None` where they lie on both, or have no alkali.
pub fn alkali_split(gone: &Material, newcomers: &[Arc<Material>]) -> Option<AlkaliSplit> {
    let old = potash_to_soda(gone)?;
    let own: Vec<(String, f64)> = newcomers
        .iter()
        .filter_map(|newcomer| Some((newcomer.name.clone(), potash_to_soda(newcomer)?)))
        .collect();
    let apart = |ratio: f64| (ratio / old).ln();
    let one_side =
        own.iter().all(|(_, ratio)| apart(*ratio) > 0.1) || own.iter().all(|(_, ratio)| apart(*ratio) < -0.1);
    (!own.is_empty() && one_side).then_some(AlkaliSplit {
        gone: old,
        newcomers: own,
    })
}
