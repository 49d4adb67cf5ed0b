//! Tiles made of a base: which addition each has, and what that does to the expansion.

use std::fmt::Write;

use glost_chemistry::glaze::{Glaze, GlazeNotes, Portion};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::parse_number;
use glost_chemistry::read::folded;

use super::look::Step;
use super::settings::{Belief, KAOLIN_SLOPE, SILICA_SLOPE};

/// A tile of a saved plan: a base with one material more or less of it, or a recipe of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct LadderTile {
    /// Its code as notes have it: `PLAN/A2`.
    pub tile: String,
    /// The base's name.
    pub base: String,
    /// What was added; `None` on the tile that is the base itself.
    pub step: Option<Step>,
    /// The materials of its base, by name.
    pub materials: Vec<String>,
    /// Its recipe, where it is no step of a base.
    pub own: Option<OwnRecipe>,
}

/// A recipe as a saved plan tells it.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnRecipe {
    /// The base: names and shares of 100.
    pub parts: Vec<(String, f64)>,
    /// The additions: names and per cent of the base.
    pub additions: Vec<(String, f64)>,
}

impl OwnRecipe {
    /// With the materials of the shelf; `None` where one is gone.
    pub(super) fn glaze(&self, name: &str, library: &Library) -> Option<Glaze> {
        let portions = |amounts: &[(String, f64)]| -> Option<Vec<Portion>> {
            let found = amounts.iter().map(|(name, percent)| {
                Some(Portion {
                    material: library.find(name)?.clone(),
                    percent: *percent,
                })
            });
            found.collect()
        };
        Some(Glaze {
            name: name.to_owned(),
            base: portions(&self.parts)?,
            additions: portions(&self.additions)?,
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        })
    }
}

/// An addition of which a powder's expansion is known to fall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lowering {
    /// At least 97 % SiO2.
    Silica,
    /// Raw kaolin.
    Kaolin,
}

/// SiO2 that makes a material silica, wt %.
const SILICA_FROM_PERCENT: f64 = 97.0;
/// Al2O3 of a kaolin as supplied, wt %; its SiO2 : Al2O3 by moles; its least loss, wt %.
const KAOLIN_ALUMINA_PERCENT: std::ops::RangeInclusive<f64> = 30.0..=45.0;
const KAOLIN_RATIO: std::ops::RangeInclusive<f64> = 1.7..=2.6;
const KAOLIN_LOSS_PERCENT: f64 = 9.0;

impl Lowering {
    /// Told by analysis, whatever the material is called.
    pub fn of(material: &Material) -> Option<Lowering> {
        let fired = material.fired.as_ref()?;
        let percent = |oxide: Oxide| fired.oxides.get(oxide);
        if percent(Oxide::SiO2) >= SILICA_FROM_PERCENT {
            return Some(Lowering::Silica);
        }
        let moles = fired.oxides.to_moles();
        let ratio = moles.get(Oxide::SiO2) / moles.get(Oxide::Al2O3);
        let kaolin = KAOLIN_ALUMINA_PERCENT.contains(&percent(Oxide::Al2O3))
            && KAOLIN_RATIO.contains(&ratio)
            && fired.loss_grams >= KAOLIN_LOSS_PERCENT;
        kaolin.then_some(Lowering::Kaolin)
    }

    /// By how much 1 % lowers the expansion of a powder of unknown recipe.
    pub fn slope(self) -> Belief {
        match self {
            Lowering::Silica => SILICA_SLOPE,
            Lowering::Kaolin => KAOLIN_SLOPE,
        }
    }
}

/// A name such as `bought clear + 3 % silica`, taken apart.
pub fn step_of_name(name: &str) -> Option<(&str, Step)> {
    let (base, addition) = name.rsplit_once(" + ")?;
    let (percent, material) = addition.split_once('%')?;
    let percent = parse_number(percent.trim()).ok()?.value;
    let material = material.trim();
    let sound = percent > 0.0 && percent <= 1000.0 && !material.is_empty() && !base.trim().is_empty();
    sound.then(|| {
        (
            base.trim(),
            Step {
                material: material.to_owned(),
                percent,
            },
        )
    })
}

/// Puts an addition behind a name, as [`step_of_name`] takes it apart.
pub(crate) fn add_to_name(name: &mut String, percent: f64, material: &str) {
    let _ = write!(name, " + {percent} % {material}");
}

/// A glaze with a step's addition on its base.
pub(super) fn with_step(base: &Glaze, step: &Step, library: &Library) -> Option<Glaze> {
    let material = base
        .portions()
        .map(|portion| &portion.material)
        .find(|material| folded(&material.name) == folded(&step.material))
        .or_else(|| library.find(&step.material))?;
    let mut glaze = base.clone();
    add_to_name(&mut glaze.name, step.percent, &step.material);
    let known = glaze
        .additions
        .iter_mut()
        .find(|portion| folded(&portion.material.name) == folded(&material.name));
    match known {
        Some(portion) => portion.percent += step.percent,
        None => glaze.additions.push(Portion {
            material: material.clone(),
            percent: step.percent,
        }),
    }
    Some(glaze)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_steps_are_taken_apart() {
        let step = |name: &'static str| step_of_name(name).map(|(base, step)| (base, step.percent, step.material));
        assert_eq!(
            step("bought clear + 3 % silica"),
            Some(("bought clear", 3.0, "silica".to_owned()))
        );
        assert_eq!(
            step("white + 1 % tin oxide + 2.5% kaolin, lot 3"),
            Some(("white + 1 % tin oxide", 2.5, "kaolin, lot 3".to_owned()))
        );
        for other in [
            "bought clear",
            "a + b",
            "a + % silica",
            "a + 0 % silica",
            " + 3 % silica",
            "a + 3 %",
        ] {
            assert_eq!(step(other), None, "{other}");
        }
    }
}
