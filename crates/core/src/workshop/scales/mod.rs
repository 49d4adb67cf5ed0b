//! From shares to weights: what the scales show, and what to do where they can't.

mod rounding;
mod steps;
mod way_out;
mod weighings;

pub use rounding::{Weighed, WeighedLine, to_step, weigh_out};
pub use steps::Scales;
pub use way_out::{FINE_WEIGHING_ERROR, MOST_WEIGHING_ERROR, Premix, StrongBatch, WayOut, way_out};
pub use weighings::{MOST_WEIGHINGS, parse_scales, weighings};
