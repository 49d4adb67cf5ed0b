//! What a bag says, however little, as an entry of a materials file.
//!
//! Labels print figures without saying what their 100 % means, leave the loss
//! on ignition out, or name one compound only. What they most likely mean is
//! worked out here with its reasons; what is guessed is written into the entry
//! as `assumed`, so that every result built on it says so.

mod entry;
mod label;
mod mend;

pub use entry::entry;
pub use label::{Compound, Label, read_label};
pub use mend::{Guess, Mended, Reason, mend};
