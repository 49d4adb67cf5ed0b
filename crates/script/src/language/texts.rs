//! Texts: short ones, for messages.

use std::fmt::Write;
use std::sync::OnceLock;

use glost_chemistry::quantity::{push_fixed, push_shortest};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds::{self, Bound};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::number;

type Text = Result<ImmutableString, Box<EvalAltResult>>;

/// A number as a text: whole numbers without a point, others to ten digits.
pub(crate) fn number_text(value: f64) -> String {
    let mut text = String::new();
    push_number(&mut text, value);
    text
}

/// Adds a number as [`number_text`] shows it.
pub(crate) fn push_number(text: &mut String, value: f64) {
    // A whole number never shows the sign of a zero.
    let value = if value == 0.0 { 0.0 } else { value };
    let before = text.len();
    push_shortest(text, value);
    // Few digits are ten at most as they are.
    if text.len() - before <= 11 || value == value.trunc() && value.abs() < 1e15 {
        return;
    }
    if let Ok(short) = format!("{value:.9e}").parse::<f64>() {
        text.truncate(before);
        push_shortest(text, short);
    }
}

/// A number for a sentence: three decimals at most.
pub(crate) fn short_number(value: f64) -> String {
    number_text((value * 1e3).round() / 1e3)
}

/// How the host's own values read in a text: the language is told and knows none of them.
static OWN_VALUES: OnceLock<WriteValue> = OnceLock::new();

type WriteValue = fn(&Dynamic, &mut String);

/// Says how the host's own values read; the first call counts.
pub(crate) fn own_values_read_as(write: WriteValue) {
    // Every engine says the same.
    let _ = OWN_VALUES.set(write);
}

/// Any value as a text, cut off where a text may not go on.
pub(crate) fn in_text(value: &Dynamic) -> String {
    let mut text = String::new();
    write_value(value, &mut text, false);
    if text.len() > bounds::TEXT_MOST_BYTES {
        let end = (0..=bounds::TEXT_MOST_BYTES)
            .rev()
            .find(|end| text.is_char_boundary(*end))
            .unwrap_or(0);
        text.truncate(end);
    }
    text
}

fn write_value(value: &Dynamic, text: &mut String, inside: bool) {
    if text.len() > bounds::TEXT_MOST_BYTES {
        return;
    }
    if let Some(number) = number(value) {
        text.push_str(&number_text(number));
    } else if let Some(list) = value.read_lock::<Array>() {
        text.push('[');
        for (index, item) in list.iter().enumerate() {
            text.push_str(if index > 0 { ", " } else { "" });
            write_value(item, text, true);
        }
        text.push(']');
    } else if let Some(table) = value.read_lock::<Map>() {
        text.push_str("#{ ");
        for (index, (name, item)) in table.iter().enumerate() {
            let _ = write!(text, "{}{name}: ", if index > 0 { ", " } else { "" });
            write_value(item, text, true);
        }
        text.push_str(" }");
    } else if let Some(own) = value.read_lock::<ImmutableString>() {
        let quote = if inside { "\"" } else { "" };
        let _ = write!(text, "{quote}{}{quote}", own.as_str());
    } else if value.is_unit() {
        text.push_str("()");
    } else if let Ok(truth) = value.as_bool() {
        let _ = write!(text, "{truth}");
    } else if let Ok(sign) = value.as_char() {
        text.push(sign);
    } else {
        match OWN_VALUES.get() {
            Some(write) => write(value, text),
            None => text.push_str(Sort::words_for_type(value.type_name())),
        }
    }
}

fn fits(text: String) -> Text {
    if text.len() > bounds::TEXT_MOST_BYTES {
        return Err(bounds::break_now(Bound::Text));
    }
    bounds::charge_or_end(text.len() as u64 / 64)?;
    Ok(text.into())
}

/// A number with so many decimals.
fn fixed(value: f64, decimals: i64) -> Text {
    let mut text = String::new();
    let told = usize::try_from(decimals).ok();
    told.and_then(|decimals| push_fixed_number(&mut text, value, decimals))
        .ok_or_else(|| trouble("wrong-value", "`fixed` takes 0 to 12 decimals"))?;
    Ok(text.into())
}

/// Adds a number with so many decimals, zero without a sign; `None` where they are too many.
pub(crate) fn push_fixed_number(text: &mut String, value: f64, decimals: usize) -> Option<()> {
    if decimals > 12 {
        return None;
    }
    let before = text.len();
    push_fixed(text, value, decimals);
    let shown = &text[before..];
    if shown.starts_with('-') && shown.bytes().all(|sign| matches!(sign, b'-' | b'0' | b'.')) {
        text.remove(before);
    }
    Some(())
}

fn to_number(text: &str) -> Result<f64, Box<EvalAltResult>> {
    match glost_chemistry::quantity::parse_number(text) {
        Ok(read) => Ok(read.value),
        Err(why) => Err(Trouble::new("wrong-value", why.message).maybe_help(why.help).raise()),
    }
}

fn replaced(text: &str, old: &str, new: &str) -> Text {
    if old.is_empty() {
        return Err(trouble("wrong-value", "`replace` needs something to look for"));
    }
    let count = text.matches(old).count();
    if text.len().saturating_add(count.saturating_mul(new.len())) > 2 * bounds::TEXT_MOST_BYTES {
        return Err(bounds::break_now(Bound::Text));
    }
    fits(text.replace(old, new))
}

fn split(text: &str, by: &str) -> Result<Array, Box<EvalAltResult>> {
    if by.is_empty() {
        return Err(trouble("wrong-value", "`split` needs something to split at"));
    }
    bounds::charge_or_end(text.len() as u64)?;
    Ok(text
        .split(by)
        .map(|part| Dynamic::from(ImmutableString::from(part)))
        .collect())
}

/// So many letters from a place on; places count from 0, negative ones from the end.
fn part_of(text: &str, start: i64, letters: i64) -> Text {
    let length = text.chars().count() as i64;
    let start = if start < 0 {
        (length.saturating_add(start)).max(0)
    } else {
        start.min(length)
    };
    let part: String = text
        .chars()
        .skip(start as usize)
        .take(letters.max(0) as usize)
        .collect();
    fits(part)
}

pub(super) fn register(shelf: &mut Shelf) {
    making(shelf);
    asking(shelf);
    shelf.silent("to_string", |value: Dynamic| ImmutableString::from(in_text(&value)));
    shelf.silent("to_debug", |value: Dynamic| ImmutableString::from(in_text(&value)));
    joining(shelf);
}

fn making(shelf: &mut Shelf) {
    shelf.add(
        Entry::function(
            "fixed",
            "x, decimals",
            Sort::Text,
            "A number as text with so many decimals.",
        )
        .example("fixed(2.3456, 2) == \"2.35\""),
        fixed,
    );
    shelf.also(|x: i64, decimals: i64| fixed(x as f64, decimals));
    shelf.add(
        Entry::function("text", "value", Sort::Text, "Any value as a text.").example("text(2.50) == \"2.5\""),
        |value: Dynamic| ImmutableString::from(in_text(&value)),
    );
    shelf.add(
        Entry::function(
            "to_number",
            "text",
            Sort::Number,
            "The number that a text holds; an error where it holds none.",
        )
        .example("to_number(\"0,8\") == 0.8"),
        to_number,
    );
    shelf.also(|x: f64| x);
    shelf.also(|x: i64| x);
    shelf.add(
        Entry::method(Sort::Text, "to_upper", "", Sort::Text, "In capitals."),
        |text: &str| text.to_uppercase(),
    );
    shelf.add(
        Entry::method(Sort::Text, "to_lower", "", Sort::Text, "In small letters."),
        |text: &str| text.to_lowercase(),
    );
    shelf.add(
        Entry::method(Sort::Text, "trim", "", Sort::Text, "Without blanks at either end."),
        |text: &str| ImmutableString::from(text.trim()),
    );
    shelf.add(
        Entry::method(
            Sort::Text,
            "replace",
            "old, new",
            Sort::Text,
            "With every `old` turned into `new`.",
        ),
        replaced,
    );
    shelf.add(
        Entry::method(
            Sort::Text,
            "split",
            "by",
            Sort::List(&Sort::Text),
            "The parts between every `by`.",
        )
        .example("\"a, b\".split(\", \") == [\"a\", \"b\"]"),
        split,
    );
    shelf.add(
        Entry::method(
            Sort::Text,
            "part",
            "start, letters",
            Sort::Text,
            "So many letters from a place on, counted from 0.",
        ),
        part_of,
    );
}

fn asking(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(Sort::Text, "len", "", Sort::Number, "How many letters it has."),
        |text: &str| text.chars().count() as i64,
    );
    shelf.add(
        Entry::property(Sort::Text, "len", Sort::Number, "How many letters it has."),
        |text: &mut ImmutableString| text.chars().count() as i64,
    );
    shelf.add(
        Entry::method(Sort::Text, "is_empty", "", Sort::YesNo, "Whether it has no letters."),
        |text: &str| text.is_empty(),
    );
    shelf.add(
        Entry::method(
            Sort::Text,
            "contains",
            "part",
            Sort::YesNo,
            "Whether the part is somewhere in it.",
        ),
        |text: &str, part: &str| text.contains(part),
    );
    shelf.also(|text: &str, sign: char| text.contains(sign));
    shelf.add(
        Entry::method(Sort::Text, "starts_with", "part", Sort::YesNo, "Whether it begins so."),
        |text: &str, part: &str| text.starts_with(part),
    );
    shelf.add(
        Entry::method(Sort::Text, "ends_with", "part", Sort::YesNo, "Whether it ends so."),
        |text: &str, part: &str| text.ends_with(part),
    );
}

/// `+` between a text and anything that can be said in one word.
fn joining(shelf: &mut Shelf) {
    let joined = |left: &str, right: &str| fits(format!("{left}{right}"));
    shelf.add(
        Entry::operator("+", Sort::Number, "Adds numbers; joins texts and lists."),
        move |left: ImmutableString, right: ImmutableString| joined(&left, &right),
    );
    shelf.silent(
        "+=",
        move |left: &mut ImmutableString, right: ImmutableString| -> Result<(), Box<EvalAltResult>> {
            *left = joined(left, &right)?;
            Ok(())
        },
    );
    let append = move |left: &mut ImmutableString, right: &str| -> Result<(), Box<EvalAltResult>> {
        *left = joined(left, right)?;
        Ok(())
    };
    shelf.silent("+=", move |left: &mut ImmutableString, right: f64| {
        append(left, &number_text(right))
    });
    shelf.silent("+=", move |left: &mut ImmutableString, right: i64| {
        append(left, &right.to_string())
    });
    shelf.also(move |left: ImmutableString, right: f64| joined(&left, &number_text(right)));
    shelf.also(move |left: ImmutableString, right: i64| joined(&left, &right.to_string()));
    shelf.also(move |left: ImmutableString, right: bool| joined(&left, &right.to_string()));
    shelf.also(move |left: ImmutableString, right: char| joined(&left, &right.to_string()));
    shelf.also(move |left: f64, right: ImmutableString| joined(&number_text(left), &right));
    shelf.also(move |left: i64, right: ImmutableString| joined(&left.to_string(), &right));
    shelf.also(move |left: char, right: ImmutableString| joined(&left.to_string(), &right));
}
