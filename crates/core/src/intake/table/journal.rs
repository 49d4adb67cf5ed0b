//! Journals, a JSON object a line, as tables and back.
//!
//! What stays text whatever it looks like (`cone: "6"`) stands bare in its cell. Any
//! other cell is read as JSON where it is some, else as text.

use glost_chemistry::read::unguarded;
use serde::de::IgnoredAny;
use serde_json::{Map, Value};

use super::cells::Table;
use super::written::TableText;

/// Keys whose values are texts, even where they look like numbers.
const TEXTS: [&str; 28] = [
    "id",
    "on",
    "glaze",
    "version",
    "clay",
    "firing",
    "cone",
    "batch",
    "tile",
    "text",
    "looked",
    "kept",
    "cause",
    "test",
    "lab",
    "photo",
    "name",
    "mark",
    "lot",
    "hash",
    "by",
    "kiln",
    "from",
    "at",
    "use",
    "atmosphere",
    "material",
    "plan",
];
/// Before JSON in a cell of [`TEXTS`].
const JSON: &str = "json:";
/// The heading of lines that can't be read as JSON.
const AS_IT_IS: &str = "line as it is";

/// A journal as a table.
pub fn journal_table(text: &str) -> TableText {
    let mut table = TableText::default();
    let lines = text.lines().filter(|line| !line.trim().is_empty());
    for line in lines {
        table.add(&match serde_json::from_str::<Value>(line) {
            Ok(Value::Object(keys)) if !keys.contains_key(AS_IT_IS) => keys
                .into_iter()
                .filter(|(_, value)| !value.is_null())
                .map(|(key, value)| {
                    let cell = cell(&key, value);
                    (key, cell)
                })
                .collect(),
            _ => vec![(AS_IT_IS.to_owned(), line.to_owned())],
        });
    }
    table
}

/// The lines of a journal from its table, each ended.
pub fn journal_text(table: &Table) -> String {
    let mut text = String::new();
    for row in &table.rows {
        let mut keys = Map::new();
        let mut as_it_is = None;
        for (column, heading) in table.columns() {
            // Blanks around a text belong to it.
            let held = unguarded(row.as_it_is(column));
            if held.is_empty() {
                continue;
            }
            if heading == AS_IT_IS {
                as_it_is = Some(held);
            } else {
                keys.insert(heading.to_owned(), value(heading, held));
            }
        }
        match as_it_is {
            Some(line) => text.push_str(line),
            None => text.push_str(&Value::Object(keys).to_string()),
        }
        text.push('\n');
    }
    text
}

/// Whether these are the headings of a journal.
pub fn is_journal(table: &Table) -> bool {
    let has = |wanted: &str| table.headings.iter().any(|heading| heading == wanted);
    has("on") || has("id") && (has("version") || has("glaze") || has("batch")) || has(AS_IT_IS)
}

fn cell(key: &str, value: Value) -> String {
    let is_json = |text: &str| serde_json::from_str::<IgnoredAny>(text).is_ok();
    match value {
        Value::String(text) if TEXTS.contains(&key) && !text.is_empty() && !text.starts_with(JSON) => text,
        other if TEXTS.contains(&key) => format!("{JSON}{other}"),
        Value::String(text) if !text.is_empty() && !is_json(&text) => text,
        other => other.to_string(),
    }
}

fn value(key: &str, cell: &str) -> Value {
    let text = || Value::from(cell);
    if TEXTS.contains(&key) {
        let json = cell.strip_prefix(JSON).map(serde_json::from_str);
        return json.and_then(Result::ok).unwrap_or_else(text);
    }
    serde_json::from_str(cell).unwrap_or_else(|_| text())
}

#[cfg(test)]
mod tests {
    use glost_chemistry::diagnostic::Source;

    use super::*;

    #[test]
    fn every_line_comes_back_with_every_key() {
        let lines = [
            r#"{"on":"2026-11-24","glaze":"A","cone":"6","grades":{"gloss":4},"pieces":5,"text":"=1+2, \"so\"\nnew line"}"#,
            r#"{"id":"jpq5lo67","on":"2026-11-25","tile":"A3","age_days":0.5,"own":"true","other":"","text":"json:x"}"#,
            r#"{"on":"2026-11-26","void":3,"text":" blank ","batch":7,"lots":{"silica":"K7"},"more":[1,"2",null,true]}"#,
            "not JSON, kept as it is",
        ];
        let text = journal_table(&lines.join("\n")).whole();
        let back = journal_text(&Table::read(&Source::from_text("notes.csv", &text)).unwrap());
        let parsed = |text: &str| serde_json::from_str::<Value>(text).ok();
        let back: Vec<&str> = back.lines().collect();
        assert_eq!(back.len(), lines.len());
        for (one, other) in lines.iter().zip(back) {
            assert_eq!(parsed(one), parsed(other), "{text}");
        }
    }
}
