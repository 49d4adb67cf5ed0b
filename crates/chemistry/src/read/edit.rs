//! One value changed where it stands: every other byte stays, comments, order,
//! spaces, quotes and line ends. The new text is read back, and must say the same
//! as before but for that value.

use std::ops::Range;

use crate::diagnostic::{Diagnostic, Mark, Source, of_typed};

use super::node::{Key, Node, Value, parse};

/// A step from a file's root to the map that a value stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// The map under a key.
    Key(String),
    /// An entry of the list under a key, by its place from 0.
    Item(String, usize),
}

/// A value to stand in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewValue<'a> {
    /// From the root to its map.
    pub path: &'a [Step],
    /// Its key.
    pub key: &'a str,
    /// Its text, as it shall read.
    pub text: &'a str,
    /// The keys of such a map in their usual order: a new one goes behind those before it.
    pub order: &'a [&'a str],
    /// Written as it is, never in quotes: `true`, `38`.
    pub bare: bool,
}

impl NewValue<'_> {
    /// As it stands in a file.
    fn scalar(&self, quotes: Quotes) -> String {
        if self.bare || (quotes == Quotes::OnOwnLine && is_plain(self.text)) {
            self.text.to_owned()
        } else {
            plain_or_quoted(self.text)
        }
    }
}

/// Where quotes are needed: between brackets a comma ends a value, on a line of its
/// own it doesn't.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Quotes {
    OnOwnLine,
    BetweenBrackets,
}

/// A file's text with a value in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edited {
    /// The whole text.
    pub text: String,
    /// What stood there; `None` where the key is new.
    pub before: Option<String>,
    /// The line that changed or is new, from 1.
    pub line: usize,
}

/// The file's text with this value in it.
///
/// # Errors
/// Text that isn't YAML; a value that can't be changed in place: a list or map stands
/// there, it is pointed at by an alias, runs over lines, or a key can't be put safely
/// between brackets.
pub fn edited(source: &Source, new: &NewValue<'_>) -> Result<Edited, Diagnostic> {
    let root = parse(source)?;
    let mut expected = root.clone();
    put(&mut expected, new);
    let mut refused = not_in_place(source, new, root.mark);
    // As few quotes as read back as the same.
    for quotes in [Quotes::OnOwnLine, Quotes::BetweenBrackets] {
        let change = change(source, new, &root, quotes)?;
        let mut text = source.text.to_string();
        text.replace_range(change.range.clone(), &change.text);
        let renewed = Source {
            name: source.name.clone(),
            text: text.as_str().into(),
        };
        if parse(&renewed).is_ok_and(|read| alike(&read, &expected)) {
            return Ok(Edited {
                text,
                before: change.before,
                line: change.mark.line,
            });
        }
        refused = not_in_place(source, new, change.mark);
    }
    Err(refused)
}

fn change(source: &Source, new: &NewValue<'_>, root: &Node, quotes: Quotes) -> Result<Change, Diagnostic> {
    let pair = format!("{}: {}", plain_or_quoted(new.key), new.scalar(quotes));
    let Some(map) = map_at(root, new.path) else {
        // The map itself isn't there yet.
        let outer = new
            .path
            .split_last()
            .and_then(|(last, outer)| Some((last, map_at(root, outer)?)));
        let Some((Step::Key(name), map)) = outer.filter(|_| new.path.len() == 1) else {
            return Err(not_in_place(source, new, root.mark));
        };
        let pair = format!("{name}: {{ {pair} }}");
        return addition(source, new, map, (name, &pair));
    };
    let Value::Map(entries) = &map.value else {
        return Err(not_in_place(source, new, map.mark));
    };
    match entries.iter().find(|(key, _)| key.text == new.key) {
        Some((key, value)) => replacement(source, new, (key, value), quotes),
        None => addition(source, new, map, (new.key, &pair)),
    }
}

/// Bytes to be put in the place of others.
struct Change {
    range: Range<usize>,
    text: String,
    before: Option<String>,
    mark: Mark,
}

pub(super) fn map_at<'a>(root: &'a Node, path: &[Step]) -> Option<&'a Node> {
    path.iter().try_fold(root, |node, step| match step {
        Step::Key(key) => child(node, key),
        Step::Item(key, index) => match &child(node, key)?.value {
            Value::List(items) => items.get(*index),
            _ => None,
        },
    })
}

pub(super) fn map_at_mut<'a>(root: &'a mut Node, path: &[Step]) -> Option<&'a mut Node> {
    path.iter().try_fold(root, |node, step| {
        let (Step::Key(name) | Step::Item(name, _)) = step;
        let Value::Map(entries) = &mut node.value else {
            return None;
        };
        let under = &mut entries.iter_mut().find(|(key, _)| key.text == *name)?.1;
        let Step::Item(_, index) = step else {
            return Some(under);
        };
        match &mut under.value {
            Value::List(items) => items.get_mut(*index),
            _ => None,
        }
    })
}

fn child<'a>(node: &'a Node, name: &str) -> Option<&'a Node> {
    let Value::Map(entries) = &node.value else { return None };
    entries.iter().find(|(key, _)| key.text == name).map(|(_, node)| node)
}

/// The value where it stands, in the quotes that it stands in.
fn replacement(
    source: &Source,
    new: &NewValue<'_>,
    (key, value): (&Key, &Node),
    quotes: Quotes,
) -> Result<Change, Diagnostic> {
    let refused = || not_in_place(source, new, value.mark);
    let old = match &value.value {
        Value::Text(old) => old,
        Value::Nothing => return fill(source, new, key, quotes),
        Value::List(_) | Value::Map(_) => return Err(refused()),
    };
    let (range, quote) = text_range(source, old, value.mark).ok_or_else(refused)?;
    let text = match quote {
        Some(quote) => escaped(new.text, Some(quote)),
        None => new.scalar(quotes),
    };
    Ok(Change {
        range,
        text,
        before: Some(old.clone()),
        mark: value.mark,
    })
}

/// Where a text stands, without the quotes that it stands in.
pub(super) fn text_range(source: &Source, text: &str, mark: Mark) -> Option<(Range<usize>, Option<char>)> {
    let start = source.offset(mark)?;
    let quote = source.text[..start].chars().next_back();
    let range = match quote {
        Some(quote @ ('"' | '\'')) if source.text[start..].starts_with(&escaped(text, Some(quote))) => {
            start..start + escaped(text, Some(quote)).len()
        }
        _ if source.text[start..].starts_with(text) => start..start + text.len(),
        _ => return None,
    };
    let quoted = source.text[range.end..].chars().next() == quote && matches!(quote, Some('"' | '\''));
    Some((range, quote.filter(|_| quoted)))
}

/// The value behind a key that has none yet.
fn fill(source: &Source, new: &NewValue<'_>, key: &Key, quotes: Quotes) -> Result<Change, Diagnostic> {
    let refused = || not_in_place(source, new, key.mark);
    let start = source.offset(key.mark).ok_or_else(refused)?;
    let behind = &source.text[start..];
    let colon = behind
        .strip_prefix(new.key)
        .and_then(|rest| rest.find(':'))
        .ok_or_else(refused)?;
    let at = start + new.key.len() + colon + 1;
    Ok(Change {
        range: at..at,
        text: format!(" {}", new.scalar(quotes)),
        before: None,
        mark: key.mark,
    })
}

/// A new key, given with its value, in its usual place.
fn addition(source: &Source, new: &NewValue<'_>, map: &Node, (key, pair): (&str, &str)) -> Result<Change, Diagnostic> {
    let refused = || not_in_place(source, new, map.mark);
    let Value::Map(entries) = &map.value else {
        return Err(refused());
    };
    if source
        .offset(map.mark)
        .is_some_and(|at| source.text[at..].starts_with('{'))
    {
        return between_brackets(source, new, map, entries, pair);
    }
    if let Some(waiting) = waiting(source, map, entries, (key, pair)) {
        return Ok(waiting);
    }
    let rank = |key: &str| new.order.iter().position(|known| *known == key);
    let own = rank(key);
    let before = entries.iter().rposition(|(key, _)| match (rank(&key.text), own) {
        (Some(known), Some(own)) => known < own,
        _ => true,
    });
    let after = before.unwrap_or(0);
    let (first, _) = entries.get(after).ok_or_else(refused)?;
    let line = last_line_of(source, first.mark, entries.get(after + 1).map(|next| next.0.mark.line));
    let end = line_end(source, line).ok_or_else(refused)?;
    let indent = " ".repeat(first.mark.column - 1);
    Ok(Change {
        range: end..end,
        text: format!("{}{indent}{pair}", ending_near(source, end)),
        before: None,
        mark: Mark {
            line: line + 1,
            column: first.mark.column,
        },
    })
}

/// A line of this map that waits behind `#` with this key: its sign goes and its value
/// changes, what is said beside it stays.
fn waiting(source: &Source, map: &Node, entries: &[(Key, Node)], (key, pair): (&str, &str)) -> Option<Change> {
    let column = entries.first()?.0.mark.column;
    let indent = |text: &str| text.len() - text.trim_start_matches(' ').len();
    let inside = |line: &usize| {
        let text = source.line(*line);
        text.trim().is_empty() || text.trim_start().starts_with('#') || indent(text) + 1 >= column
    };
    let lines = (map.mark.line..=line_count(source)).take_while(|line| *line == map.mark.line || inside(line));
    let is_it = |line: &usize| {
        let text = source.line(*line);
        let bare = text
            .trim_start_matches(' ')
            .strip_prefix('#')
            .map(|rest| rest.strip_prefix(' ').unwrap_or(rest));
        indent(text) + 1 == column
            && bare.is_some_and(|rest| rest.strip_prefix(key).is_some_and(|rest| rest.starts_with(':')))
    };
    let line = lines.into_iter().find(is_it)?;
    let text = source.line(line);
    let start = source.offset(Mark { line, column })?;
    let said_beside = text.rfind(" #").filter(|at| *at > column);
    let end = said_beside.map_or(text.len(), |at| text[..at].trim_end().len());
    Some(Change {
        range: start..start - (column - 1) + end,
        text: pair.to_owned(),
        before: None,
        mark: Mark { line, column },
    })
}

/// A new key behind the last value between `{` and `}` on one line.
fn between_brackets(
    source: &Source,
    new: &NewValue<'_>,
    map: &Node,
    entries: &[(Key, Node)],
    pair: &str,
) -> Result<Change, Diagnostic> {
    let refused = || not_in_place(source, new, map.mark);
    let (_, last) = entries.last().ok_or_else(refused)?;
    let Value::Text(text) = &last.value else {
        return Err(refused());
    };
    let start = source.offset(last.mark).ok_or_else(refused)?;
    let quote = source.text[..start]
        .chars()
        .next_back()
        .filter(|sign| matches!(sign, '"' | '\''));
    let written = escaped(text, quote);
    if !source.text[start..].starts_with(&written) {
        return Err(refused());
    }
    let end = start + written.len() + usize::from(quote.is_some());
    Ok(Change {
        range: end..end,
        text: format!(", {pair}"),
        before: None,
        mark: last.mark,
    })
}

/// The last line of an entry that starts at `start`; `next` is where the next entry of
/// its map starts. Blank lines and comments behind it belong to what follows.
pub(super) fn last_line_of(source: &Source, start: Mark, next: Option<usize>) -> usize {
    let lines = line_count(source);
    let stop = next.unwrap_or(lines + 1);
    let belongs = |line: &usize| {
        let text = source.line(*line);
        let blank = text.trim().is_empty();
        let column = text.len() - text.trim_start_matches(' ').len() + 1;
        blank || text.trim_start().starts_with('#') || column > start.column || closes(text, column == start.column)
    };
    let own: Vec<usize> = (start.line + 1..stop).take_while(belongs).collect();
    let content = |line: &&usize| {
        let text = source.line(**line).trim();
        !text.is_empty() && !text.starts_with('#')
    };
    own.iter().rev().find(content).copied().unwrap_or(start.line)
}

/// Whether a line ends what was opened before it: a bracket, or a list as deep as its key.
fn closes(text: &str, as_deep: bool) -> bool {
    let text = text.trim_start();
    text.starts_with(['}', ']']) || (as_deep && (text.starts_with("- ") || text == "-"))
}

fn line_count(source: &Source) -> usize {
    let text = source.text.replace("\r\n", "\n");
    text.split(['\n', '\r']).count()
}

/// Where a line ends, before its line end.
pub(super) fn line_end(source: &Source, line: usize) -> Option<usize> {
    let start = source.offset(Mark { line, column: 1 })?;
    Some(start + source.line(line).len())
}

/// The line end that is used around here.
pub(super) fn ending_near(source: &Source, at: usize) -> &'static str {
    let ending = |text: &str| match text.find(['\n', '\r']) {
        Some(found) if text[found..].starts_with("\r\n") => Some("\r\n"),
        Some(found) if text[found..].starts_with('\r') => Some("\r"),
        Some(_) => Some("\n"),
        None => None,
    };
    ending(&source.text[at..])
        .or_else(|| ending(&source.text))
        .unwrap_or("\n")
}

/// A text as it stands between quotes of this sort.
pub(super) fn escaped(text: &str, quote: Option<char>) -> String {
    match quote {
        Some('"') => text.replace('\\', "\\\\").replace('"', "\\\""),
        Some('\'') => text.replace('\'', "''"),
        _ => text.to_owned(),
    }
}

/// A text as one YAML scalar: plain where any reader of YAML takes it for that text.
pub fn plain_or_quoted(text: &str) -> String {
    if is_plain(text) && !text.contains([',', '[', ']', '{', '}']) {
        text.to_owned()
    } else {
        format!("\"{}\"", escaped(text, Some('"')))
    }
}

/// Whether a text needs no quotes on a line of its own.
fn is_plain(text: &str) -> bool {
    // A reader of YAML 1.1 makes something else of these.
    const WORDS: [&str; 12] = [
        "null", "~", "true", "false", "yes", "no", "on", "off", "y", "n", "nan", "inf",
    ];
    !text.is_empty()
        && text.trim() == text
        && !text.starts_with([
            '-', '?', ':', ',', '[', ']', '{', '}', '#', '&', '*', '!', '|', '>', '\'', '"', '%', '@', '`', '=', '<', '.',
        ])
        && !text.contains('"')
        && !text.contains(": ")
        && !text.ends_with(':')
        && !text.contains(" #")
        && !text.chars().any(char::is_control)
        && !WORDS.contains(&text.to_lowercase().as_str())
        // 04 and 1e3 are read as numbers by some: a code keeps its zeros in quotes.
        && !(text.starts_with('0') && text.len() > 1 && text.chars().all(|sign| sign.is_ascii_digit()))
}

/// The tree with the value in it.
fn put(root: &mut Node, new: &NewValue<'_>) {
    let mut node = root;
    for step in new.path {
        let name = match step {
            Step::Key(name) | Step::Item(name, _) => name,
        };
        let Value::Map(entries) = &mut node.value else { return };
        let found = entries.iter().position(|(key, _)| key.text == *name);
        let found = found.unwrap_or_else(|| {
            entries.push(empty_map(name, node.mark));
            entries.len() - 1
        });
        node = &mut entries[found].1;
        if let Step::Item(_, index) = step {
            let Value::List(items) = &mut node.value else { return };
            let Some(item) = items.get_mut(*index) else { return };
            node = item;
        }
    }
    let mark = node.mark;
    let Value::Map(entries) = &mut node.value else { return };
    let value = Value::Text(new.text.to_owned());
    match entries.iter_mut().find(|(key, _)| key.text == new.key) {
        Some((_, node)) => node.value = value,
        None => entries.push((
            Key {
                text: new.key.to_owned(),
                mark,
            },
            Node { value, mark },
        )),
    }
}

fn empty_map(name: &str, mark: Mark) -> (Key, Node) {
    let key = Key {
        text: name.to_owned(),
        mark,
    };
    let value = Value::Map(Vec::new());
    (key, Node { value, mark })
}

/// Whether two trees say the same; keys of a map may stand in another order.
pub(super) fn alike(one: &Node, other: &Node) -> bool {
    match (&one.value, &other.value) {
        (Value::Text(one), Value::Text(other)) => one == other,
        (Value::Nothing, Value::Nothing) => true,
        (Value::List(one), Value::List(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| alike(one, other))
        }
        (Value::Map(one), Value::Map(others)) => {
            let same = |(key, node): &(Key, Node)| {
                let mut found = others.iter().filter(|(other, _)| other.text == key.text);
                found.next().is_some_and(|(_, other)| alike(node, other)) && found.next().is_none()
            };
            one.len() == others.len() && one.iter().all(same)
        }
        _ => false,
    }
}

fn not_in_place(source: &Source, new: &NewValue<'_>, mark: Mark) -> Diagnostic {
    Diagnostic::error(
        "not-in-place",
        of_typed(new.key, "can't be changed safely where it stands"),
    )
    .at(source, mark, 1)
    .help(format!(
        "nothing was changed; write it plainly on a line of its own: `{}: {}`",
        new.key,
        new.scalar(Quotes::OnOwnLine)
    ))
}

#[cfg(test)]
mod tests;
