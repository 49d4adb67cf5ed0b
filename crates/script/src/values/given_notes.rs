//! Clays and notes that a test gives inline, read by the same readers as files.

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::Glaze;
use glost_core::evidence::notes::{Notes, Versions};
use glost_core::evidence::ware::{Clay, read_clay};
use rhai::{Array, Dynamic, EvalAltResult, Map};
use serde_json::Value;

use crate::language::{in_text, number};
use crate::notebook::StudioNotebook;
use crate::trouble::{Trouble, trouble};

type Raised = Box<EvalAltResult>;

fn raised(why: Diagnostic) -> Raised {
    Trouble::new(why.code, why.message).maybe_help(why.help).raise()
}

/// A table of a test as a line of a file.
fn line(item: &Dynamic, what: &str, day: Option<&str>) -> Result<String, Raised> {
    let table = item.read_lock::<Map>().ok_or_else(|| {
        trouble(
            "wrong-kind",
            format!("{what} in a test is a table: `#{{ name: value }}`"),
        )
    })?;
    let mut fields = serde_json::Map::new();
    if let Some(day) = day.filter(|_| !table.contains_key("on")) {
        fields.insert("on".to_owned(), Value::from(day));
    }
    for (key, value) in table.iter().filter(|(_, value)| !value.is_unit()) {
        fields.insert(key.to_string(), json(value));
    }
    Ok(Value::Object(fields).to_string())
}

fn json(value: &Dynamic) -> Value {
    if let Some(number) = number(value) {
        return if number.fract() == 0.0 && number.abs() < 1e15 {
            Value::from(number as i64)
        } else {
            Value::from(number)
        };
    }
    if let Some(table) = value.read_lock::<Map>() {
        return Value::Object(
            table
                .iter()
                .map(|(key, value)| (key.to_string(), json(value)))
                .collect(),
        );
    }
    Value::from(in_text(value))
}

/// Clays: `[#{ clay: "buff", absorption: 2 }]`, keys as in a clay's file.
pub(super) fn clays(list: &Array) -> Result<Vec<Arc<Clay>>, Raised> {
    list.iter()
        .map(|item| {
            let text = line(item, "a clay", None)?;
            read_clay(&Source::from_text("a clay of this test", &text))
                .map(Arc::new)
                .map_err(raised)
        })
        .collect()
}

/// The day of notes that say none.
const SOME_DAY: &str = "2026-01-01";

/// Notes: `[#{ glaze: "clear", clay: "buff", age_days: 400, pieces: 20, crazed: 0 }]`, keys as
/// in the notebook.
pub(super) fn notebook(list: &Array, glazes: &[Arc<Glaze>]) -> Result<StudioNotebook, Raised> {
    let lines: Result<Vec<String>, Raised> = list.iter().map(|item| line(item, "a note", Some(SOME_DAY))).collect();
    let (notes, complaints) = Notes::read(&Source::from_text("the notes of this test", &lines?.join("\n")));
    // A doubt too: in a test nobody would read of a key that means nothing.
    if let Some(wrong) = complaints.into_iter().next() {
        return Err(raised(wrong));
    }
    Ok(StudioNotebook {
        notes,
        versions: Versions::default(),
        glazes: glazes.to_vec(),
        ..StudioNotebook::default()
    })
}
