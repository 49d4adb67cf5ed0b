//! The keys of a list's entries, as the types that are written say: for a table without rows.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::Value;

/// Nested deeper than this no entry is looked for.
const DEEPEST: usize = 8;

/// The keys of the entries of a list of an answer, in order; none where it has no such list, or
/// where its entries may have keys that no type tells.
pub fn list_keys<T: JsonSchema>(list: &str) -> Vec<String> {
    let mut all = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let answer = all.subschema_for::<T>().to_value();
    let known = Value::Object(all.take_definitions(true));
    let mut lists = Vec::new();
    properties(&answer, &known, DEEPEST, &mut |name, property| {
        if name == list {
            lists.push(property.clone());
        }
    });
    let mut keys: Vec<String> = Vec::new();
    for list in lists {
        if let Some(entry) = resolved(&list, &known).get("items") {
            if resolved(entry, &known).get("additionalProperties") == Some(&Value::Bool(true)) {
                return Vec::new();
            }
            properties(entry, &known, DEEPEST, &mut |name, _| {
                if !keys.iter().any(|key| key == name) {
                    keys.push(name.to_owned());
                }
            });
        }
    }
    keys
}

/// Each property of a schema and of those that it is made of.
fn properties(schema: &Value, known: &Value, deep: usize, tell: &mut impl FnMut(&str, &Value)) {
    let own = schema.get("properties").and_then(Value::as_object);
    for (name, property) in own.into_iter().flatten() {
        tell(name, property);
    }
    // A flattened part stands beside the own keys.
    let named = resolved(schema, known);
    if deep > 0 && !std::ptr::eq(named, schema) {
        properties(named, known, deep - 1, tell);
    }
    let parts = ["anyOf", "oneOf", "allOf"]
        .into_iter()
        .filter_map(|key| schema.get(key));
    for part in parts.filter_map(Value::as_array).flatten().filter(|_| deep > 0) {
        properties(part, known, deep - 1, tell);
    }
}

/// The schema that a reference names.
fn resolved<'a>(schema: &'a Value, known: &'a Value) -> &'a Value {
    let name = schema
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|name| name.rsplit('/').next());
    name.and_then(|name| known.get(name)).unwrap_or(schema)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_list_still_has_its_keys() {
        let keys = list_keys::<crate::due::Answer>("due");
        assert!(
            keys.iter().any(|key| key == "glaze") && keys.iter().any(|key| key == "what"),
            "{keys:?}"
        );
        let none = Vec::<String>::new();
        assert_eq!(list_keys::<crate::due::Answer>("no such"), none);
        assert_eq!(list_keys::<crate::batches::Answer>("batches"), none, "not all are told");
    }
}
