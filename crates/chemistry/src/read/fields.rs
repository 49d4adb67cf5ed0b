//! Reading a map field by field: unknown and repeated names are errors with a
//! place, values keep theirs.

use std::collections::HashMap;

use super::node::{Key, Node, Value};
use crate::diagnostic::{Diagnostic, Mark, Source, of_typed, suggestion, under};
use crate::quantity::{Number, parse_number};

/// A text with its place.
#[derive(Debug, Clone)]
pub struct Text {
    /// The text.
    pub text: String,
    /// Where it starts.
    pub mark: Mark,
}

/// A map being read: which names it may hold, which values it has.
#[derive(Debug)]
pub struct Fields<'a> {
    source: &'a Source,
    mark: Mark,
    entries: &'a [(Key, Node)],
}

/// What a number in a file may be.
#[derive(Debug, Clone, Copy)]
pub struct NumberRange {
    /// The least allowed value.
    pub least: f64,
    /// The most allowed value.
    pub most: f64,
}

impl NumberRange {
    /// An amount: 0 to a billion.
    pub const AMOUNT: NumberRange = NumberRange { least: 0.0, most: 1e9 };
    /// A percentage: 0 to 100.
    pub const PERCENT: NumberRange = NumberRange {
        least: 0.0,
        most: 100.0,
    };
}

impl<'a> Fields<'a> {
    /// Starts reading a map.
    ///
    /// # Errors
    /// Not a map; a name not in `known`; a name given twice.
    pub fn new(source: &'a Source, node: &'a Node, what: &str, known: &[&str]) -> Result<Fields<'a>, Diagnostic> {
        let Value::Map(entries) = &node.value else {
            let message = format!("{what} should be a map of `name: value`, this is {}", kind_of(node));
            return Err(Diagnostic::error("wrong-type", message)
                .at(source, node.mark, node.width())
                .help(format!("it may have: {}", known.join(", "))));
        };
        no_repeats(source, entries, KEEP_ONE)?;
        for (key, _) in entries {
            if !known.contains(&key.text.as_str()) {
                let message = format!("{what} has no `{}`", key.text);
                let mut error = Diagnostic::error("unknown-key", message)
                    .at(source, key.mark, key.text.chars().count())
                    .maybe_help(suggestion(&key.text, known.iter().copied()));
                if error.help.is_none() {
                    error = error.help(format!("it may have: {}", known.join(", ")));
                }
                return Err(error);
            }
        }
        Ok(Fields {
            source,
            mark: node.mark,
            entries,
        })
    }

    /// The value of a name, where it is given (and not empty).
    pub fn get(&self, name: &str) -> Option<&'a Node> {
        self.entries
            .iter()
            .find(|(key, _)| key.text == name)
            .map(|(_, node)| node)
    }

    /// The place of a name, where it is given.
    pub fn key_mark(&self, name: &str) -> Option<Mark> {
        self.entries
            .iter()
            .find(|(key, _)| key.text == name)
            .map(|(key, _)| key.mark)
    }

    /// A required name's value.
    ///
    /// # Errors
    /// It isn't there.
    pub fn required(&self, name: &str, what: &str, help: &str) -> Result<&'a Node, Diagnostic> {
        self.get(name).ok_or_else(|| {
            Diagnostic::error("missing-key", format!("{what} has no `{name}`"))
                .at(self.source, self.mark, 1)
                .help(help)
        })
    }

    /// A text, where given.
    ///
    /// # Errors
    /// A list, a map or nothing stands there.
    pub fn text(&self, name: &str) -> Result<Option<Text>, Diagnostic> {
        self.get(name).map(|node| text_of(self.source, node, name)).transpose()
    }

    /// A list of texts; a single text counts as a list of one.
    ///
    /// # Errors
    /// Anything but texts.
    pub fn texts(&self, name: &str) -> Result<Vec<Text>, Diagnostic> {
        match self.get(name) {
            None => Ok(Vec::new()),
            Some(Node {
                value: Value::List(items),
                ..
            }) => items.iter().map(|item| text_of(self.source, item, name)).collect(),
            Some(node) => Ok(vec![text_of(self.source, node, name)?]),
        }
    }

    /// A yes or no (`true`, `false`), `false` where absent.
    ///
    /// # Errors
    /// Anything else.
    pub fn yes(&self, name: &str) -> Result<bool, Diagnostic> {
        let Some(text) = self.text(name)? else {
            return Ok(false);
        };
        match text.text.as_str() {
            "true" | "yes" => Ok(true),
            "false" | "no" => Ok(false),
            other => Err(
                Diagnostic::error("wrong-type", format!("`{name}` is true or false, not `{other}`"))
                    .at(self.source, text.mark, other.chars().count())
                    .help(format!("write `{name}: true` or take the line out")),
            ),
        }
    }

    /// A number in a range, where given.
    ///
    /// # Errors
    /// Not a number, or outside the range.
    pub fn number(&self, name: &str, range: NumberRange) -> Result<Option<Number>, Diagnostic> {
        self.get(name)
            .map(|node| number_of(self.source, node, name, range))
            .transpose()
    }
}

/// A map of names to numbers, in file order, repeats refused.
///
/// # Errors
/// Not a map; a name given twice; an empty map is returned as it is.
pub fn entries<'a>(source: &Source, node: &'a Node, key: &str) -> Result<&'a [(Key, Node)], Diagnostic> {
    each_once(source, node, key, KEEP_ONE)
}

/// As [`entries`], of materials with their amounts.
///
/// # Errors
/// As there.
pub fn amounts<'a>(source: &Source, node: &'a Node, key: &str) -> Result<&'a [(Key, Node)], Diagnostic> {
    let help = "keep one of them; to weigh a material twice, add the amounts up";
    each_once(source, node, key, help)
}

const KEEP_ONE: &str = "keep one of them";

fn each_once<'a>(source: &Source, node: &'a Node, key: &str, help: &str) -> Result<&'a [(Key, Node)], Diagnostic> {
    let Value::Map(entries) = &node.value else {
        let message = format!("`{key}` should be a map of names to values, this is {}", kind_of(node));
        return Err(Diagnostic::error("wrong-type", message)
            .at(source, node.mark, node.width())
            .help("write a name and a value for each: { silica: 26, whiting: 18 }"));
    };
    no_repeats(source, entries, help)?;
    Ok(entries)
}

fn no_repeats(source: &Source, entries: &[(Key, Node)], help: &str) -> Result<(), Diagnostic> {
    // Most maps are short: looking back is quicker there than any table.
    const SHORT: usize = 24;
    let mut seen = HashMap::new();
    for (index, (key, node)) in entries.iter().enumerate() {
        let width = key.text.chars().count();
        if matches!(node.value, Value::Nothing) && index > 0 && key.text.chars().all(|sign| sign.is_ascii_digit()) {
            let before = &entries[index - 1];
            if let Value::Text(whole) = &before.1.value {
                let message = format!(
                    "`{whole},{}` is read as two entries here: a decimal comma can't stand inside {{ }}",
                    key.text
                );
                return Err(Diagnostic::error("decimal-comma", message)
                    .at(source, key.mark, width)
                    .help(format!("write {}: {whole}.{}", before.0.text, key.text)));
            }
        }
        let first = if entries.len() <= SHORT {
            let before = entries[..index].iter().find(|(before, _)| before.text == key.text);
            before.map(|(before, _)| before.mark)
        } else {
            seen.insert(key.text.as_str(), key.mark)
        };
        if let Some(first) = first {
            let message = format!("`{}` is given twice (first on line {})", key.text, first.line);
            return Err(Diagnostic::error("duplicate-key", message)
                .at(source, key.mark, width)
                .help(help));
        }
    }
    Ok(())
}

/// A node as text.
///
/// # Errors
/// A list, a map or nothing.
pub fn text_of(source: &Source, node: &Node, name: &str) -> Result<Text, Diagnostic> {
    match &node.value {
        Value::Text(text) if !text.trim().is_empty() => {
            let blank = text.chars().take_while(|sign| sign.is_whitespace()).count();
            let column = node.mark.column + if text.contains('\n') { 0 } else { blank };
            Ok(Text {
                text: text.trim().to_owned(),
                mark: Mark { column, ..node.mark },
            })
        }
        _ => Err(Diagnostic::error(
            "wrong-type",
            format!("`{name}` should be text, this is {}", kind_of(node)),
        )
        .at(source, node.mark, node.width())
        .help(format!("write one value after the colon: `{name}: ...`"))),
    }
}

/// A node as a number in a range.
///
/// # Errors
/// Not a number, or outside the range.
pub fn number_of(source: &Source, node: &Node, name: &str, range: NumberRange) -> Result<Number, Diagnostic> {
    let text = match &node.value {
        Value::Text(text) => text.as_str(),
        _ => {
            let message = format!("`{name}` should be a number, this is {}", kind_of(node));
            return Err(Diagnostic::error("wrong-type", message)
                .at(source, node.mark, node.width())
                .help(format!("write one number after the colon: `{name}: 12.5`")));
        }
    };
    let number = parse_number(text).map_err(|trouble| {
        Diagnostic::error("not-a-number", under(name, trouble.message))
            .at(source, node.mark, node.width())
            .maybe_help(trouble.help)
    })?;
    let (message, help) = if number.value < range.least && range.least == 0.0 {
        (
            of_typed(name, "can't be negative"),
            "write a number from 0 up, or take the line out".to_owned(),
        )
    } else if number.value < range.least {
        (
            format!("`{name}` can't be below {}", range.least),
            format!("write a number from {} to {}", range.least, range.most),
        )
    } else if number.value > range.most {
        (
            format!("`{name}` can't be above {}", range.most),
            "write a smaller number; is the decimal point in its place?".to_owned(),
        )
    } else {
        return Ok(number);
    };
    Err(Diagnostic::error("out-of-range", message)
        .at(source, node.mark, node.width())
        .help(help))
}

/// What stands there, in words.
pub fn kind_of(node: &Node) -> &'static str {
    match &node.value {
        Value::Text(text) if text.trim().is_empty() => "empty",
        Value::Text(_) => "a single value",
        Value::Nothing => "empty",
        Value::List(_) => "a list",
        Value::Map(_) => "a map",
    }
}

#[cfg(test)]
mod tests;
