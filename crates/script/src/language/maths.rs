//! Arithmetic: `5/2` is 2.5, whole and broken numbers mix, and a result that
//! isn't a number is an error where it arises.

use rhai::{Array, Dynamic, EvalAltResult};

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::number;
use super::whole::or_with_a_point;

type Number = Result<f64, Box<EvalAltResult>>;

fn sound(value: f64, what: &str) -> Number {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(trouble(
            "arithmetic",
            format!("{what} gives no number here, or one too large"),
        ))
    }
}

pub(super) fn divided(left: f64, right: f64) -> Number {
    if right == 0.0 {
        return Err(Trouble::new("arithmetic", "division by zero")
            .help("ask first: `if x > 0 { ... }`; 0 is an absent oxide, or no notes")
            .raise());
    }
    sound(left / right, "this division")
}

pub(super) fn product(left: f64, right: f64) -> Number {
    sound(left * right, "this product")
}

pub(super) fn total(left: f64, right: f64) -> Number {
    sound(left + right, "this sum")
}

pub(super) fn difference(left: f64, right: f64) -> Number {
    sound(left - right, "this difference")
}

pub(super) fn remainder(left: f64, right: f64) -> Number {
    if right == 0.0 {
        return Err(trouble("arithmetic", "division by zero"));
    }
    sound(left % right, "this remainder")
}

pub(super) fn power(left: f64, right: f64) -> Number {
    sound(left.powf(right), "this power")
}

/// The whole number as such.
fn whole(value: f64) -> Result<i64, Box<EvalAltResult>> {
    if value.is_finite() && value.abs() < 9e15 {
        Ok(value as i64)
    } else {
        Err(trouble("arithmetic", "this number is too large to be made whole"))
    }
}

/// `x` rounded to so many decimals.
fn rounded(value: f64, decimals: i64) -> Number {
    let decimals = decimals.clamp(0, 12) as usize;
    format!("{value:.decimals$}")
        .parse()
        .map_err(|_| trouble("arithmetic", "this number can't be rounded"))
}

macro_rules! mixed {
    ($shelf:ident, $symbol:literal, $about:literal, $function:expr) => {
        $shelf.add(
            Entry::operator($symbol, Sort::Number, $about),
            |left: f64, right: f64| $function(left, right),
        );
        $shelf.also(|left: i64, right: i64| $function(left as f64, right as f64));
        $shelf.also(|left: i64, right: f64| $function(left as f64, right));
        $shelf.also(|left: f64, right: i64| $function(left, right as f64));
    };
}

macro_rules! of_one {
    ($shelf:ident, $name:literal, $about:literal, $function:expr) => {
        $shelf.add(Entry::function($name, "x", Sort::Number, $about), |x: f64| -> Number {
            sound($function(x), concat!("`", $name, "`"))
        });
        $shelf.also(|x: i64| -> Number { sound($function(x as f64), concat!("`", $name, "`")) });
    };
}

macro_rules! to_whole {
    ($shelf:ident, $name:literal, $about:literal, $function:expr) => {
        $shelf.add(Entry::function($name, "x", Sort::Number, $about), |x: f64| {
            whole($function(x))
        });
        $shelf.also(|x: i64| x);
    };
}

macro_rules! of_two {
    ($shelf:ident, $name:literal, $parameters:literal, $about:literal, $function:expr) => {
        $shelf.add(
            Entry::function($name, $parameters, Sort::Number, $about),
            |x: f64, y: f64| -> Number { sound($function(x, y), concat!("`", $name, "`")) },
        );
        $shelf.also(|x: i64, y: f64| -> Number { sound($function(x as f64, y), concat!("`", $name, "`")) });
        $shelf.also(|x: f64, y: i64| -> Number { sound($function(x, y as f64), concat!("`", $name, "`")) });
    };
}

pub(super) fn register(shelf: &mut Shelf) {
    operators(shelf);
    functions(shelf);
    over_lists(shelf);
}

fn operators(shelf: &mut Shelf) {
    mixed!(shelf, "/", "Division; 5/2 is 2.5.", divided);
    shelf.add(Entry::operator("*", Sort::Number, "Times."), product);
    shelf.also(|left: i64, right: i64| or_with_a_point(left.checked_mul(right), || product(left as f64, right as f64)));
    shelf.also(|left: i64, right: f64| product(left as f64, right));
    shelf.also(|left: f64, right: i64| product(left, right as f64));
    shelf.silent("+", total);
    shelf.silent("+", |left: i64, right: i64| {
        or_with_a_point(left.checked_add(right), || total(left as f64, right as f64))
    });
    shelf.silent("+", |left: i64, right: f64| total(left as f64, right));
    shelf.silent("+", |left: f64, right: i64| total(left, right as f64));
    shelf.silent("-", difference);
    shelf.silent("-", |left: i64, right: i64| {
        or_with_a_point(left.checked_sub(right), || difference(left as f64, right as f64))
    });
    shelf.silent("-", |left: i64, right: f64| difference(left as f64, right));
    shelf.silent("-", |left: f64, right: i64| difference(left, right as f64));
    shelf.add(
        Entry::operator("%", Sort::Number, "What is left after a division."),
        remainder,
    );
    shelf.also(|left: i64, right: i64| -> Result<i64, Box<EvalAltResult>> {
        left.checked_rem(right)
            .ok_or_else(|| trouble("arithmetic", "division by zero"))
    });
    shelf.also(|left: i64, right: f64| remainder(left as f64, right));
    shelf.also(|left: f64, right: i64| remainder(left, right as f64));
    mixed!(shelf, "**", "To the power of.", power);
    shelf.add(
        Entry::operator("-", Sort::Number, "Less; or a number's negative."),
        |x: f64| -x,
    );
    shelf.also(|x: i64| or_with_a_point(x.checked_neg(), || Ok(-(x as f64))));
    shelf.silent("+", |x: f64| x);
    shelf.silent("+", |x: i64| x);
}

fn functions(shelf: &mut Shelf) {
    of_one!(shelf, "sqrt", "Square root.", f64::sqrt);
    of_one!(shelf, "exp", "e to the power of x.", f64::exp);
    of_one!(shelf, "ln", "Natural logarithm.", f64::ln);
    of_one!(shelf, "log10", "Logarithm to base 10.", f64::log10);
    of_one!(shelf, "sin", "Sine of an angle in radians.", f64::sin);
    of_one!(shelf, "cos", "Cosine of an angle in radians.", f64::cos);
    shelf.add(
        Entry::function("abs", "x", Sort::Number, "The number without its sign."),
        f64::abs,
    );
    shelf.also(|x: i64| or_with_a_point(x.checked_abs(), || Ok((x as f64).abs())));
    to_whole!(shelf, "floor", "The next whole number below.", f64::floor);
    to_whole!(shelf, "ceil", "The next whole number above.", f64::ceil);
    to_whole!(shelf, "round", "The nearest whole number.", f64::round);
    shelf.add(
        Entry::function("round", "x, decimals", Sort::Number, "Rounded to so many decimals.")
            .example("round(2.3456, 2) == 2.35"),
        rounded,
    );
    shelf.also(|x: i64, _decimals: i64| x);
    of_two!(shelf, "min", "a, b", "The smaller of two numbers.", f64::min);
    shelf.also(|x: i64, y: i64| x.min(y));
    of_two!(shelf, "max", "a, b", "The larger of two numbers.", f64::max);
    shelf.also(|x: i64, y: i64| x.max(y));
    shelf.add(
        Entry::function(
            "cone_number",
            "cone",
            Sort::Number,
            "A cone's place in the row: 04 is -4, 6 is 6; `()` for anything else.",
        )
        .example("cone_number(\"04\") == -4"),
        |cone: &str| cone_number(cone).map_or(Dynamic::UNIT, Dynamic::from),
    );
    shelf.also(|_: ()| Dynamic::UNIT);
}

/// A cone's place in the row of cones, large or small: 04 is -4.
pub(crate) fn cone_number(cone: &str) -> Option<i64> {
    let cone = cone.trim();
    let digits: &str = cone.strip_prefix('0').unwrap_or(cone);
    let number: i64 = (digits.len() <= 2 && digits.bytes().all(|sign| sign.is_ascii_digit()))
        .then(|| digits.parse().ok())
        .flatten()?;
    match (digits.len() < cone.len(), number) {
        (_, 0) => None,
        (true, 1..=22) => Some(-number),
        (false, 1..=42) => Some(number),
        _ => None,
    }
}

fn over_lists(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(
            Sort::List(&Sort::Any),
            "sum",
            "",
            Sort::Number,
            "The sum of a list of numbers.",
        )
        .example("[1, 2.5].sum() == 3.5"),
        |list: &mut Array| -> Number { sound(numbers(list)?.iter().sum(), "this sum") },
    );
    shelf.add(
        Entry::method(
            Sort::List(&Sort::Any),
            "least",
            "",
            Sort::Number,
            "The smallest of a list of numbers; `()` for an empty list.",
        )
        .example("[3, 1.5].least() == 1.5"),
        |list: &mut Array| extreme(list, f64::min),
    );
    shelf.add(
        Entry::method(
            Sort::List(&Sort::Any),
            "most",
            "",
            Sort::Number,
            "The largest of a list of numbers; `()` for an empty list.",
        )
        .example("[3, 1.5].most() == 3"),
        |list: &mut Array| extreme(list, f64::max),
    );
    shelf.add(
        Entry::function(
            "steps",
            "from, to, count",
            Sort::List(&Sort::Number),
            "So many numbers from one to the other, evenly spaced, both counted in.",
        )
        .example("steps(0, 1, 3) == [0, 0.5, 1]"),
        |from: Dynamic, to: Dynamic, count: Dynamic| -> Result<Array, Box<EvalAltResult>> {
            let count = super::ranges::whole_of(&count)?;
            let (Some(from), Some(to)) = (number(&from), number(&to)) else {
                return Err(trouble("wrong-kind", "`steps` goes from a number to a number"));
            };
            if !(2..=bounds::ITEMS_MOST as i64).contains(&count) {
                let message = format!("`steps` takes 2 to {} steps, not {count}", bounds::ITEMS_MOST);
                return Err(Trouble::new("wrong-value", message)
                    .help("both ends are counted in: `steps(0, 1, 3)` is [0, 0.5, 1]")
                    .raise());
            }
            bounds::charge_or_end(count as u64)?;
            let last = (count - 1) as f64;
            Ok((0..count)
                .map(|step| {
                    let share = step as f64 / last;
                    Dynamic::from(from * (1.0 - share) + to * share)
                })
                .collect())
        },
    );
}

fn numbers(list: &Array) -> Result<Vec<f64>, Box<EvalAltResult>> {
    bounds::charge_or_end(list.len() as u64)?;
    list.iter()
        .map(|item| {
            number(item).ok_or_else(|| {
                trouble(
                    "wrong-kind",
                    format!(
                        "a list of numbers is needed; this one holds {}",
                        Sort::words_for_type(item.type_name())
                    ),
                )
            })
        })
        .collect()
}

fn extreme(list: &Array, of: fn(f64, f64) -> f64) -> Result<Dynamic, Box<EvalAltResult>> {
    Ok(numbers(list)?
        .into_iter()
        .reduce(of)
        .map_or(Dynamic::UNIT, Dynamic::from))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cone_04_is_not_cone_4() {
        assert_eq!(cone_number("04"), Some(-4));
        assert_eq!(cone_number("4"), Some(4));
        assert_eq!(cone_number("10"), Some(10));
        assert_eq!(cone_number("010"), Some(-10));
        assert_eq!(cone_number("6a"), None);
        assert_eq!(cone_number(""), None);
    }
}
