//! Materials of one chemistry under two names.

use std::sync::Arc;

use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;

/// How far two sheets of one thing may lie apart, wt % of the fired material (ours).
const APART_PERCENT: f64 = 0.5;
/// The same for the share of raw clay.
const APART_CLAY: f64 = 0.1;

/// Pairs that either of which does, in the materials' order.
pub(super) fn twins(materials: &[Arc<Material>]) -> Vec<(Arc<Material>, Arc<Material>)> {
    let mut found = Vec::new();
    for (index, one) in materials.iter().enumerate() {
        let alike = materials[index + 1..].iter().filter(|other| same(one, other));
        found.extend(alike.map(|other| (one.clone(), other.clone())));
    }
    found
}

fn same(one: &Material, other: &Material) -> bool {
    let (Some(a), Some(b)) = (&one.fired, &other.fired) else {
        return false;
    };
    let (a_total, b_total) = (a.oxides.total(), b.oxides.total());
    a_total > 0.0
        && b_total > 0.0
        && (one.raw_clay_fraction - other.raw_clay_fraction).abs() <= APART_CLAY
        && Oxide::ALL.into_iter().all(|oxide| {
            let apart = 100.0 * (a.oxides.get(oxide) / a_total - b.oxides.get(oxide) / b_total);
            apart.abs() <= APART_PERCENT
        })
}
