//! Cautions that follow from what is in a batch and how much of it.
//!
//! They never replace the supplier's safety data sheet, local rules or a lab.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

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
fn oxide_grams(material: &Material, oxide: Oxide) -> f64 {
    material
        .fired
        .as_ref()
        .map_or(0.0, |fired| fired.oxides.get(oxide) / 100.0)
}

/// Cautions for a batch of these materials and grams.
pub fn handling(lines: &[(&Material, f64)]) -> Vec<String> {
    let mut said = vec![dust(lines)];
    said.extend(substances(lines));
    said.push(
        "powder into water, never water onto powder; wipe wet, never sweep; rinse in two buckets and let them settle, \
         nothing down the drain"
            .to_owned(),
    );
    said
}

/// The part of [`handling`] that follows from single substances: poisons, what
/// dissolves, metals, fumes, and what nobody tells.
pub fn substances(lines: &[(&Material, f64)]) -> Vec<String> {
    let mut said = Vec::new();
    let poisons: Vec<String> = lines
        .iter()
        .filter(|(material, _)| material.toxic)
        .map(|(material, grams)| format!("{} g of {}", amount(*grams), material.name))
        .collect();
    if !poisons.is_empty() {
        said.push(format!(
            "poisonous to handle: {}; gloves, no food or drink near, and its safety data sheet first",
            poisons.join(", ")
        ));
    }
    let soluble: Vec<&str> = named(lines, |material| material.soluble);
    if !soluble.is_empty() {
        said.push(format!(
            "dissolves in the bucket: {}; gloves, and never pour clear water off: it carries some away",
            soluble.join(", ")
        ));
    }
    said.extend(metals(lines));
    let untold: Vec<&str> = named(lines, |material| material.fired.is_none());
    if !untold.is_empty() {
        said.push(format!(
            "nobody tells what is in {}: its metals aren't known here, read its safety data sheet",
            untold.join(", ")
        ));
    }
    said
}

/// The metals in a batch, and those that leave with the kiln's fumes.
fn metals(lines: &[(&Material, f64)]) -> Vec<String> {
    let total: f64 = lines.iter().map(|line| line.1).sum();
    let metals: Vec<(Oxide, &str, f64)> = METALS
        .iter()
        .map(|(oxide, metal)| {
            let grams = lines.iter().map(|line| oxide_grams(line.0, *oxide) * line.1).sum();
            (*oxide, *metal, grams)
        })
        .filter(|(_, _, grams)| *grams > TRACE * total)
        .collect();
    let mut said = Vec::new();
    if !metals.is_empty() {
        let each: Vec<String> = metals
            .iter()
            .map(|(oxide, metal, grams)| format!("{metal} ({} g as {oxide})", amount(*grams)))
            .collect();
        said.push(format!(
            "holds {}: not tested for food; only a laboratory's leach test on the fired piece can tell",
            each.join(", ")
        ));
    }
    let fuming: Vec<&str> = metals
        .iter()
        .filter(|metal| FUMING.contains(&metal.0))
        .map(|metal| metal.1)
        .collect();
    if !fuming.is_empty() {
        said.push(format!(
            "{} fumes leave the kiln: fire in a ventilated room",
            fuming.join(" and ")
        ));
    }
    said
}

fn named<'a>(lines: &[(&'a Material, f64)], is: impl Fn(&Material) -> bool) -> Vec<&'a str> {
    lines
        .iter()
        .filter(|line| is(line.0))
        .map(|line| line.0.name.as_str())
        .collect()
}

/// The dust line: grams of crystalline silica, and what doesn't say.
fn dust(lines: &[(&Material, f64)]) -> String {
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
    let untold = named(lines, may_hold);
    let untold = untold.join(", ");
    if silica > 0.0 {
        let more = if untold.is_empty() {
            String::new()
        } else {
            format!(", and what {untold} brings isn't told")
        };
        format!(
            "{} g of this powder is crystalline silica{more}: a respirator that fits, and no dust in the air",
            amount(silica)
        )
    } else if untold.is_empty() {
        "no crystalline silica is told of these powders, but all dust harms: a respirator that fits".to_owned()
    } else {
        format!(
            "how much crystalline silica {untold} brings isn't told: treat its dust as silica, a respirator that fits"
        )
    }
}

fn carries_silica(material: &Material) -> bool {
    oxide_grams(material, Oxide::SiO2) > 0.01
}

/// Grams for a sentence: whole ones from ten up.
fn amount(grams: f64) -> String {
    match grams {
        grams if grams >= 9.95 => format!("{grams:.0}"),
        grams if grams >= 0.095 => format!("{grams:.1}"),
        grams => format!("{grams:.3}"),
    }
}
