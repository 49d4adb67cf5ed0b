//! What comes in: notebook pages, poor labels, the answers of the first day, tables.

pub mod bag;
pub mod notebook;
pub mod start;
pub mod table;
