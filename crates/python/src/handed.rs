//! Recipes that a question brings along as objects, in a glaze file's keys.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use serde_json::{Map, Value};

/// A question in which names such as `-1` stand for its recipes, and the recipes.
///
/// A question with `parts` is itself a recipe: the glaze that is asked about.
///
/// # Errors
/// A recipe that isn't text.
pub(crate) fn taken_out(mut question: Map<String, Value>) -> Result<(Map<String, Value>, Vec<Source>), Diagnostic> {
    if question.contains_key("parts") {
        let recipe = Value::Object(std::mem::take(&mut question));
        question.insert("glaze".to_owned(), recipe);
    }
    let mut recipes = Vec::new();
    for value in question.values_mut() {
        let values = match value {
            Value::Array(values) => values.as_mut_slice(),
            one => std::slice::from_mut(one),
        };
        for value in values {
            if let Value::Object(recipe) = value {
                let number = recipes.len() + 1;
                recipes.push(source(recipe, number)?);
                *value = Value::String(format!("-{number}"));
            }
        }
    }
    Ok((question, recipes))
}

/// JSON is YAML: a glaze file's reader reads it, and points into it where something is wrong.
fn source(recipe: &mut Map<String, Value>, number: usize) -> Result<Source, Diagnostic> {
    let name = format!("recipe {number}");
    let mut whole = Map::new();
    whole.insert("glaze".to_owned(), Value::String(name.clone()));
    whole.append(recipe);
    Source::from_bytes(&name, Value::Object(whole).to_string().as_bytes())
}
