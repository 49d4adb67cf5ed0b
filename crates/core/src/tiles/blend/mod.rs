//! Planning test tiles between end glazes.

mod design;
mod ends;
mod flags;
mod plan;
mod premix;
mod region;
mod renamed;
mod results;
mod saved;
mod series;
mod shape;
mod spread;
mod syringe;
mod tiles;
mod told;
mod weights;
mod wet;

pub use design::{MOST_ENDS, MOST_TILES, centroid, grid, lattice, lattice_size};
pub use ends::{Added, EndSays, EndUse, UnlikeEnds, check_ends, same_base, unlike_ends};
pub use flags::{Crossing, LabTile, ShareOf, outside};
pub use plan::{BlendPlan, CannotDraw, PlanOrder, Tile, plan};
pub use premix::{LargerTest, PremixUse, TilePremix};
pub use region::{Corner, MOST_BOUNDS, MOST_REGION_ENDS, ShareBound, region_corners, region_points};
pub use renamed::renamed_plan;
pub use results::{PlanNotes, TileNotes, lines_of_plan, plan_notes, tile_meant};
pub use saved::{SavedPlan, SavedTile, find_plan, find_tile, plan_name};
pub use series::{AdditionSteps, EndText, Spacing, glaze_of};
pub use shape::Shape;
pub use spread::{Spread, spread};
pub use syringe::Syringe;
pub use tiles::{Shares, blended, check_codes, codes, line};
pub use weights::CannotWeigh;
pub use wet::{BaseBatch, EndBatch, SPARE, Way, Weighings, additions_of_equal_totals};
