//! Functions and methods that the compiled walk knows, and operators.
//!
//! A new one is a line in [`NATIVES`]: its name, how many it takes with the value it stands
//! behind, and what it gives; `None` wherever the engine would have an error to tell, or
//! does something else. The test of this room runs each on values of every sort, by the
//! engine and by this.

use glost_chemistry::oxides::{OXIDE_COUNT, Oxide};
use glost_chemistry::quantity::push_fixed;

use crate::language::{cone_number, push_fixed_number, push_number};

use super::operators::same;
use super::properties::Seen;
use super::value::{List, Text, Value};

/// What is called with what it is called on first.
pub(super) type Native = for<'a> fn(Seen<'a>, &[Value<'a>]) -> Option<Value<'a>>;

/// A text that grows over this is left to the engine, whose bound is far above.
const TEXT_MOST_BYTES: usize = 4 << 10;
/// So is a call on more items.
const ITEMS_MOST: usize = 200;
/// No fewer steps than the engine counts for what a call does.
pub(super) const CALL_STEPS: u64 = 2 * ITEMS_MOST as u64;

/// Everything that may be called, by name and number of values.
pub(super) const NATIVES: [(&str, usize, Native); 25] = [
    ("sqrt", 1, |_, of| finite(f64::sqrt(of[0].number()?))),
    ("exp", 1, |_, of| finite(f64::exp(of[0].number()?))),
    ("ln", 1, |_, of| finite(f64::ln(of[0].number()?))),
    ("log10", 1, |_, of| finite(f64::log10(of[0].number()?))),
    ("abs", 1, |_, of| match of[0] {
        Value::Number(number) => Some(Value::Number(number.abs())),
        Value::Whole(number) => number.checked_abs().map(Value::Whole),
        _ => None,
    }),
    ("floor", 1, |_, of| whole(&of[0], f64::floor)),
    ("ceil", 1, |_, of| whole(&of[0], f64::ceil)),
    ("round", 1, |_, of| whole(&of[0], f64::round)),
    ("round", 2, |_, of| match (&of[0], &of[1]) {
        (Value::Whole(number), Value::Whole(_)) => Some(Value::Whole(*number)),
        (Value::Number(number), Value::Whole(decimals)) => {
            let mut text = String::new();
            push_fixed(&mut text, *number, (*decimals).clamp(0, 12) as usize);
            text.parse().ok().map(Value::Number)
        }
        _ => None,
    }),
    ("min", 2, |_, of| lesser(&of[0], &of[1], f64::min, i64::min)),
    ("max", 2, |_, of| lesser(&of[0], &of[1], f64::max, i64::max)),
    ("fixed", 2, |_, of| {
        let mut text = String::new();
        let Value::Whole(decimals) = of[1] else {
            return None;
        };
        push_fixed_number(&mut text, of[0].number()?, usize::try_from(decimals).ok()?)?;
        made(text)
    }),
    ("text", 1, |seen, of| {
        let mut text = String::new();
        push_shown(&mut text, &of[0], seen)?;
        made(text)
    }),
    ("cone_number", 1, |_, of| match &of[0] {
        Value::Nothing => Some(Value::Nothing),
        cone => Some(cone_number(cone.text()?).map_or(Value::Nothing, Value::Whole)),
    }),
    ("contains", 2, |_, of| contains(&of[0], &of[1])),
    ("starts_with", 2, |_, of| {
        Some(Value::Truth(of[0].text()?.starts_with(of[1].text()?)))
    }),
    ("ends_with", 2, |_, of| {
        Some(Value::Truth(of[0].text()?.ends_with(of[1].text()?)))
    }),
    ("is_empty", 1, |_, of| match &of[0] {
        Value::List(list) => Some(Value::Truth(list.len() == 0)),
        text => Some(Value::Truth(text.text()?.is_empty())),
    }),
    ("len", 1, |_, of| match &of[0] {
        Value::List(list) => Some(Value::Whole(list.len() as i64)),
        text => Some(Value::Whole(text.text()?.chars().count() as i64)),
    }),
    ("to_upper", 1, |_, of| made(of[0].text()?.to_uppercase())),
    ("to_lower", 1, |_, of| made(of[0].text()?.to_lowercase())),
    ("trim", 1, |_, of| made(of[0].text()?.trim().to_owned())),
    ("replace", 3, |_, of| {
        let (old, new) = (of[1].text()?, of[2].text()?);
        (!old.is_empty()).then(|| made(of[0].text()?.replace(old, new)))?
    }),
    ("above", 3, |_, of| above(&of[0], &of[1], &of[2])),
    ("holds", 2, |seen, of| {
        let (Value::Glaze, name) = (&of[0], of[1].text()?) else {
            return None;
        };
        let material = seen.scene.library.find(name)?;
        Some(Value::Truth(seen.glaze.glaze().holds(material)))
    }),
];

fn finite<'a>(number: f64) -> Option<Value<'a>> {
    number.is_finite().then_some(Value::Number(number))
}

/// Whole numbers stay as they are; others have to be within what a whole number is exact in.
fn whole<'a>(number: &Value<'a>, how: fn(f64) -> f64) -> Option<Value<'a>> {
    match number {
        Value::Whole(number) => Some(Value::Whole(*number)),
        Value::Number(number) => {
            let near = how(*number);
            (near.abs() < 9e15).then_some(Value::Whole(near as i64))
        }
        _ => None,
    }
}

fn lesser<'a>(
    left: &Value<'a>,
    right: &Value<'a>,
    of_numbers: fn(f64, f64) -> f64,
    of_whole: fn(i64, i64) -> i64,
) -> Option<Value<'a>> {
    match (left, right) {
        (Value::Whole(left), Value::Whole(right)) => Some(Value::Whole(of_whole(*left, *right))),
        (left, right) => finite(of_numbers(left.number()?, right.number()?)),
    }
}

/// A text that was made, if it is one for here.
pub(super) fn made<'a>(text: String) -> Option<Value<'a>> {
    is_short(&text).then_some(Value::Text(Text::Made(text)))
}

pub(super) fn is_short(text: &str) -> bool {
    text.len() <= TEXT_MOST_BYTES
}

fn contains<'a>(owner: &Value<'a>, item: &Value<'a>) -> Option<Value<'a>> {
    let found = match owner {
        Value::Text(text) => text.as_str().contains(item.text()?),
        Value::Material(material) => material.fired.as_ref()?.oxides.get(Oxide::from_formula(item.text()?)?) > 0.0,
        Value::List(List::Kept(items)) if items.len() <= ITEMS_MOST => {
            for other in *items {
                if same(&other.value(), item)? {
                    return Some(Value::Truth(true));
                }
            }
            false
        }
        Value::List(List::Oxides(oxides)) => {
            let name = item.text()?;
            oxides.iter().any(|oxide| oxide.formula() == name)
        }
        Value::List(List::Texts(texts)) if texts.len() <= ITEMS_MOST => texts.contains(&item.text()?),
        _ => return None,
    };
    Some(Value::Truth(found))
}

/// Those of some oxides of which there is more than an amount, in the usual order.
fn above<'a>(owner: &Value<'a>, names: &Value<'a>, amount: &Value<'a>) -> Option<Value<'a>> {
    let (Value::Oxides(amounts), Value::List(List::Kept(names)), amount) = (owner, names, amount.number()?) else {
        return None;
    };
    if names.len() > ITEMS_MOST {
        return None;
    }
    let mut found = [false; OXIDE_COUNT];
    for name in *names {
        let oxide = Oxide::from_formula(name.value().text()?)?;
        found[oxide.index()] = amounts.get(oxide) > amount;
    }
    let found = Oxide::ALL.into_iter().filter(|oxide| found[oxide.index()]);
    Some(Value::List(List::Oxides(found.collect())))
}

/// Adds a value as a text shows it.
pub(super) fn push_shown(text: &mut String, value: &Value<'_>, seen: Seen<'_>) -> Option<()> {
    match value {
        Value::Text(own) => text.push_str(own.as_str()),
        Value::Number(number) => push_number(text, *number),
        Value::Whole(number) => push_whole_number(text, *number)?,
        Value::Nothing => text.push_str("()"),
        Value::Truth(true) => text.push_str("true"),
        Value::Truth(false) => text.push_str("false"),
        Value::Glaze => text.push_str(seen.glaze.name()),
        Value::Material(material) => text.push_str(&material.name),
        _ => return None,
    }
    Some(())
}

/// Adds a value as `+` joins it to a text.
pub(super) fn push_joined(text: &mut String, value: &Value<'_>) -> Option<()> {
    match value {
        Value::Text(own) => text.push_str(own.as_str()),
        Value::Number(number) => push_number(text, *number),
        Value::Whole(number) => push_whole_number(text, *number)?,
        Value::Truth(true) => text.push_str("true"),
        Value::Truth(false) => text.push_str("false"),
        _ => return None,
    }
    Some(())
}

/// Beyond what a double is exact in, a text and a sum show a whole number in two ways.
fn push_whole_number(text: &mut String, number: i64) -> Option<()> {
    (number.unsigned_abs() < 1_000_000_000_000_000).then(|| push_number(text, number as f64))
}
