//! Planning test tiles between end glazes.

mod plan;
mod tiles;

pub use plan::{BlendPlan, CannotWeigh, EndBatch, POWDER_GRAMS_PER_MILLILITRE, PlanOrder, SPARE, Tile, plan};
pub use tiles::{Shares, blended, codes, line};
