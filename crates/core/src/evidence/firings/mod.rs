//! The kiln's book: what was loaded, how it was fired, when it was opened.
//!
//! `firings.jsonl` holds one JSON object a line and is only ever added to: a load, an
//! opening that names the load's id, a line that takes one of them back. Whatever order a
//! merge of two clones leaves the lines in, they say the same.

mod book;
mod entry;
mod firing;
mod opening;
mod reading;

pub use book::{Firings, NotOne};
pub use entry::{Entry, Group, Put};
pub use firing::{Firing, FiringKind};
pub use opening::{Cooling, Opening, TakeBack};
