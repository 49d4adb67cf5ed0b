//! The first day: one powder (or recipe), one clay, a kiln, cups and scales.
//!
//! Nothing in it needs an analysis. What is answered becomes the files of a
//! studio and a first ticket.

mod answers;
mod files;
mod slop;

pub use answers::{Answers, Firing, Glazing, parse_firing, parse_name, parse_scales, parse_water};
pub use files::{StudioFile, studio_files};
pub use slop::{Banded, Slop, in_cups};
