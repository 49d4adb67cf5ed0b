//! Which lots pieces were made of: a bag's next lot is another glaze by a little.

use std::sync::Arc;

use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Kind;
use glost_chemistry::read::folded;

use super::look::Step;

/// Materials, folded, with their lots, in order; two glazes of the same recipe with the same
/// of these are one lot.
pub(super) type Lots = Vec<(String, String)>;

/// The lots of a recipe as its materials say them, where the note doesn't say otherwise. What
/// was added for a step of a ladder is not of the base's lot.
pub(super) fn lots_of(recipe: Option<&Glaze>, said: &[(String, String)], step: Option<&Step>) -> Lots {
    let added = step.map(|step| folded(&step.material));
    let mut lots: Lots = Vec::new();
    let mut add = |name: String, lot: String| {
        if added.as_ref() == Some(&name) {
            return;
        }
        match lots.iter_mut().find(|(known, _)| *known == name) {
            Some(known) => known.1 = lot,
            None => lots.push((name, lot)),
        }
    };
    let portions = recipe.into_iter().flat_map(Glaze::portions);
    for portion in portions.filter(|portion| portion.percent > 0.0) {
        let material = &portion.material;
        match &material.lot {
            Some(lot) => add(folded(&material.name), folded(lot)),
            // A bag under the name of its lot.
            None if material.kind == Kind::Powder => add(folded(&material.name), String::new()),
            None => {}
        }
    }
    for (material, lot) in said {
        add(folded(material), folded(lot));
    }
    lots.sort();
    lots
}

/// The place of a lot among a family's, which it joins where it is new.
pub(super) fn place_of(known: &mut Vec<Arc<Lots>>, lots: &Arc<Lots>) -> usize {
    match known.iter().position(|other| *other == *lots) {
        Some(index) => index,
        None => {
            known.push(Arc::clone(lots));
            known.len() - 1
        }
    }
}
