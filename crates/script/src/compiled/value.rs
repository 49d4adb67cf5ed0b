//! Values of the compiled walk: most are borrowed from the glaze, the scene or the program.

use std::sync::Arc;

use glost_chemistry::glaze::Portion;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;
use glost_core::evidence::ware::Clay;
use rhai::{Array, Dynamic, ImmutableString};

use crate::values::Amounts;

/// The keys that a table may have here: those of a finding.
pub(super) const KEYS: [&str; 5] = ["subject", "message", "value", "low", "high"];

/// One value. What a script can do to it is what the engine lets it do to its like.
#[derive(Debug, Clone, Default)]
pub(super) enum Value<'a> {
    #[default]
    Nothing,
    Truth(bool),
    Whole(i64),
    Number(f64),
    Text(Text<'a>),
    /// The glaze that is checked; there is no other.
    Glaze,
    Options,
    Oxides(Amounts<'a>),
    Lines(Lines),
    Line(&'a Portion, bool),
    Material(&'a Material),
    Clay(&'a Clay),
    List(List<'a>),
    Table(Box<Table<'a>>),
}

/// A text; `Kept` ones are shared with findings as they are.
#[derive(Debug, Clone)]
pub(super) enum Text<'a> {
    Kept(&'a Arc<str>),
    Seen(&'a str),
    Made(String),
}

impl Text<'_> {
    pub(super) fn as_str(&self) -> &str {
        match self {
            Text::Kept(text) => text,
            Text::Seen(text) => text,
            Text::Made(text) => text,
        }
    }

    pub(super) fn shared(&self) -> Arc<str> {
        match self {
            Text::Kept(text) => Arc::clone(text),
            other => other.as_str().into(),
        }
    }
}

/// Which lines of the recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lines {
    Base,
    Additions,
    Batch,
}

/// A list; none is built item by item.
#[derive(Debug, Clone)]
pub(super) enum List<'a> {
    Kept(&'a [Constant]),
    Oxides(Vec<Oxide>),
    Texts(Vec<&'a str>),
    Tables(Vec<Table<'a>>),
}

impl List<'_> {
    pub(super) fn len(&self) -> usize {
        match self {
            List::Kept(items) => items.len(),
            List::Oxides(items) => items.len(),
            List::Texts(items) => items.len(),
            List::Tables(items) => items.len(),
        }
    }
}

/// A table by the places of [`KEYS`]; what isn't there is `None`.
#[derive(Debug, Clone, Default)]
pub(super) struct Table<'a>(pub(super) [Option<Value<'a>>; KEYS.len()]);

/// A value that stands in the script, or an option's under its settings.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Constant {
    Nothing,
    Truth(bool),
    Whole(i64),
    Number(f64),
    Text(Arc<str>),
    List(Box<[Constant]>),
}

impl Constant {
    /// `None` for what has no place here: tables, single letters.
    pub(super) fn of(value: &Dynamic) -> Option<Constant> {
        if let Some(list) = value.read_lock::<Array>() {
            return list.iter().map(Constant::of).collect::<Option<_>>().map(Constant::List);
        }
        if let Some(text) = value.read_lock::<ImmutableString>() {
            return Some(Constant::Text(text.as_str().into()));
        }
        let truth = || value.as_bool().ok().map(Constant::Truth);
        let whole = || value.as_int().ok().map(Constant::Whole);
        let number = || value.as_float().ok().map(Constant::Number);
        let nothing = || value.is_unit().then_some(Constant::Nothing);
        truth().or_else(whole).or_else(number).or_else(nothing)
    }

    pub(super) fn value(&self) -> Value<'_> {
        match self {
            Constant::Nothing => Value::Nothing,
            Constant::Truth(truth) => Value::Truth(*truth),
            Constant::Whole(number) => Value::Whole(*number),
            Constant::Number(number) => Value::Number(*number),
            Constant::Text(text) => Value::Text(Text::Kept(text)),
            Constant::List(items) => Value::List(List::Kept(items)),
        }
    }
}

impl<'a> Value<'a> {
    pub(super) fn seen(text: &'a str) -> Value<'a> {
        Value::Text(Text::Seen(text))
    }

    pub(super) fn seen_or_nothing(text: Option<&'a str>) -> Value<'a> {
        text.map_or(Value::Nothing, Value::seen)
    }

    pub(super) fn number_or_nothing(number: Option<f64>) -> Value<'a> {
        number.map_or(Value::Nothing, Value::Number)
    }

    /// A number, whole or not, as the engine hands it to a function that takes both.
    pub(super) fn number(&self) -> Option<f64> {
        match self {
            Value::Number(number) => Some(*number),
            Value::Whole(number) => Some(*number as f64),
            _ => None,
        }
    }

    pub(super) fn text(&self) -> Option<&str> {
        match self {
            Value::Text(text) => Some(text.as_str()),
            _ => None,
        }
    }
}
