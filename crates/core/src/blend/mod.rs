//! Planning test tiles between end glazes.

mod plan;
mod tiles;

pub use plan::{BlendPlan, CannotWeigh, EndBatch, PlanOrder, SPARE, Tile, plan};
pub use tiles::{Shares, blended, codes, line};
