//! Who may come into a recipe when nobody is named.

use std::sync::Arc;

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::{Kind, Library, Material};
use glost_chemistry::oxides::Oxide;

/// Metals of concern and colourants, with the wt % of the fired glaze from which a
/// newcomer may not bring them into a recipe that lacks them (common practice, no source).
const UNASKED: [(Oxide, f64); 13] = [
    (Oxide::PbO, 0.01),
    (Oxide::CdO, 0.001),
    (Oxide::BaO, 0.1),
    (Oxide::MnO, 0.1),
    (Oxide::Li2O, 0.1),
    (Oxide::CoO, 0.01),
    (Oxide::Cr2O3, 0.01),
    (Oxide::CuO, 0.03),
    (Oxide::NiO, 0.03),
    (Oxide::V2O5, 0.03),
    (Oxide::Sb2O3, 0.03),
    (Oxide::ZrO2, 0.3),
    (Oxide::SnO2, 0.3),
];
/// Beside tin, chromium turns pink from this, wt % of the fired glaze.
const CHROMIUM_BESIDE_TIN: f64 = 0.005;

/// Oxides that opacify or colour: a material mostly of these is no base material.
const OPACIFYING: [Oxide; 4] = [Oxide::SnO2, Oxide::ZrO2, Oxide::TiO2, Oxide::CeO2];
/// wt % of opacifying oxides in the fired material from which it counts as an opacifier.
const OPACIFIER_FROM_PERCENT: f64 = 25.0;

/// The materials that may come in: to be had, whole chemistry known, without_hazard
/// to handle, no textbook or ready-made ones, lithium only where there is some;
/// colourants, stains and opacifiers only for one that is missing.
pub fn allowed(
    glaze: &Glaze,
    missing: &[Arc<Material>],
    library: &Library,
    shipped_may_come: bool,
) -> Vec<Arc<Material>> {
    let colours_missing = missing.iter().any(|material| colours_or_opacifies(material));
    // A missing lithium mineral may be made up for by a lithium salt; what harms in it is said.
    let lithium_missing = missing.iter().any(|material| is_of_lithium(material));
    to_be_had(library, shipped_may_come)
        .filter(|material| without_hazard(material) || lithium_missing && is_of_lithium(material))
        .filter(|material| !missing.iter().any(|out| out.name == material.name) && !glaze.holds(material))
        .filter(|material| colours_missing || !colours_or_opacifies(material))
        .filter(|material| fluorine_percent(material) < FLUORIDE_FROM_PERCENT || fluorine_missing(missing))
        .filter(|material| !is_of_lithium(material) || glaze_holds(glaze, Oxide::Li2O))
        .cloned()
        .collect()
}

/// The materials that may make up a target chemistry when nobody is named: as
/// [`allowed`], colourants, opacifiers and lithium where the target asks for them.
pub fn allowed_for_target(target: &ChemistryDistance, library: &Library, shipped_may_come: bool) -> Vec<Arc<Material>> {
    to_be_had(library, shipped_may_come)
        .filter(|material| without_hazard(material))
        .filter(|material| {
            !colours_or_opacifies(material) || main_oxide(material).is_some_and(|oxide| asks_for(target, oxide))
        })
        .filter(|material| fluorine_percent(material) < FLUORIDE_FROM_PERCENT)
        .filter(|material| !is_of_lithium(material) || asks_for(target, Oxide::Li2O))
        .cloned()
        .collect()
}

/// Whether a material may come into a glaze that lacks it when nobody named it: no hazard
/// to handle, no colour, no fluoride, lithium only where there is some.
pub(super) fn may_join(glaze: &Glaze, material: &Material) -> bool {
    without_hazard(material)
        && !colours_or_opacifies(material)
        && fluorine_percent(material) < FLUORIDE_FROM_PERCENT
        && (!is_of_lithium(material) || glaze_holds(glaze, Oxide::Li2O))
}

fn without_hazard(material: &Material) -> bool {
    !material.soluble && !material.toxic
}

/// To be had, whole chemistry known, neither textbook-pure nor ready-made.
pub(super) fn to_be_had(library: &Library, shipped_may_come: bool) -> impl Iterator<Item = &Arc<Material>> {
    library
        .iter()
        .filter(move |material| {
            if material.shipped {
                shipped_may_come && material.buyable
            } else {
                material.to_be_had()
            }
        })
        .filter(|material| !matches!(material.kind, Kind::Textbook | Kind::Powder | Kind::Gum))
        .filter(|material| material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0))
}

/// Whether a target holds more of an oxide than a trace that isn't seen.
fn asks_for(target: &ChemistryDistance, oxide: Oxide) -> bool {
    target.target().get(oxide) > target.tolerance_for(oxide, 0.0)
}

/// The oxide that a fired material holds most of.
pub(super) fn main_oxide(material: &Material) -> Option<Oxide> {
    let fired = material.fired.as_ref()?;
    let most = fired.oxides.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    most.map(|(oxide, _)| oxide)
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

/// wt % F from which a material is a fluoride: it comes in only by name, or for one
/// that is gone (common practice, no source).
const FLUORIDE_FROM_PERCENT: f64 = 3.0;
/// F in wt % of the batch that newcomers may bring, where nothing that is gone brought any.
const MOST_FLUORINE_PERCENT: f64 = 0.3;

fn fluorine_percent(material: &Material) -> f64 {
    material.fired.as_ref().map_or(0.0, |fired| fired.fluorine_grams)
}

fn fluorine_missing(missing: &[Arc<Material>]) -> bool {
    missing
        .iter()
        .any(|material| fluorine_percent(material) > MOST_FLUORINE_PERCENT)
}

/// Whether newcomers bring more fluorine to a batch than goes unnoticed.
pub(super) fn brings_fluorine(new: &Glaze, newcomers: &[Arc<Material>], missing: &[Arc<Material>]) -> bool {
    let is_new = |portion: &&Portion| newcomers.iter().any(|newcomer| newcomer.name == portion.material.name);
    let brought = fluorine_of(new.portions().filter(is_new)) / batch(new);
    brought > MOST_FLUORINE_PERCENT && !fluorine_missing(missing)
}

/// F in wt % of a recipe's dry batch, where it is more than goes unnoticed: it leaves
/// the kiln as hydrogen fluoride.
pub fn fluorine_in_batch(glaze: &Glaze) -> Option<f64> {
    let percent = fluorine_of(glaze.portions()) / batch(glaze);
    (percent > MOST_FLUORINE_PERCENT).then_some(percent)
}

fn batch(glaze: &Glaze) -> f64 {
    glaze.portions().map(|portion| portion.percent).sum()
}

fn fluorine_of<'a>(portions: impl Iterator<Item = &'a Portion>) -> f64 {
    portions
        .map(|portion| portion.percent * fluorine_percent(&portion.material))
        .sum()
}

/// wt % Li2O from which a material is one of lithium: it comes in only by name.
const OF_LITHIUM_FROM_PERCENT: f64 = 1.0;

fn amount(material: &Material, oxide: Oxide) -> f64 {
    material.fired.as_ref().map_or(0.0, |fired| fired.oxides.get(oxide))
}

fn is_of_lithium(material: &Material) -> bool {
    amount(material, Oxide::Li2O) >= OF_LITHIUM_FROM_PERCENT
}

fn glaze_holds(glaze: &Glaze, oxide: Oxide) -> bool {
    let holds = |portion: &Portion| portion.percent > 0.0 && amount(&portion.material, oxide) > 0.0;
    glaze.portions().any(holds)
}

/// Whether what is new in a recipe brings a metal or a colour that the old one
/// lacks, by what it leaves in the fired glaze: a trace is no reason.
pub(super) fn brings_unasked(old: &Glaze, new: &Glaze, newcomers: &[Arc<Material>]) -> bool {
    let total = fired_total(new);
    // Brought by the old recipe in earnest, it is no stranger.
    let there = |oxide: Oxide, most: f64| 100.0 * brought(old.portions(), oxide) / total > most;
    unasked(new, newcomers, glaze_holds(old, Oxide::SnO2), there)
}

/// Whether a recipe brings a metal or a colour that its target doesn't ask for.
pub(super) fn brings_unasked_by_target(target: &ChemistryDistance, new: &Glaze, newcomers: &[Arc<Material>]) -> bool {
    let there = |oxide: Oxide, _| asks_for(target, oxide);
    unasked(new, newcomers, asks_for(target, Oxide::SnO2), there)
}

fn unasked(new: &Glaze, newcomers: &[Arc<Material>], tin: bool, there: impl Fn(Oxide, f64) -> bool) -> bool {
    let total = fired_total(new);
    let is_new = |portion: &&Portion| newcomers.iter().any(|newcomer| newcomer.name == portion.material.name);
    UNASKED.iter().any(|&(oxide, most)| {
        let most = if oxide == Oxide::Cr2O3 && tin {
            CHROMIUM_BESIDE_TIN
        } else {
            most
        };
        100.0 * brought(new.portions().filter(is_new), oxide) / total > most && !there(oxide, most)
    })
}

fn fired_total(glaze: &Glaze) -> f64 {
    let fired = |material: &Material| material.fired.as_ref().map_or(0.0, |fired| fired.oxides.total());
    let portions = glaze.portions();
    portions.map(|portion| portion.percent * fired(&portion.material)).sum()
}

fn brought<'a>(portions: impl Iterator<Item = &'a Portion>, oxide: Oxide) -> f64 {
    portions
        .map(|portion| portion.percent * amount(&portion.material, oxide))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    #[test]
    fn a_glaze_holds_what_it_has_more_of_than_nothing() {
        let shelf =
            "materials: [{ name: silica, formula: SiO2, source: x }, { name: tin oxide, formula: SnO2, source: x }]";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", shelf)).0, false);
        let holds_tin = |lines: &str| {
            let text = format!("glaze: A\n{lines}\n");
            let glaze = read_glaze(&Source::from_text("g.yaml", &text), Millilitres::METRIC_CUP)
                .map_err(|error| vec![error])
                .and_then(|file| file.resolve(&library))
                .unwrap_or_else(|why| panic!("{why:?}"));
            glaze_holds(&glaze, Oxide::SnO2)
        };
        assert!(holds_tin("parts: { silica: 100 }\nadditions: { tin oxide: 5 }"));
        assert!(holds_tin("parts: { silica: 95, tin oxide: 5 }"));
        assert!(!holds_tin("parts: { silica: 100, tin oxide: 0 }"));
        assert!(!holds_tin("parts: { silica: 100 }\nadditions: { tin oxide: 0 }"));
    }
}
