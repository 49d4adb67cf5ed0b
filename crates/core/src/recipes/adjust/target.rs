//! What the least change heads for: the old chemistry with what was asked put in.

use std::sync::Arc;

use crate::recipes::aims::{Aim, Quantity};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};

use super::melted::Relaxed;
use super::space::{Role, Space};

/// wt % of a material from which it is a source of an oxide (common practice, no source).
const SOURCE_FROM_PERCENT: f64 = 5.0;

/// The old chemistry and those who may stand in it.
pub(crate) struct Old<'a> {
    pub glaze: &'a Glaze,
    pub unity: &'a OxideMoles,
    pub fluxes: &'a FluxList,
    pub with: &'a [Arc<Material>],
    /// Rows that give way to a melt aim.
    pub relaxed: Relaxed,
}

/// An oxide that aims name by itself, with the value it heads for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Named {
    oxide: Oxide,
    moles: f64,
}

/// The distance to the old chemistry with what these aims ask put in.
pub(crate) fn heading_for(old: &Old<'_>, aims: &[(usize, Aim)], space: &Space) -> ChemistryDistance {
    old.relaxed.applied(asked_for(old, aims, space))
}

fn asked_for(old: &Old<'_>, aims: &[(usize, Aim)], space: &Space) -> ChemistryDistance {
    let mut named = named_by_oxide(old, aims);
    for (oxide, moles) in named_by_material(old, aims, space) {
        if !named.iter().any(|known| known.oxide == oxide) {
            named.push(Named { oxide, moles });
        }
    }
    let mut target = old.unity.clone();
    for named in &named {
        target = target.with(named.oxide, named.moles);
    }
    let is_named = |oxide: Oxide| named.iter().any(|named| named.oxide == oxide);
    // Iron that counts as FeO is one of the fluxes, two moles for each.
    let weight = |oxide: Oxide| old.fluxes.weight(oxide);
    let fluxes: Vec<Oxide> = Oxide::ALL.into_iter().filter(|&oxide| weight(oxide) > 0.0).collect();
    let asked: f64 = named.iter().map(|named| weight(named.oxide) * named.moles).sum();
    if !fluxes.iter().any(|&flux| is_named(flux)) {
        return ChemistryDistance::new(&target, old.fluxes);
    }
    let brought: Vec<Oxide> = fluxes
        .iter()
        .copied()
        .filter(|&flux| !is_named(flux) && old.with.iter().any(|material| is_source(material, flux)))
        .collect();
    if !brought.is_empty() {
        let kept = fluxes
            .iter()
            .filter(|&&flux| !is_named(flux) && !brought.contains(&flux));
        let kept: f64 = kept.map(|&flux| weight(flux) * old.unity.get(flux)).sum();
        return ChemistryDistance::new(&target, old.fluxes)
            .with_sum(&brought, (1.0 - asked - kept).max(0.0))
            .with_flux_sum(1.0);
    }
    let others: Vec<Oxide> = fluxes.iter().copied().filter(|&flux| !is_named(flux)).collect();
    let sum: f64 = others.iter().map(|&flux| weight(flux) * old.unity.get(flux)).sum();
    if asked < 1.0 && sum > 0.0 {
        for flux in others {
            target = target.with(flux, old.unity.get(flux) * (1.0 - asked) / sum);
        }
    }
    ChemistryDistance::new(&target, old.fluxes).with_flux_sum(1.0)
}

fn is_source(material: &Material, oxide: Oxide) -> bool {
    material
        .fired
        .as_ref()
        .is_some_and(|fired| fired.oxides.get(oxide) >= SOURCE_FROM_PERCENT)
}

/// Oxides that aims name by themselves, at the nearest value that all of them allow.
fn named_by_oxide(old: &Old<'_>, aims: &[(usize, Aim)]) -> Vec<Named> {
    let mut named: Vec<Named> = Vec::new();
    for (_, aim) in aims {
        let Some(oxide) = aim.quantity.only_oxide() else {
            continue;
        };
        let place = named.iter().position(|known| known.oxide == oxide).unwrap_or_else(|| {
            named.push(Named {
                oxide,
                moles: old.unity.get(oxide),
            });
            named.len() - 1
        });
        named[place].moles = aim.wanted.unwrap_or_else(|| nearest_allowed(aim, named[place].moles));
    }
    named
}

/// The value nearest to this one that an aim allows.
pub(crate) fn nearest_allowed(aim: &Aim, value: f64) -> f64 {
    let raised = aim.low.map_or(value, |low| value.max(low));
    aim.high.map_or(raised, |high| raised.min(high))
}

/// Oxides of which an aimed-at material is the only allowed source, as the old
/// recipe with that material at the aim's nearest value would have them.
fn named_by_material(old: &Old<'_>, aims: &[(usize, Aim)], space: &Space) -> Vec<(Oxide, f64)> {
    let mut named = Vec::new();
    for (_, aim) in aims {
        let Quantity::Share(materials) = &aim.quantity else {
            continue;
        };
        let [material] = materials.as_slice() else { continue };
        let now = share(old.glaze, material);
        let wanted = nearest_allowed(aim, now);
        if wanted == now {
            continue;
        }
        let others = space
            .columns
            .iter()
            .filter(|column| column.material.name != material.name);
        let others: Vec<&Arc<Material>> = others.map(|column| &column.material).collect();
        let only_here =
            |oxide: &Oxide| is_source(material, *oxide) && !others.iter().any(|other| is_source(other, *oxide));
        let changed = with_share(old.glaze, material, wanted, space);
        let unity = Analysis::of(&changed, old.fluxes, Additions::In)
            .ok()
            .and_then(|analysis| analysis.unity);
        // A recipe that keeps no flux has no unity formula to head for.
        let Some(unity) = unity else { continue };
        named.extend(
            Oxide::ALL
                .into_iter()
                .filter(only_here)
                .map(|oxide| (oxide, unity.get(oxide))),
        );
    }
    named
}

/// Per cent of the base, or on it.
fn share(glaze: &Glaze, material: &Material) -> f64 {
    let same = glaze
        .portions()
        .filter(|portion| portion.material.name == material.name);
    same.map(|portion| portion.percent).sum()
}

/// The old recipe with one material at another share, the rest in its old proportions.
fn with_share(glaze: &Glaze, material: &Arc<Material>, percent: f64, space: &Space) -> Glaze {
    let same = |portion: &Portion| portion.material.name == material.name;
    let column = space
        .columns
        .iter()
        .find(|column| column.material.name == material.name);
    let portion = Portion {
        material: material.clone(),
        percent,
    };
    let mut changed = glaze.clone();
    if column.is_some_and(|column| column.role == Role::Addition) {
        changed.additions.retain(|portion| !same(portion));
        changed.additions.push(portion);
        return changed;
    }
    changed.base.retain(|portion| !same(portion));
    let rest: f64 = changed.base.iter().map(|portion| portion.percent).sum();
    for other in &mut changed.base {
        other.percent *= (100.0 - percent) / rest;
    }
    changed.base.push(portion);
    changed
}
