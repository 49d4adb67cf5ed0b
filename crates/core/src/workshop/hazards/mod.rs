//! What must nobody breathe, swallow or pour away: cautions from what is in a batch.

mod handling;

pub use handling::{LOCKED, handling, locked_metal, substances};
pub(crate) use handling::{METALS, TRACE};
