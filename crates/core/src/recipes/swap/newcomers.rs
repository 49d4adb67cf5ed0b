//! Who may come into a recipe when nobody is named.

use std::sync::Arc;

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::{Kind, Library, Material};
use glost_chemistry::oxides::Oxide;

/// Metals that no newcomer may bring into a recipe that lacks them.
const UNASKED_METALS: [Oxide; 8] = [
    Oxide::PbO,
    Oxide::CdO,
    Oxide::BaO,
    Oxide::MnO,
    Oxide::Cr2O3,
    Oxide::NiO,
    Oxide::V2O5,
    Oxide::Sb2O3,
];
/// Oxides that opacify or colour: a material mostly of these is no base material.
const OPACIFYING: [Oxide; 4] = [Oxide::SnO2, Oxide::ZrO2, Oxide::TiO2, Oxide::CeO2];
/// wt % of opacifying oxides in the fired material from which it counts as an opacifier.
const OPACIFIER_FROM_PERCENT: f64 = 25.0;

/// The materials that may come in: to be had, whole chemistry known, harmless
/// to handle, no textbook or ready-made ones, no metals that the old recipe
/// lacks; colourants, stains and opacifiers only for one that is missing.
pub fn allowed(
    glaze: &Glaze,
    missing: &[Arc<Material>],
    library: &Library,
    shipped_may_come: bool,
) -> Vec<Arc<Material>> {
    let colours_missing = missing.iter().any(|material| colours_or_opacifies(material));
    library
        .iter()
        .filter(|material| !missing.iter().any(|out| out.name == material.name) && !glaze.holds(material))
        .filter(|material| {
            if material.shipped {
                shipped_may_come && material.buyable
            } else {
                material.to_be_had()
            }
        })
        .filter(|material| !material.soluble && !material.toxic)
        .filter(|material| !matches!(material.kind, Kind::Textbook | Kind::Powder | Kind::Gum))
        .filter(|material| material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0))
        .filter(|material| colours_missing || !colours_or_opacifies(material))
        .filter(|material| brings_nothing_unasked(material, glaze))
        .cloned()
        .collect()
}

/// A colourant, a stain, or something made mostly of tin, zircon, titania or ceria.
pub fn colours_or_opacifies(material: &Material) -> bool {
    if matches!(material.kind, Kind::Colourant | Kind::Stain) {
        return true;
    }
    material.fired.as_ref().is_some_and(|fired| {
        let total = fired.oxides.total();
        let opacifying: f64 = OPACIFYING.iter().map(|&oxide| fired.oxides.get(oxide)).sum();
        total > 0.0 && 100.0 * opacifying / total >= OPACIFIER_FROM_PERCENT
    })
}

fn brings_nothing_unasked(material: &Material, glaze: &Glaze) -> bool {
    let amount =
        |material: &Material, oxide: Oxide| material.fired.as_ref().map_or(0.0, |fired| fired.oxides.get(oxide));
    UNASKED_METALS.iter().all(|&metal| {
        amount(material, metal) == 0.0
            || glaze
                .portions()
                .any(|portion| portion.percent > 0.0 && amount(&portion.material, metal) > 0.0)
    })
}
