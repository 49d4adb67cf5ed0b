//! The language's own functions: what a stock engine has is left out, and
//! what scripts need is given in forms that can't go wrong in silence.

mod compare;
mod designs;
pub(crate) mod lists;
mod maths;
mod ranges;
mod tables;
mod texts;
mod whole;

pub(crate) use compare::same;
pub(crate) use maths::cone_number;
pub(crate) use texts::{in_text, number_text, own_values_read_as, push_fixed_number, push_number, short_number};

use rhai::Dynamic;

use crate::shelf::Shelf;

/// Puts the whole language on the shelf.
pub(crate) fn register(shelf: &mut Shelf) {
    compare::register(shelf);
    maths::register(shelf);
    whole::register(shelf);
    texts::register(shelf);
    ranges::register(shelf);
    lists::register(shelf);
    tables::register(shelf);
    designs::register(shelf);
}

/// A number, whole or not.
pub(crate) fn number(value: &Dynamic) -> Option<f64> {
    value
        .as_float()
        .ok()
        .or_else(|| value.as_int().ok().map(|whole| whole as f64))
}
