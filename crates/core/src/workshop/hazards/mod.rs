//! What must nobody breathe, swallow or pour away: cautions from what is in a batch.

mod caution;
mod handling;

pub use caution::{Caution, MaterialGrams, MetalGrams};
pub use handling::{LOCKED, handling, locked_metal, substances};
pub(crate) use handling::{METALS, TRACE};
