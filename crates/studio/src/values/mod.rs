//! Values of a studio's own files, changed where they stand.
//!
//! What is named (a glaze, a material, a clay, the studio itself) is found in its file;
//! one value after the other is put into the file's text, which is read again as it
//! always is; only then it takes the old one's place, as a whole.

mod accepting;
mod found;
mod keys;
mod opening;
mod written;

pub use accepting::AcceptedIn;
pub(crate) use found::child;
pub use found::{Editable, OfWhat};
pub use keys::Setting;
pub use opening::{NewLot, OpenedLot};
pub use written::{Change, Changed};
