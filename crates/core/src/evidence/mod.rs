//! What was seen: notes and versions, clays, and what their pieces say about fit.

pub mod firings;
pub mod laboratory;
pub mod notes;
pub mod ware;
pub mod window;
