//! What must nobody breathe, swallow or pour away: cautions from what is in a batch.

mod caution;
mod handling;
mod kiln;

pub use caution::{Caution, MaterialGrams, MetalGrams};
pub use handling::{LOCKED, handling, locked_metal, substances};
pub(crate) use handling::{METALS, TRACE};
pub use kiln::{InKiln, KilnCaution, kiln_cautions};
