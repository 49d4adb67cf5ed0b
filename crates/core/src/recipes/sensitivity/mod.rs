//! What a little more of each material does to a glaze, and which of its numbers matter most.
//!
//! Each row is worked through the whole of the model, not through a slope: the step is added
//! to the base of 100, the base read as shares of its new total again, additions kept at their
//! per cent on it.

mod doubts;
mod effect;

pub use doubts::{Doubt, doubts};
pub use effect::{Effect, Place, Sensitivity, sensitivity};
