//! The first day: one powder (or recipe), one clay, a kiln, cups and scales.
//!
//! Nothing in it needs an analysis. What is answered becomes the files of a
//! studio (written by whoever holds the folder) and a first ticket.

mod answers;
mod cups;

pub use answers::{Answers, Firing, Glazing, parse_firing, parse_name, parse_water};
pub use cups::{Cups, in_cups, near_cups};
