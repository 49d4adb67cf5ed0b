//! Cautions that follow from what is in a batch and how much of it.
//!
//! They never replace the supplier's safety data sheet, local rules or a lab.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

use super::caution::{Caution, MaterialGrams, MetalGrams};

/// Metals that are named on tickets and labels besides the locked ones: common
/// practice, no single source.
pub(crate) const METALS: [(Oxide, &str); 17] = [
    (Oxide::BaO, "barium"),
    (Oxide::MnO, "manganese"),
    (Oxide::CoO, "cobalt"),
    (Oxide::CuO, "copper"),
    (Oxide::NiO, "nickel"),
    (Oxide::Cr2O3, "chrome"),
    (Oxide::V2O5, "vanadium"),
    (Oxide::Sb2O3, "antimony"),
    (Oxide::SeO2, "selenium"),
    (Oxide::Li2O, "lithium"),
    (Oxide::ZnO, "zinc"),
    (Oxide::As2O3, "arsenic"),
    (Oxide::U3O8, "uranium"),
    (Oxide::ThO2, "thorium"),
    (Oxide::BeO, "beryllium"),
    (Oxide::Ag2O, "silver"),
    (Oxide::Tl2O, "thallium"),
];
/// Metals whose recipes are shown for arithmetic only; no ticket is made of them.
pub const LOCKED: [(Oxide, &str); 3] = [(Oxide::PbO, "lead"), (Oxide::CdO, "cadmium"), (Oxide::HgO, "mercury")];
/// Metals that leave the kiln with its fumes.
const FUMING: [Oxide; 4] = [Oxide::MnO, Oxide::Cr2O3, Oxide::V2O5, Oxide::SeO2];
/// A metal below this share of the dry batch is a trace of a natural material.
pub(crate) const TRACE: f64 = 0.0005;

/// One of [`LOCKED`] in these materials, more than a trace, with the material that
/// brings it.
pub fn locked_metal<'a>(lines: &[(&'a Material, f64)]) -> Option<(&'static str, &'a str)> {
    let total: f64 = lines.iter().map(|line| line.1).sum();
    LOCKED.iter().find_map(|(oxide, metal)| {
        let brings = |line: &&(&Material, f64)| oxide_grams(line.0, *oxide) * line.1 > 0.0;
        let grams: f64 = lines.iter().map(|line| oxide_grams(line.0, *oxide) * line.1).sum();
        let first = lines.iter().find(brings)?;
        (grams > TRACE * total).then_some((*metal, first.0.name.as_str()))
    })
}

/// Grams of an oxide that a gram of a material leaves.
pub(super) fn oxide_grams(material: &Material, oxide: Oxide) -> f64 {
    material
        .fired
        .as_ref()
        .map_or(0.0, |fired| fired.oxides.get(oxide) / 100.0)
}

/// Cautions for a batch of these materials and grams.
pub fn handling(lines: &[(&Material, f64)]) -> Vec<Caution> {
    let mut said = vec![dust(lines)];
    said.extend(substances(lines));
    said.push(Caution::PowderIntoWater);
    said
}

/// The part of [`handling`] that follows from single substances: poisons, what
/// dissolves, metals, fumes, and what nobody tells.
pub fn substances(lines: &[(&Material, f64)]) -> Vec<Caution> {
    let mut said = Vec::new();
    let poisons: Vec<MaterialGrams> = lines
        .iter()
        .filter(|(material, _)| material.toxic)
        .map(|(material, grams)| MaterialGrams {
            material: material.name.clone(),
            grams: *grams,
        })
        .collect();
    if !poisons.is_empty() {
        said.push(Caution::Poisons(poisons));
    }
    let soluble = named(lines, |material| material.soluble);
    if !soluble.is_empty() {
        said.push(Caution::Soluble(soluble));
    }
    said.extend(metals(lines));
    said.extend(fluorine(lines));
    let untold = named(lines, |material| material.fired.is_none());
    if !untold.is_empty() {
        said.push(Caution::Untold(untold));
    }
    said
}

/// The metals in a batch, and those that leave with the kiln's fumes.
fn metals(lines: &[(&Material, f64)]) -> Vec<Caution> {
    let total: f64 = lines.iter().map(|line| line.1).sum();
    let metals: Vec<MetalGrams> = METALS
        .iter()
        .map(|(oxide, metal)| {
            let grams = lines.iter().map(|line| oxide_grams(line.0, *oxide) * line.1).sum();
            MetalGrams {
                metal,
                oxide: *oxide,
                grams,
            }
        })
        .filter(|metal| metal.grams > TRACE * total)
        .collect();
    let fuming: Vec<&str> = metals
        .iter()
        .filter(|metal| FUMING.contains(&metal.oxide))
        .map(|metal| metal.metal)
        .collect();
    let mut said = Vec::new();
    if !metals.is_empty() {
        said.push(Caution::Metals(metals));
    }
    if !fuming.is_empty() {
        said.push(Caution::Fumes(fuming));
    }
    said
}

/// F above this, wt % of the dry batch, is said (common practice, no source).
const FLUORINE_FROM_PERCENT: f64 = 0.3;

fn fluorine(lines: &[(&Material, f64)]) -> Option<Caution> {
    let total: f64 = lines.iter().map(|line| line.1).sum();
    let percent = |material: &Material| material.fired.as_ref().map_or(0.0, |fired| fired.fluorine_grams);
    let sum: f64 = lines.iter().map(|(material, grams)| percent(material) * grams).sum();
    (sum > FLUORINE_FROM_PERCENT * total).then(|| Caution::Fluorine(sum / total))
}

fn named(lines: &[(&Material, f64)], is: impl Fn(&Material) -> bool) -> Vec<String> {
    lines
        .iter()
        .filter(|line| is(line.0))
        .map(|line| line.0.name.clone())
        .collect()
}

/// Grams of crystalline silica, and what doesn't say.
fn dust(lines: &[(&Material, f64)]) -> Caution {
    let silica: f64 = lines
        .iter()
        .map(|(material, grams)| material.free_silica_percent.unwrap_or(0.0) / 100.0 * grams)
        .sum();
    // A mineral, clay or unknown powder may hold quartz; a melted or made one holds none worth naming.
    let may_hold = |material: &Material| {
        material.free_silica_percent.is_none()
            && (matches!(material.kind, Kind::Clay | Kind::Mineral) && carries_silica(material)
                || material.fired.is_none())
    };
    Caution::Dust {
        silica_grams: silica,
        untold: named(lines, may_hold),
        assumed: named(lines, |material| {
            material.free_silica_assumed.is_some() && material.free_silica_percent.is_some_and(|percent| percent > 0.0)
        }),
    }
}

fn carries_silica(material: &Material) -> bool {
    oxide_grams(material, Oxide::SiO2) > 0.01
}

#[cfg(test)]
mod tests;
