//! The least change of a recipe (or its least cost) that meets stated aims.
//!
//! Linear aims make a strictly convex quadratic programme, or a linear one for
//! the cost: the answer is certified. Bounds on expansion are solved by
//! successive linearisation and confirmed by the model itself; a bound on the
//! chemistry distance is a cone, met by its tangents.

mod distance;
mod expansion;
mod program;
mod question;
mod rows;
mod space;
mod ways;

pub use program::Least;
pub use question::{AdjustAnswer, AdjustQuestion, AdjustTrouble, Asked, Binding, Miss, adjust};
pub use ways::{MOST_RISE_PERCENT, Route, Way, ways};
