//! What a check says of a glaze: `caution`, `fail`, `not_checked`, `nothing`.

use std::sync::Arc;

use glost_chemistry::diagnostic::{of_typed, suggestion};
use glost_core::rules::Level;
use rhai::{EvalAltResult, ImmutableString, Map, NativeCallContext};

use crate::language::number;
use crate::scene::{self, Saying};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::GlazeValue;

type Raised = Box<EvalAltResult>;

const KEYS: [&str; 5] = ["subject", "message", "value", "low", "high"];

fn line(context: &NativeCallContext) -> Option<usize> {
    context.call_position().line()
}

/// A finding that says nothing can't be acted on.
fn says_something(subject: &str, message: &str) -> Result<(), Raised> {
    for (key, text) in [("subject", subject), ("message", message)] {
        if text.trim().is_empty() {
            let help = "the subject is what it is about, such as \"R2O\"; the message says what is wrong";
            return Err(Trouble::new("empty-finding", of_typed(key, "of a finding is empty"))
                .help(help)
                .raise());
        }
    }
    Ok(())
}

fn short(level: Level, subject: &str, message: &str, value: Option<f64>, line: Option<usize>) -> Result<(), Raised> {
    says_something(subject, message)?;
    scene::say(Saying {
        level,
        subject: subject.into(),
        message: message.into(),
        value,
        low: None,
        high: None,
        line,
    })
}

fn full(level: Level, table: &Map, line: Option<usize>) -> Result<(), Raised> {
    if let Some(odd) = table.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("a finding has no `{odd}`"))
            .maybe_help(suggestion(odd, KEYS))
            .raise());
    }
    let text = |key: &str| -> Result<Arc<str>, Raised> {
        let value = table
            .get(key)
            .ok_or_else(|| trouble("missing-key", format!("a finding needs a `{key}`")))?;
        value
            .read_lock::<ImmutableString>()
            .map(|text| Arc::from(text.as_str()))
            .ok_or_else(|| trouble("wrong-kind", of_typed(key, "should be a text")))
    };
    let amount = |key: &str| -> Result<Option<f64>, Raised> {
        match table.get(key) {
            None => Ok(None),
            Some(value) if value.is_unit() => Ok(None),
            Some(value) => number(value)
                .map(Some)
                .ok_or_else(|| trouble("wrong-kind", of_typed(key, "should be a number"))),
        }
    };
    let (subject, message) = (text("subject")?, text("message")?);
    says_something(&subject, &message)?;
    scene::say(Saying {
        level,
        subject,
        message,
        value: amount("value")?,
        low: amount("low")?,
        high: amount("high")?,
        line,
    })
}

pub(super) fn register(shelf: &mut Shelf) {
    let mut saying = |name: &'static str, level: Level, about: &'static str, examples: [&'static str; 2]| {
        shelf.add(
            Entry::method(Sort::Glaze, name, "subject, message", Sort::Nothing, about).example(examples[0]),
            move |context: NativeCallContext, _: &mut GlazeValue, subject: &str, message: &str| {
                short(level, subject, message, None, line(&context))
            },
        );
        shelf.add(
            Entry::method(
                Sort::Glaze,
                name,
                "subject, message, value",
                Sort::Nothing,
                "The same with the value that was found.",
            )
            .example(examples[1]),
            move |context: NativeCallContext, _: &mut GlazeValue, subject: &str, message: &str, value: f64| {
                short(level, subject, message, Some(value), line(&context))
            },
        );
        shelf.add(
            Entry::method(
                Sort::Glaze,
                name,
                "finding",
                Sort::Nothing,
                "The same from a table with subject, message and, where there are any, value, low and high.",
            ),
            move |context: NativeCallContext, _: &mut GlazeValue, table: Map| full(level, &table, line(&context)),
        );
    };
    saying(
        "caution",
        Level::Caution,
        "Something to know about the glaze.",
        [
            "glaze.caution(\"R2O\", \"much alkali\")",
            "glaze.caution(\"R2O\", \"much alkali\", 0.41)",
        ],
    );
    saying(
        "fail",
        Level::Fail,
        "The answer is no: not for this use, not this way.",
        [
            "glaze.fail(\"PbO\", \"lead, not for food\")",
            "glaze.fail(\"PbO\", \"lead, not for food\", 0.3)",
        ],
    );
    saying(
        "not_checked",
        Level::NotChecked,
        "This could not be looked at; never a pass.",
        [
            "glaze.not_checked(\"bought clear\", \"its analysis isn't told\")",
            "glaze.not_checked(\"bought clear\", \"its analysis isn't told\", 40.5)",
        ],
    );
    saying(
        "nothing",
        Level::NothingFound,
        "Looked at, and there is nothing to say; with a value where one is worth showing.",
        [
            "glaze.nothing(\"SiO2:Al2O3\", \"glossy by its ratio\")",
            "glaze.nothing(\"SiO2:Al2O3\", \"glossy by its ratio\", 8.4)",
        ],
    );
}
