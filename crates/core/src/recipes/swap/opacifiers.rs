//! Tin and zircon stand in for each other: by weight, not by their oxides.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::Oxide;

use super::newcomers::main_oxide;

/// Parts of zircon for one of tin (common practice, no source).
const ZIRCON_FOR_TIN: (f64, f64) = (1.5, 2.0);

/// Another opacifier in the place of one that is missing.
#[derive(Debug, Clone)]
pub struct StandIn {
    /// What is missing.
    pub out: Arc<Material>,
    /// What stands in.
    pub with: Arc<Material>,
    /// The least and the most of it, per cent on the base.
    pub percent: (f64, f64),
    /// The recipe with the middle of the two.
    pub glaze: Glaze,
    /// Whether chrome is in the glaze: with tin it turns pink, with zircon it doesn't.
    pub chrome: bool,
}

/// What on the shelf stands in for missing opacifiers.
pub fn stand_ins(glaze: &Glaze, missing: &[Arc<Material>], library: &Library, shipped_may_come: bool) -> Vec<StandIn> {
    let mut found = Vec::new();
    for out in missing {
        let there: f64 = of(glaze, out).map(|portion| portion.percent).sum();
        let (wanted, (least, most)) = match main_oxide(out) {
            Some(Oxide::SnO2) => (Oxide::ZrO2, ZIRCON_FOR_TIN),
            Some(Oxide::ZrO2) => (Oxide::SnO2, (1.0 / ZIRCON_FOR_TIN.1, 1.0 / ZIRCON_FOR_TIN.0)),
            _ => continue,
        };
        let to_be_had = |material: &&Arc<Material>| {
            let had = if material.shipped {
                shipped_may_come && material.buyable
            } else {
                material.to_be_had()
            };
            had && main_oxide(material) == Some(wanted)
        };
        let others = library.iter().filter(to_be_had);
        let others = others.filter(|material| !missing.iter().any(|gone| gone.name == material.name));
        found.extend(others.map(|with| StandIn {
            glaze: with_stand_in(glaze, out, with, there * (least + most) / 2.0),
            out: out.clone(),
            with: with.clone(),
            percent: (least * there, most * there),
            chrome: glaze.portions().any(|portion| holds_chrome(&portion.material)),
        }));
    }
    found
}

fn of<'a>(glaze: &'a Glaze, material: &'a Material) -> impl Iterator<Item = &'a Portion> {
    glaze
        .portions()
        .filter(|portion| portion.material.name == material.name)
}

fn holds_chrome(material: &Material) -> bool {
    let fired = material.fired.as_ref();
    fired.is_some_and(|fired| fired.oxides.get(Oxide::Cr2O3) > 0.0)
}

/// The recipe without the one and with the other on top; the base again 100.
fn with_stand_in(glaze: &Glaze, out: &Material, with: &Arc<Material>, percent: f64) -> Glaze {
    let stays = |portion: &&Portion| portion.material.name != out.name;
    let mut base: Vec<Portion> = glaze.base.iter().filter(stays).cloned().collect();
    let total: f64 = base.iter().map(|portion| portion.percent).sum();
    let scale = if total > 0.0 { 100.0 / total } else { 1.0 };
    for portion in &mut base {
        portion.percent *= scale;
    }
    let mut additions: Vec<Portion> = glaze.additions.iter().filter(stays).cloned().collect();
    match additions.iter_mut().find(|portion| portion.material.name == with.name) {
        Some(there) => there.percent += scale * percent,
        None => additions.push(Portion {
            material: with.clone(),
            percent: scale * percent,
        }),
    }
    Glaze {
        base,
        additions,
        ..glaze.clone()
    }
}
