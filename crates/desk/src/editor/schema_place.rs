//! The part of a file's schema that a place in the file falls under.

use serde_json::Value;

use super::yaml_place::ITEM;

/// What may stand at the end of a path, each alternative by itself.
pub(super) fn under<'a>(schema: &'a Value, path: &[String]) -> Vec<&'a Value> {
    let mut here = alternatives(schema);
    for step in path {
        here = here
            .iter()
            .filter_map(|schema| next(schema, step))
            .flat_map(alternatives)
            .collect();
    }
    here
}

/// A schema and all that it leaves the choice between.
fn alternatives(schema: &Value) -> Vec<&Value> {
    let mut found = vec![schema];
    for choice in ["anyOf", "oneOf"] {
        let choices = schema[choice].as_array().into_iter().flatten();
        found.extend(choices.flat_map(alternatives));
    }
    found
}

fn next<'a>(schema: &'a Value, step: &str) -> Option<&'a Value> {
    if step == ITEM {
        return schema.get("items");
    }
    let named = schema.get("properties").and_then(|keys| keys.get(step));
    named.or_else(|| schema.get("additionalProperties").filter(|one| one.is_object()))
}

/// The keys that may stand in a table, each with its own schema.
pub(super) fn keys<'a>(tables: &[&'a Value]) -> Vec<(&'a str, Option<&'a Value>)> {
    let mut found = Vec::new();
    for table in tables {
        let named = table["properties"].as_object().into_iter().flatten();
        found.extend(named.map(|(key, schema)| (key.as_str(), Some(schema))));
        let listed = table["propertyNames"]["enum"].as_array().into_iter().flatten();
        found.extend(listed.filter_map(Value::as_str).map(|key| (key, None)));
    }
    found
}

/// The words that may stand as a value.
pub(super) fn words(values: &[&Value]) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for value in values {
        let listed = value["enum"].as_array().into_iter().flatten();
        let words = listed.chain(value.get("const")).filter_map(Value::as_str);
        for word in words {
            if found.iter().all(|known| known != word) {
                found.push(word.to_owned());
            }
        }
    }
    found
}

/// What a key says, and an example.
pub(super) fn about(schema: &Value) -> (&str, &str) {
    let example = schema["examples"][0].as_str();
    // A key without words of its own says nothing.
    (schema["description"].as_str().unwrap_or(""), example.unwrap_or(""))
}
