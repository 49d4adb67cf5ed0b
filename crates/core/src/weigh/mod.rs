//! From shares to weights.

mod rounding;

pub use rounding::{Weighed, WeighedLine, to_step, weigh_out};
