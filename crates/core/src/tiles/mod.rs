//! Test tiles: planned, kept, and what they taught.

pub mod blend;
pub mod expect;
pub mod mixture;
