//! From shares to weights.

mod rounding;
mod way_out;

pub use rounding::{Weighed, WeighedLine, to_step, weigh_out};
pub use way_out::{FINE_WEIGHING_ERROR, MOST_WEIGHING_ERROR, Premix, StrongBatch, WayOut, way_out};
