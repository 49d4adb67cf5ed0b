//! Whole numbers: what grows beyond them goes on with a point, and what changes in place
//! (`x += 1`) reckons as `x = x + 1` does.

use rhai::{Dynamic, EvalAltResult};

use crate::shelf::Shelf;
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::maths::{difference, divided, power, product, remainder, total};
use super::number;

type Raised = Box<EvalAltResult>;

/// A number, whole or not.
pub(super) type WithPoint = Result<Dynamic, Raised>;

/// The whole number, or what is worked out with a point where it is too large for one.
pub(super) fn or_with_a_point(whole: Option<i64>, otherwise: impl FnOnce() -> Result<f64, Raised>) -> WithPoint {
    match whole {
        Some(whole) => Ok(whole.into()),
        None => otherwise().map(Dynamic::from),
    }
}

/// The sign, how whole numbers go, and others.
type InPlace = (
    &'static str,
    fn(i64, i64) -> Option<i64>,
    fn(f64, f64) -> Result<f64, Raised>,
);

const IN_PLACE: [InPlace; 6] = [
    ("+=", i64::checked_add, total),
    ("-=", i64::checked_sub, difference),
    ("*=", i64::checked_mul, product),
    // 5 / 2 is 2.5, in place too.
    ("/=", |_, _| None, divided),
    ("%=", i64::checked_rem, remainder),
    ("**=", |_, _| None, power),
];

pub(super) fn register(shelf: &mut Shelf) {
    for (sign, whole, broken) in IN_PLACE {
        // The left may change from whole to one with a point, so that it is taken as it is.
        shelf.silent(sign, move |left: &mut Dynamic, right: i64| -> Result<(), Raised> {
            let value = match left.as_int() {
                Ok(own) => or_with_a_point(whole(own, right), || broken(own as f64, right as f64)),
                Err(_) => with_a_point(left, right as f64, sign, broken),
            };
            *left = value?;
            Ok(())
        });
        shelf.silent(sign, move |left: &mut Dynamic, right: f64| -> Result<(), Raised> {
            *left = with_a_point(left, right, sign, broken)?;
            Ok(())
        });
    }
    // Where the reading of a script couldn't tell: numbers have no bits here.
    shelf.silent("|", |_: i64, _: i64| no_bits());
    shelf.silent("|", |_: bool, _: bool| no_bits());
}

fn with_a_point(left: &Dynamic, right: f64, sign: &str, broken: fn(f64, f64) -> Result<f64, Raised>) -> WithPoint {
    let own = number(left).ok_or_else(|| {
        let left = Sort::words_for_type(left.type_name());
        let sign = sign.trim_end_matches('=');
        Trouble::new(
            "wrong-kind",
            format!("`{sign}` doesn't work between {left} and a number"),
        )
        .raise()
    })?;
    broken(own, right).map(Dynamic::from)
}

fn no_bits() -> WithPoint {
    let help = crate::foreign::bits("|").map(str::to_owned);
    Err(Trouble::new("script-syntax", "there is no `|` here")
        .maybe_help(help)
        .raise())
}
