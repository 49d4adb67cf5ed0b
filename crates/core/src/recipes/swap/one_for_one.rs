//! The friend's advice: the same weight of another material.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Material;

/// The old recipe with one material taken for another, weight for weight.
pub fn one_for_one(glaze: &Glaze, out: &Material, with: &Arc<Material>) -> Glaze {
    let replaced = |portions: &[Portion]| -> Vec<Portion> {
        let mut new: Vec<Portion> = Vec::new();
        for portion in portions {
            let material = if portion.material.name == out.name {
                with
            } else {
                &portion.material
            };
            match new.iter_mut().find(|other| other.material.name == material.name) {
                Some(same) => same.percent += portion.percent,
                None => new.push(Portion {
                    material: material.clone(),
                    percent: portion.percent,
                }),
            }
        }
        new
    };
    Glaze {
        base: replaced(&glaze.base),
        additions: replaced(&glaze.additions),
        ..glaze.clone()
    }
}
