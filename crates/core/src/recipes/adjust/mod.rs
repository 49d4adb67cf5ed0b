//! The least change of a recipe (or its least cost) that meets stated aims.
//!
//! Least change is change of what is fired: the chemistry distance to the old
//! glaze with what was asked put in. Linear aims make a strictly convex quadratic
//! programme, or a linear one for the cost: the answer is certified. Bounds on expansion are solved by
//! successive linearisation and confirmed by the model itself; a bound on the
//! chemistry distance is a cone, met by its tangents.

mod answer;
mod change;
mod distance;
mod melted;
mod model_bound;
mod outlook;
mod program;
mod question;
mod rows;
mod space;
mod sure;
mod taken;
mod target;
mod trouble;
mod ways;

pub use melted::{MeltTrouble, TwoWays, melters, two_ways};
pub use outlook::{Outlook, outlook};
pub use program::Least;
pub use question::{AdjustAnswer, AdjustQuestion, AimChance, Asked, Binding, Miss, Surety, Unasked, adjust};
pub use trouble::{AdjustTrouble, sources_of};
pub use ways::{MOST_RISE_PERCENT, Route, Way, ways};
