//! Aims: what a recipe should meet, as typed values and as typed phrases.

mod aim;
mod phrase;

pub use aim::{Aim, Quantity};
pub use phrase::{Phrase, aims_of_limits, parse_phrase};
