//! Comparisons: like with like; anything else is an error, never `false`.

use std::cmp::Ordering;

use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::number;

type Answer = Result<bool, Box<EvalAltResult>>;

fn unlike(left: &Dynamic, right: &Dynamic) -> Box<EvalAltResult> {
    let (left_words, right_words) = (
        Sort::words_for_type(left.type_name()),
        Sort::words_for_type(right.type_name()),
    );
    let message = if left_words == right_words {
        format!("{left_words} can't be compared")
    } else {
        format!("{left_words} can't be compared with {right_words}")
    };
    let text_and_number =
        [left_words, right_words].contains(&"a text") && [left_words, right_words].contains(&"a number");
    let help = if left.is_unit() || right.is_unit() {
        "a value that isn't known is `()`; ask first: `if x != () { ... }`"
    } else if text_and_number {
        "a text becomes a number with `to_number(text)`; a cone with `cone_number(text)`"
    } else {
        "compare numbers with numbers, texts with texts"
    };
    Trouble::new("unlike-kinds", message).help(help).raise()
}

/// Whether two values are the same; unlike kinds are an error, except `()`.
pub(crate) fn same(left: &Dynamic, right: &Dynamic) -> Answer {
    bounds::charge_or_end(1)?;
    if let (Some(left), Some(right)) = (number(left), number(right)) {
        return Ok(left == right);
    }
    if left.is_unit() || right.is_unit() {
        return Ok(left.is_unit() && right.is_unit());
    }
    if let (Some(left), Some(right)) = (text(left), text(right)) {
        return Ok(left == right);
    }
    if let (Ok(left), Ok(right)) = (left.as_bool(), right.as_bool()) {
        return Ok(left == right);
    }
    if let (Some(left), Some(right)) = (left.read_lock::<Array>(), right.read_lock::<Array>()) {
        return same_lists(&left, &right);
    }
    if let (Some(left), Some(right)) = (left.read_lock::<Map>(), right.read_lock::<Map>()) {
        return same_tables(&left, &right);
    }
    Err(unlike(left, right))
}

fn text(value: &Dynamic) -> Option<ImmutableString> {
    value
        .clone()
        .try_cast::<ImmutableString>()
        .or_else(|| value.as_char().ok().map(|sign| sign.to_string().into()))
}

fn same_lists(left: &Array, right: &Array) -> Answer {
    if left.len() != right.len() {
        return Ok(false);
    }
    for (left, right) in left.iter().zip(right) {
        if !same(left, right)? {
            return Ok(false);
        }
    }
    Ok(true)
}

fn same_tables(left: &Map, right: &Map) -> Answer {
    if left.len() != right.len() {
        return Ok(false);
    }
    for ((name, left), (other, right)) in left.iter().zip(right) {
        if name != other || !same(left, right)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Order of two numbers or two texts.
pub(crate) fn order(left: &Dynamic, right: &Dynamic) -> Result<Ordering, Box<EvalAltResult>> {
    if let (Some(left), Some(right)) = (number(left), number(right)) {
        return Ok(left.total_cmp(&right));
    }
    if let (Some(left), Some(right)) = (text(left), text(right)) {
        return Ok(left.cmp(&right));
    }
    Err(unlike(left, right))
}

macro_rules! comparison {
    ($shelf:ident, $symbol:literal, $about:literal, $operator:tt, $other:expr) => {
        $shelf.add(
            Entry::operator($symbol, Sort::YesNo, $about),
            |left: f64, right: f64| left $operator right,
        );
        $shelf.also(|left: i64, right: i64| left $operator right);
        $shelf.also(|left: i64, right: f64| (left as f64) $operator right);
        $shelf.also(|left: f64, right: i64| left $operator right as f64);
        $shelf.also(|left: ImmutableString, right: ImmutableString| left $operator right);
        $shelf.also($other);
    };
}

pub(super) fn register(shelf: &mut Shelf) {
    comparison!(shelf, "<", "Less; two numbers or two texts.", <, |left: Dynamic, right: Dynamic| {
        order(&left, &right).map(Ordering::is_lt)
    });
    comparison!(shelf, "<=", "Less or the same.", <=, |left: Dynamic, right: Dynamic| {
        order(&left, &right).map(Ordering::is_le)
    });
    comparison!(shelf, ">", "More; two numbers or two texts.", >, |left: Dynamic, right: Dynamic| {
        order(&left, &right).map(Ordering::is_gt)
    });
    comparison!(shelf, ">=", "More or the same.", >=, |left: Dynamic, right: Dynamic| {
        order(&left, &right).map(Ordering::is_ge)
    });
    comparison!(
        shelf, "==",
        "The same; unlike kinds are an error, but anything may be compared with `()`.",
        ==, |left: Dynamic, right: Dynamic| same(&left, &right)
    );
    comparison!(
        shelf, "!=", "Not the same; see `==`.",
        !=, |left: Dynamic, right: Dynamic| same(&left, &right).map(|same| !same)
    );
    shelf.add(Entry::operator("!", Sort::YesNo, "Not."), |value: bool| !value);
}
