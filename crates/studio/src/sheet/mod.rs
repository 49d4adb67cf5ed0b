//! Many glazes in one table of text: a row a glaze, a column a material.
//!
//! The rows are read in blocks as they come in, so that a table may be of any
//! length and may come through a pipe; a block becomes glazes on whatever thread.

mod columns;
mod glazes;
mod rows;

pub use glazes::{GlazeSheet, SheetGlaze};
pub use rows::{MOST_ROW_BYTES, RowBlock, SheetRows};
