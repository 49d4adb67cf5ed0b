//! The year's plans of tiles, and what they decided.

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::tiles::blend::{SavedPlan, SavedTile, plan_notes};
use glost_studio::Recipe;
use serde::Serialize;

use crate::Desk;
use crate::notebook::Book;

/// Shares of a recipe that differ by less are one recipe, per cent.
const SAME_PERCENT: f64 = 0.05;

/// A plan of the year.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct PlanMade {
    /// Its name.
    pub plan: String,
    /// Its day.
    #[schemars(with = "Option<String>")]
    pub on: Option<Date>,
    /// Its ends.
    pub ends: Vec<String>,
    /// Its tiles.
    pub tiles: usize,
    /// Tiles that were noted.
    pub noted: usize,
    /// Tiles that are glazes of the studio by now.
    pub became: Vec<Became>,
}

/// A tile that is a glaze by now.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Became {
    /// The tile.
    pub tile: String,
    /// The glaze.
    pub glaze: String,
}

/// The plans that were saved in the year.
pub(super) fn made(desk: &Desk, book: &Book, glazes: &[Recipe], year: i64) -> Vec<PlanMade> {
    let (plans, complaints) = desk.workplace().plans();
    desk.tell(complaints);
    let of_year = plans.iter().filter(|plan| plan.on.is_some_and(|on| on.year() == year));
    let mut made: Vec<PlanMade> = of_year
        .map(|plan| {
            let noted = plan_notes(&plans, plan, &book.notes);
            PlanMade {
                plan: plan.name.clone(),
                on: plan.on,
                ends: plan.ends.clone(),
                tiles: plan.tiles.len(),
                noted: noted.tiles.iter().filter(|tile| !tile.notes.is_empty()).count(),
                became: became(plan, glazes),
            }
        })
        .collect();
    made.sort_by(|a, b| a.on.cmp(&b.on).then_with(|| a.plan.cmp(&b.plan)));
    made
}

/// Tiles whose recipe a glaze has that was no end of the plan.
fn became(plan: &SavedPlan, glazes: &[Recipe]) -> Vec<Became> {
    let is_end = |glaze: &Glaze| plan.ends.iter().any(|end| folded(end) == folded(&glaze.name));
    let new = glazes.iter().map(|found| &*found.glaze).filter(|glaze| !is_end(glaze));
    let mut became = Vec::new();
    for glaze in new {
        let tile = plan.tiles.iter().find(|tile| is_recipe(tile, glaze));
        became.extend(tile.map(|tile| Became {
            tile: tile.code.clone(),
            glaze: glaze.name.clone(),
        }));
    }
    became
}

fn is_recipe(tile: &SavedTile, glaze: &Glaze) -> bool {
    same(&tile.parts, &glaze.base) && same(&tile.additions, &glaze.additions)
}

fn same(amounts: &[(String, f64)], portions: &[Portion]) -> bool {
    let there: Vec<&(String, f64)> = amounts.iter().filter(|amount| amount.1 > 0.0).collect();
    let held: Vec<&Portion> = portions.iter().filter(|portion| portion.percent > 0.0).collect();
    there.len() == held.len()
        && there.iter().all(|(name, percent)| {
            held.iter().any(|portion| {
                folded(&portion.material.name) == folded(name) && (portion.percent - percent).abs() < SAME_PERCENT
            })
        })
}
