//! What glazes are put on.

mod clay;

pub use clay::{Clay, Weighings, read_clay};
