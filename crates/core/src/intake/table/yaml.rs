//! Values as a studio's files hold them: text, lists, maps; written as YAML that
//! reads back as the same text.

use std::fmt::{self, Write};

use glost_chemistry::diagnostic::Source;
use glost_chemistry::read::{Node, Value, parse};

/// A value without its place. Numbers, yes and no are text here, as in [`Node`].
#[derive(Debug, Clone, PartialEq)]
pub enum Yaml {
    /// One value.
    Text(String),
    /// Several.
    List(Vec<Yaml>),
    /// By name, in order.
    Map(Vec<(String, Yaml)>),
}

impl Yaml {
    /// One value.
    pub fn text(text: impl Into<String>) -> Yaml {
        Yaml::Text(text.into())
    }

    /// What a file holds there; none where nothing stands.
    pub fn of(node: &Node) -> Option<Yaml> {
        match &node.value {
            Value::Text(text) => Some(Yaml::Text(text.clone())),
            Value::Nothing => None,
            Value::List(items) => Some(Yaml::List(items.iter().filter_map(Yaml::of).collect())),
            Value::Map(entries) => Some(Yaml::Map(
                entries
                    .iter()
                    .filter_map(|(key, value)| Some((key.text.clone(), Yaml::of(value)?)))
                    .collect(),
            )),
        }
    }

    /// The same with maps in order of their names, for comparing: order says nothing.
    #[must_use]
    pub fn in_order(&self) -> Yaml {
        match self {
            Yaml::Text(text) => Yaml::Text(text.clone()),
            Yaml::List(items) => Yaml::List(items.iter().map(Yaml::in_order).collect()),
            Yaml::Map(entries) => {
                let mut entries: Vec<(String, Yaml)> = entries
                    .iter()
                    .map(|(key, value)| (key.clone(), value.in_order()))
                    .collect();
                entries.sort_by(|one, other| one.0.cmp(&other.0));
                Yaml::Map(entries)
            }
        }
    }

    /// The value that a cell of a table means: lists and maps stand in it as
    /// `[a, b]` and `{ a: 1 }`, everything else is text.
    pub fn of_cell(cell: &str) -> Yaml {
        if cell.starts_with(['[', '{', '"'])
            && let Ok(node) = parse(&Source::from_text("cell", cell))
            && let Some(value) = Yaml::of(&node)
        {
            return value;
        }
        Yaml::Text(cell.to_owned())
    }

    /// The value as a cell; [`Yaml::of_cell`] gives it back.
    pub fn cell(&self) -> String {
        match self {
            Yaml::Text(text) if text.starts_with(['[', '{', '"']) || text.trim() != text => double_quoted(text),
            Yaml::Text(text) => text.clone(),
            other => other.to_string(),
        }
    }
}

impl fmt::Display for Yaml {
    /// On one line: `[a, b]`, `{ a: 1 }`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Yaml::Text(text) => f.write_str(&scalar(text)),
            Yaml::List(items) => {
                f.write_str("[")?;
                for (index, item) in items.iter().enumerate() {
                    let before = if index > 0 { ", " } else { "" };
                    write!(f, "{before}{item}")?;
                }
                f.write_str("]")
            }
            Yaml::Map(entries) if entries.is_empty() => f.write_str("{}"),
            Yaml::Map(entries) => {
                for (index, (key, value)) in entries.iter().enumerate() {
                    let before = if index > 0 { ", " } else { "{ " };
                    write!(f, "{before}{}: {value}", scalar(key))?;
                }
                f.write_str(" }")
            }
        }
    }
}

/// A map as lines of YAML, `indent` blanks in: short maps on one line, long ones a line a name.
pub fn lines(entries: &[(String, Yaml)], indent: usize) -> String {
    let mut text = String::new();
    write_lines(&mut text, entries, indent);
    text
}

fn write_lines(text: &mut String, entries: &[(String, Yaml)], indent: usize) {
    /// Longer lines are hard to read, and to change.
    const MOST_SIGNS: usize = 100;
    for (key, value) in entries {
        let (start, key) = (text.len(), scalar(key));
        let _ = writeln!(text, "{:indent$}{key}: {value}", "");
        if let Yaml::Map(inner) = value
            && text[start..].chars().count() > MOST_SIGNS
        {
            text.truncate(start);
            let _ = writeln!(text, "{:indent$}{key}:", "");
            write_lines(text, inner, indent + 2);
        }
    }
}

/// A text as one value: bare where that reads the same, else in double quotes.
fn scalar(text: &str) -> String {
    if is_plain(text) {
        text.to_owned()
    } else {
        double_quoted(text)
    }
}

/// Whether YAML, and its older readers too, take the bare text for just this text.
fn is_plain(text: &str) -> bool {
    const OTHER_MEANING: [&str; 9] = ["null", "~", "y", "n", "yes", "no", "on", "off", "nan"];
    let first = text.chars().next();
    let starts_well = first.is_some_and(|sign| sign.is_alphanumeric());
    let inside = |sign: char| sign.is_alphanumeric() || " _-./%()+<>=°²³".contains(sign);
    let leading_zero = text.len() > 1 && text.starts_with('0') && text.chars().all(|sign| sign.is_ascii_digit());
    starts_well
        && text.chars().all(inside)
        && text.trim() == text
        && !leading_zero
        && !OTHER_MEANING.contains(&text.to_lowercase().as_str())
}

fn double_quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in text.chars() {
        match sign {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\r' => quoted.push_str("\\r"),
            '\t' => quoted.push_str("\\t"),
            other if other.is_control() || matches!(other, '\u{85}' | '\u{2028}' | '\u{2029}' | '\u{FEFF}') => {
                let _ = write!(quoted, "\\u{:04x}", u32::from(other));
            }
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_reads_back_as_itself() {
        for text in [
            "04",
            "0",
            "null",
            "~",
            "yes",
            "a: b",
            "a #b",
            "#a",
            "- a",
            "[a",
            "{a",
            "\"q\"",
            "it's",
            "a, b",
            "1e5",
            "Lamplight clear",
            "é",
            " blank ",
            "",
            "a\nb",
            "a\\b",
            "6.2e-6/K at 20-400 C",
            "true",
            "*x",
            "&x",
            "!x",
            "%x",
            "@x",
            "`x",
            "?",
            ":",
            "a:",
            "\u{FEFF}x",
            "|",
            ">",
            "=1",
        ] {
            let value = Yaml::Map(vec![
                (text.to_owned(), Yaml::text(text)),
                ("list".to_owned(), Yaml::List(vec![Yaml::text(text), Yaml::text("b")])),
            ]);
            let Yaml::Map(entries) = &value else { return };
            let written = lines(entries, 0);
            let node = parse(&Source::from_text("t", &written)).unwrap_or_else(|why| panic!("{written}{why:?}"));
            assert_eq!(Yaml::of(&node).as_ref(), Some(&value), "{written}");
            assert_eq!(Yaml::of_cell(&Yaml::text(text).cell()), Yaml::text(text));
            assert_eq!(Yaml::of_cell(&value.cell()), value);
        }
    }
}
