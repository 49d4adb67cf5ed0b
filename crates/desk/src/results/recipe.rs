//! The best blend as a recipe to weigh.

use std::sync::Arc;

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, Analysis, Glaze, Portion};
use glost_chemistry::quantity::Grams;
use glost_core::tiles::blend::blended;
use glost_core::tiles::mixture::{BlendRecipe, recipe_at};
use glost_core::workshop::hazards::locked_metal;
use glost_core::workshop::scales::{Weighed, weigh_out};
use glost_studio::Workplace;

use crate::Said;

use super::TilesSaid;
use super::table::Plans;

/// What the best blend is called as a glaze.
const NAME: &str = "best blend";

/// The recipe of the best blend, to the scales.
#[derive(Debug, Clone)]
pub struct BestRecipe {
    /// The glaze.
    pub glaze: Glaze,
    /// Grams of base that it is weighed for.
    pub dry_grams: f64,
    /// Grams of base and additions.
    pub weighed: Weighed,
    /// The step of the scales in grams.
    pub step_grams: f64,
}

/// The best blend as a glaze: from the plans' tiles, else from glazes of the studio that
/// are called like the table's columns.
pub(super) fn best_glaze(
    workplace: &Workplace,
    plans: &Plans,
    ends: &[String],
    shares: &[f64],
    said: &mut Vec<Said>,
) -> Option<Glaze> {
    if plans.is_empty() {
        workplace.studio_dir()?;
        // A column that is no glaze of the studio only means that nothing is weighed.
        let glazes: Vec<Glaze> = ends
            .iter()
            .map(|end| workplace.glaze(end).ok().map(|found| found.glaze))
            .collect::<Option<_>>()?;
        said.push(Said::Tiles(TilesSaid::EndsAreGlazes));
        return Some(blended(NAME, &glazes, shares));
    }
    let tiles: Vec<_> = plans.named().flat_map(|plan| &plan.tiles).collect();
    match as_glaze(workplace, &recipe_at(&tiles, shares)?) {
        Ok(glaze) => Some(glaze),
        Err(name) => {
            said.push(Said::Tiles(TilesSaid::NoSuchMaterial(name)));
            None
        }
    }
}

/// A recipe with its materials found; else the name that isn't there.
fn as_glaze(workplace: &Workplace, recipe: &BlendRecipe) -> Result<Glaze, String> {
    let portions = |lines: &[(String, f64)]| -> Result<Vec<Portion>, String> {
        let portion = |(name, percent): &(String, f64)| {
            let material = workplace.library().find(name).ok_or_else(|| name.clone())?;
            Ok(Portion {
                material: Arc::clone(material),
                percent: *percent,
            })
        };
        lines.iter().map(portion).collect()
    };
    Ok(Glaze {
        name: NAME.to_owned(),
        base: portions(&recipe.parts)?,
        additions: portions(&recipe.additions)?,
        about: Default::default(),
        assumptions: Vec::new(),
    })
}

/// The glaze to the studio's scales; nothing with lead or cadmium is weighed.
pub(super) fn to_weigh(workplace: &Workplace, glaze: Glaze, dry: Grams, said: &mut Vec<Said>) -> Option<BestRecipe> {
    let settings = workplace.settings();
    let lines: Vec<_> = glaze
        .portions()
        .map(|portion| (&*portion.material, portion.percent))
        .collect();
    if let Some((metal, material)) = locked_metal(&lines) {
        said.push(Said::Tiles(TilesSaid::Locked {
            metal,
            material: material.to_owned(),
        }));
        return None;
    }
    // Without an analysis there is nothing to come near to: each line is rounded alone.
    let unity = Analysis::of(&glaze, &settings.fluxes, Additions::In)
        .ok()
        .and_then(|analysis| analysis.unity)
        .unwrap_or_default();
    let target = ChemistryDistance::new(&unity, &settings.fluxes);
    Some(BestRecipe {
        weighed: weigh_out(&glaze, &settings.fluxes, &target, dry.grams(), &settings.scales),
        step_grams: settings.scales.reads_to.grams(),
        dry_grams: dry.grams(),
        glaze,
    })
}
