//! What stands between two values: numbers mix, `5 / 2` is 2.5, like is compared with like.

use super::calls::{is_short, push_joined};
use super::program::Operator;
use super::value::{Text, Value};

/// `None` where the engine has an error to tell, or compares beyond what is exact.
pub(super) fn operate<'a>(operator: Operator, left: Value<'a>, right: &Value<'a>) -> Option<Value<'a>> {
    Some(match operator {
        Operator::Same => Value::Truth(same(&left, right)?),
        Operator::Other => Value::Truth(!same(&left, right)?),
        Operator::Less => Value::Truth(ordered(&left, right, |a, b| a < b, |a, b| a < b)?),
        Operator::LessOrSame => Value::Truth(ordered(&left, right, |a, b| a <= b, |a, b| a <= b)?),
        Operator::More => Value::Truth(ordered(&left, right, |a, b| a > b, |a, b| a > b)?),
        Operator::MoreOrSame => Value::Truth(ordered(&left, right, |a, b| a >= b, |a, b| a >= b)?),
        Operator::Plus => return plus(left, right),
        Operator::Minus => return worked_out(&left, right, |a, b| a - b, i64::checked_sub),
        Operator::Times => return worked_out(&left, right, |a, b| a * b, i64::checked_mul),
        Operator::Over => {
            let (left, right) = (left.number()?, right.number()?);
            return (right != 0.0).then(|| finite(left / right))?;
        }
        Operator::Rest => match (&left, right) {
            (Value::Whole(left), Value::Whole(right)) => Value::Whole(left.checked_rem(*right)?),
            (left, right) => return finite(left.number()? % right.number()?),
        },
    })
}

fn finite<'a>(number: f64) -> Option<Value<'a>> {
    number.is_finite().then_some(Value::Number(number))
}

fn worked_out<'a>(
    left: &Value<'a>,
    right: &Value<'a>,
    of_numbers: fn(f64, f64) -> f64,
    of_whole: fn(i64, i64) -> Option<i64>,
) -> Option<Value<'a>> {
    match (left, right) {
        (Value::Whole(left), Value::Whole(right)) => match of_whole(*left, *right) {
            Some(whole) => Some(Value::Whole(whole)),
            None => finite(of_numbers(*left as f64, *right as f64)),
        },
        (left, right) => finite(of_numbers(left.number()?, right.number()?)),
    }
}

/// Adds numbers, or joins a text with what it is joined to.
fn plus<'a>(left: Value<'a>, right: &Value<'a>) -> Option<Value<'a>> {
    let joins = matches!(left, Value::Text(_))
        || matches!((&left, right), (Value::Number(_) | Value::Whole(_), Value::Text(_)));
    if !joins {
        return worked_out(&left, right, |a, b| a + b, i64::checked_add);
    }
    let mut text = match left {
        Value::Text(Text::Made(text)) => text,
        other => {
            let mut text = String::new();
            push_joined(&mut text, &other)?;
            text
        }
    };
    push_joined(&mut text, right)?;
    is_short(&text).then_some(Value::Text(Text::Made(text)))
}

/// Whether two values are the same; unlike kinds are an error, except with nothing.
pub(super) fn same(left: &Value<'_>, right: &Value<'_>) -> Option<bool> {
    Some(match (left, right) {
        (Value::Whole(left), Value::Whole(right)) => left == right,
        (Value::Nothing, Value::Nothing) => true,
        (Value::Nothing, _) | (_, Value::Nothing) => false,
        (Value::Truth(left), Value::Truth(right)) => left == right,
        (Value::Text(left), Value::Text(right)) => left.as_str() == right.as_str(),
        (left, right) => left.number()? == right.number()?,
    })
}

fn ordered(
    left: &Value<'_>,
    right: &Value<'_>,
    numbers: fn(f64, f64) -> bool,
    texts: fn(&str, &str) -> bool,
) -> Option<bool> {
    match (left, right) {
        (Value::Text(left), Value::Text(right)) => Some(texts(left.as_str(), right.as_str())),
        (Value::Whole(left), Value::Whole(right)) => {
            // As doubles the same two compare the same: both are exact, or it is left to the engine.
            let exact = |number: i64| number.unsigned_abs() <= 1 << 53;
            (exact(*left) && exact(*right)).then(|| numbers(*left as f64, *right as f64))
        }
        (left, right) => Some(numbers(left.number()?, right.number()?)),
    }
}
