//! Sums as one does them by hand: every figure on the way, for whoever learns or teaches.
//!
//! Worked out here term by term, beside the engine, so that a law can hold the two together.

mod blend;
mod slurry;
mod sum;
mod swap;
mod unity;
mod weigh;

pub(crate) use blend::{Planned, of_plan};
pub(crate) use slurry::{Mended, Surveyed, of_bucket};
pub use sum::{Line, Step, Sum};
pub use swap::{DistanceRow, SwapSteps};
pub use unity::{Brought, BroughtOxide, OxideStep, UnitySteps};
pub(crate) use weigh::of_ticket;
