//! A saved plan's file with a new name in it.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::read::folded;
use serde_json::{Map, Value};

use crate::renames::{Rename, Renamed, with_new_names};

use super::saved::SavedPlan;

/// The plan's text with the new name for ends, materials and clay; as it was where it
/// doesn't name it. `is_glaze_too`: a glaze has the material's old name, so that an end of
/// that name is the glaze.
///
/// # Errors
/// A text that is no plan.
pub fn renamed_plan(source: &Source, rename: &Rename, is_glaze_too: bool) -> Result<String, Diagnostic> {
    SavedPlan::read("plan", source)?;
    let unreadable = |why: serde_json::Error| Diagnostic::error("not-json", format!("this plan can't be read: {why}"));
    let old: Value = serde_json::from_str(&source.text).map_err(unreadable)?;
    let names = Names { rename, is_glaze_too };
    let new = names.value("", &old);
    if new == old {
        return Ok(source.text.to_string());
    }
    let text = serde_json::to_string_pretty(&new).map_err(unreadable)? + "\n";
    SavedPlan::read("plan", &Source::from_text(&source.name, &text))?;
    Ok(text)
}

struct Names<'a> {
    rename: &'a Rename,
    is_glaze_too: bool,
}

impl Names<'_> {
    fn called(&self, of: Renamed, name: &str) -> Option<String> {
        let meant =
            self.rename.of == of || (self.rename.of == Renamed::Material && of == Renamed::Glaze && !self.is_glaze_too);
        (meant && folded(name) == folded(&self.rename.from)).then(|| self.rename.to.clone())
    }

    fn value(&self, key: &str, value: &Value) -> Value {
        match value {
            Value::Object(map) => Value::Object(self.map(map)),
            Value::Array(items) => Value::Array(items.iter().map(|item| self.value(key, item)).collect()),
            Value::String(text) => Value::String(self.text(key, text)),
            other => other.clone(),
        }
    }

    fn map(&self, map: &Map<String, Value>) -> Map<String, Value> {
        let renamed = map.iter().map(|(key, value)| {
            let new = self
                .called(Renamed::Material, key)
                .filter(|_| value.is_number() || value.is_object());
            (new.unwrap_or_else(|| key.clone()), self.value(key, value))
        });
        renamed.collect()
    }

    fn text(&self, key: &str, text: &str) -> String {
        let new = match key {
            "clay" => self.called(Renamed::Clay, text),
            "call" => Some(text.replace(&self.rename.from, &self.rename.to)),
            _ => with_new_names(text, &|of, name| self.called(of, name)),
        };
        new.unwrap_or_else(|| text.to_owned())
    }
}
