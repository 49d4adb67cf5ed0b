//! Planning test tiles between end glazes.

mod design;
mod ends;
mod plan;
mod results;
mod saved;
mod series;
mod shape;
mod tiles;

pub use design::{MOST_ENDS, MOST_TILES, centroid, grid, lattice, lattice_size};
pub use ends::{check_ends, same_base, unlike_ends};
pub use plan::{BlendPlan, CannotWeigh, EndBatch, POWDER_GRAMS_PER_MILLILITRE, PlanOrder, SPARE, Tile, plan};
pub use results::{PlanNotes, TileNotes, plan_notes};
pub use saved::{SavedPlan, SavedTile, find_plan, find_tile, plan_name};
pub use series::{AdditionSteps, EndText, Spacing, glaze_of};
pub use shape::Shape;
pub use tiles::{Shares, blended, check_codes, codes, line};
