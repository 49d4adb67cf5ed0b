//! What comes in from paper: notebook pages, poor labels, the answers of the first day.

pub mod bag;
pub mod notebook;
pub mod start;
