//! Values as a studio's files hold them: text, lists, maps; written as YAML that
//! reads back as the same text.

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
            other => other.flow(),
        }
    }

    /// On one line.
    pub fn flow(&self) -> String {
        match self {
            Yaml::Text(text) => scalar(text),
            Yaml::List(items) => format!("[{}]", items.iter().map(Yaml::flow).collect::<Vec<_>>().join(", ")),
            Yaml::Map(entries) if entries.is_empty() => "{}".to_owned(),
            Yaml::Map(entries) => {
                let inner: Vec<String> = entries
                    .iter()
                    .map(|(key, value)| format!("{}: {}", scalar(key), value.flow()))
                    .collect();
                format!("{{ {} }}", inner.join(", "))
            }
        }
    }
}

/// A map as lines of YAML: short maps on one line, long ones a line a name.
pub fn lines(entries: &[(String, Yaml)], indent: &str) -> String {
    /// Longer lines are hard to read, and to change.
    const MOST_SIGNS: usize = 100;
    let mut text = String::new();
    for (key, value) in entries {
        let flow = value.flow();
        let one_line = format!("{indent}{}: {flow}\n", scalar(key));
        match value {
            Yaml::Map(inner) if one_line.chars().count() > MOST_SIGNS => {
                text.push_str(&format!("{indent}{}:\n", scalar(key)));
                text.push_str(&lines(inner, &format!("{indent}  ")));
            }
            _ => text.push_str(&one_line),
        }
    }
    text
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
                quoted.push_str(&format!("\\u{:04x}", u32::from(other)));
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
            let written = lines(entries, "");
            let node = parse(&Source::from_text("t", &written)).unwrap_or_else(|why| panic!("{written}{why:?}"));
            assert_eq!(Yaml::of(&node).as_ref(), Some(&value), "{written}");
            assert_eq!(Yaml::of_cell(&Yaml::text(text).cell()), Yaml::text(text));
            assert_eq!(Yaml::of_cell(&value.cell()), value);
        }
    }
}
