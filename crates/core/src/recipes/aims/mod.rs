//! Aims: what a recipe should meet, as typed values and as typed phrases.

mod aim;
mod phrase;
mod quantity;
mod sum;

pub use aim::{Aim, MeltAim, Quantity};
pub use phrase::{MeltAsked, Phrase, aims_of_limits, parse_phrase};
pub(crate) use sum::R2O;
pub use sum::{OxideSum, SumTerm};
