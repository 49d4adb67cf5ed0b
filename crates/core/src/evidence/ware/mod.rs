//! What glazes are put on: clays, the water they take up, how they shrink and expand.
//!
//! No number in here clears a piece for frost, food or wear; suitability is told in words
//! with what it doesn't cover.

mod absorption;
mod bar;
mod clay;
mod dilatometer;
mod expansion;
mod measured;
mod next_firing;
mod report;
mod said;
mod shrinkage;
mod stress;
mod suitability;

pub use absorption::{Absorption, AbsorptionGroup};
pub use bar::Weighings;
pub use clay::{CLAY_KEYS, Clay, ClayKind, read_clay, read_clay_with_tables};
pub use dilatometer::read_dilatometer_table;
pub use expansion::{ClayExpansion, QUARTZ_INVERSION_CELSIUS};
pub use measured::Measured;
pub use next_firing::{BarAdvice, NextFiring, next_firing};
pub use report::{AbsorptionFrom, ClayReport, ClaySaid};
pub use said::{ExpansionSaid, StressSaid};
pub use shrinkage::BarLengths;
pub use stress::{GlazeStress, stress_on};
pub use suitability::{
    BRICK_SATURATION_LIMIT, FloorWhy, FrostWhy, RatioSaid, RatioSide, Standing, Suitability, TablewareWhy, WallTileWhy,
    Why, suitability,
};
