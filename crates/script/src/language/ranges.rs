//! Whole numbers, and ranges of them.

use std::ops::{Range, RangeInclusive};

use rhai::{Dynamic, EvalAltResult};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::number;

type Raised = Box<EvalAltResult>;

/// A whole number, written with a point or without.
fn whole(value: f64) -> Result<i64, Raised> {
    if value.fract() == 0.0 && value.abs() < 1e15 {
        return Ok(value as i64);
    }
    Err(Trouble::new(
        "wrong-value",
        format!("a whole number is needed here, not {}", super::number_text(value)),
    )
    .help("`round(x)` makes it whole")
    .raise())
}

/// A whole number, from any number that is one.
pub(super) fn whole_of(value: &Dynamic) -> Result<i64, Raised> {
    match (value.as_int(), number(value)) {
        (Ok(whole), _) => Ok(whole),
        (_, Some(value)) => whole(value),
        _ => Err(trouble(
            "wrong-kind",
            format!(
                "a whole number is needed here, not {}",
                Sort::words_for_type(value.type_name())
            ),
        )),
    }
}

/// `0..n` with numbers of either kind: an option's 4 is a number as any other.
pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_iterable::<Range<i64>>();
    shelf.module.set_iterable::<RangeInclusive<i64>>();
    shelf.add(
        Entry::operator(
            "..",
            Sort::Any,
            "The whole numbers from the first up to, but without, the second; `..=` takes it in.",
        )
        .example("for number in 0..3 { print(number); }"),
        |from: i64, to: i64| from..to,
    );
    shelf.also(|from: f64, to: i64| -> Result<Range<i64>, Raised> { Ok(whole(from)?..to) });
    shelf.also(|from: i64, to: f64| -> Result<Range<i64>, Raised> { Ok(from..whole(to)?) });
    shelf.also(|from: f64, to: f64| -> Result<Range<i64>, Raised> { Ok(whole(from)?..whole(to)?) });
    shelf.silent("..=", |from: f64, to: i64| -> Result<RangeInclusive<i64>, Raised> {
        Ok(whole(from)?..=to)
    });
    shelf.silent("..=", |from: i64, to: f64| -> Result<RangeInclusive<i64>, Raised> {
        Ok(from..=whole(to)?)
    });
    shelf.silent("..=", |from: f64, to: f64| -> Result<RangeInclusive<i64>, Raised> {
        Ok(whole(from)?..=whole(to)?)
    });
}
