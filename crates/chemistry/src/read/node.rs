//! YAML text as a tree in which every value knows its place and keeps its text.
//!
//! `cone: 04` must stay 04, a key given twice must not win in silence, and a
//! complaint made long after reading must still show its line. A typed reader
//! loses all three, so the tree is built from the parser's events, and the
//! readers in this module walk it.

use std::collections::HashMap;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

use crate::diagnostic::{Diagnostic, Mark, Source};

use super::indent::beside_its_column;

/// The deepest nesting that is read.
const MOST_NESTED: usize = 24;
/// The most values one file may hold, aliases expanded.
const MOST_VALUES: usize = 200_000;

/// A value with its place.
#[derive(Debug, Clone)]
pub struct Node {
    /// What it is.
    pub value: Value,
    /// Where it starts.
    pub mark: Mark,
}

/// What a value is.
#[derive(Debug, Clone)]
pub enum Value {
    /// Any scalar, as its text.
    Text(String),
    /// Nothing, `~` or `null`.
    Nothing,
    /// A list.
    List(Vec<Node>),
    /// A map in file order; keys are texts, duplicates kept.
    Map(Vec<(Key, Node)>),
}

/// A map's key with its place.
#[derive(Debug, Clone)]
pub struct Key {
    /// The key's text.
    pub text: String,
    /// Where it starts.
    pub mark: Mark,
}

impl Node {
    /// Width in characters for the caret: that of a one-line scalar, else 1.
    pub fn width(&self) -> usize {
        match &self.value {
            Value::Text(text) if !text.contains('\n') => text.chars().count().max(1),
            _ => 1,
        }
    }
}

/// Reads one YAML document into a tree.
///
/// # Errors
/// Text that isn't YAML, more than one document, tags, deep nesting, aliases
/// that swell beyond reason.
pub fn parse(source: &Source) -> Result<Node, Diagnostic> {
    let mut builder = Builder {
        source,
        finished: HashMap::new(),
        values: 0,
        open: Vec::new(),
        root: None,
    };
    for event in Parser::new_from_str(&source.text) {
        match event {
            Ok((event, span)) => builder.take(event, span)?,
            Err(error) => return Err(builder.not_yaml(error.info(), mark_of(error.marker()))),
        }
    }
    builder.root.ok_or_else(|| {
        Diagnostic::error("empty-file", "the file is empty")
            .at(source, Mark { line: 1, column: 1 }, 1)
            .help("put something in it, or take the file away")
    })
}

enum Open {
    List {
        items: Vec<Node>,
        mark: Mark,
        anchor: usize,
        size: usize,
    },
    Map {
        entries: Vec<(Key, Node)>,
        key: Option<Key>,
        mark: Mark,
        anchor: usize,
        size: usize,
    },
}

struct Builder<'s> {
    source: &'s Source,
    /// Anchored values with their size in values.
    finished: HashMap<usize, (Node, usize)>,
    values: usize,
    open: Vec<Open>,
    root: Option<Node>,
}

fn mark_of(marker: &saphyr_parser::Marker) -> Mark {
    Mark {
        line: marker.line(),
        column: marker.col() + 1,
    }
}

impl Builder<'_> {
    fn error(&self, code: &'static str, message: impl Into<String>, mark: Mark) -> Diagnostic {
        Diagnostic::error(code, message).at(self.source, mark, 1)
    }

    fn not_yaml(&self, info: &str, mark: Mark) -> Diagnostic {
        if info.contains("recursion limit") {
            return self.too_deep(mark);
        }
        if let Some(beside) = beside_its_column(self.source, mark.line) {
            return beside;
        }
        let line = self.source.line(mark.line);
        let before = self.source.line(mark.line.saturating_sub(1));
        let help = if line.trim_start_matches(' ').starts_with('\t') || before.trim_start_matches(' ').starts_with('\t')
        {
            "a line may be indented with spaces, not with tabs"
        } else if info.contains("flow") || line.contains('{') || before.contains('{') {
            "check that every { and [ is closed and that commas stand between the entries"
        } else if info.contains("quote") {
            "a quotation mark is never closed"
        } else {
            "every line reads `name: value`, with a space after the colon; entries of one list start in the same column"
        };
        self.error(
            "not-yaml",
            format!("this line can't be read as YAML ({})", reworded(info)),
            mark,
        )
        .help(help)
    }

    fn take(&mut self, event: Event<'_>, span: Span) -> Result<(), Diagnostic> {
        let mark = mark_of(&span.start);
        match event {
            Event::DocumentStart(_) if self.root.is_some() => Err(self
                .error("two-documents", "a second document starts here", mark)
                .help("one file holds one document: take out the `---`")),
            Event::Scalar(text, style, anchor, tag) => {
                self.no_tag(tag.is_some(), mark)?;
                let plain = style == ScalarStyle::Plain;
                self.count(1, mark)?;
                let nothing = plain && matches!(text.as_ref(), "" | "~" | "null" | "Null" | "NULL");
                let value = if nothing {
                    Value::Nothing
                } else {
                    Value::Text(text.into_owned())
                };
                // Places are those of the text, not of the quotation mark before it.
                let quoted = matches!(style, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted);
                let column = mark.column + usize::from(quoted);
                let mark = Mark { column, ..mark };
                self.place(Node { value, mark }, anchor, 1)
            }
            Event::SequenceStart(anchor, tag) => {
                self.no_tag(tag.is_some(), mark)?;
                self.deeper(mark)?;
                self.open.push(Open::List {
                    items: Vec::new(),
                    mark,
                    anchor,
                    size: 1,
                });
                Ok(())
            }
            Event::MappingStart(anchor, tag) => {
                self.no_tag(tag.is_some(), mark)?;
                self.deeper(mark)?;
                self.open.push(Open::Map {
                    entries: Vec::new(),
                    key: None,
                    mark,
                    anchor,
                    size: 1,
                });
                Ok(())
            }
            Event::SequenceEnd | Event::MappingEnd => match self.open.pop() {
                Some(Open::List {
                    items,
                    mark,
                    anchor,
                    size,
                }) => self.place(
                    Node {
                        value: Value::List(items),
                        mark,
                    },
                    anchor,
                    size,
                ),
                Some(Open::Map {
                    entries,
                    mark,
                    anchor,
                    size,
                    ..
                }) => self.place(
                    Node {
                        value: Value::Map(entries),
                        mark,
                    },
                    anchor,
                    size,
                ),
                None => Ok(()),
            },
            Event::Alias(id) => {
                let Some((node, size)) = self.finished.get(&id).cloned() else {
                    return Err(self
                        .error("unknown-alias", "this alias points at nothing finished", mark)
                        .help("write the values out instead of pointing at others with `*`"));
                };
                self.count(size, mark)?;
                self.place(Node { mark, ..node }, 0, size)
            }
            _ => Ok(()),
        }
    }

    fn no_tag(&self, tagged: bool, mark: Mark) -> Result<(), Diagnostic> {
        if tagged {
            return Err(self
                .error("tag", "YAML tags (`!`) aren't used here", mark)
                .help("write the plain value"));
        }
        Ok(())
    }

    fn deeper(&mut self, mark: Mark) -> Result<(), Diagnostic> {
        self.count(1, mark)?;
        if self.open.len() >= MOST_NESTED {
            return Err(self.too_deep(mark));
        }
        Ok(())
    }

    fn too_deep(&self, mark: Mark) -> Diagnostic {
        self.error("nested-too-deeply", "the values are nested too deeply", mark)
            .help("is a bracket opened that is never closed?")
    }

    fn count(&mut self, more: usize, mark: Mark) -> Result<(), Diagnostic> {
        self.values = self.values.saturating_add(more);
        if self.values > MOST_VALUES {
            let message = format!("the file holds more than {MOST_VALUES} values once its aliases are written out");
            return Err(self
                .error("too-many-values", message, mark)
                .help("write the values out instead of pointing at others with `*`"));
        }
        Ok(())
    }

    fn place(&mut self, node: Node, anchor: usize, size: usize) -> Result<(), Diagnostic> {
        if anchor > 0 {
            self.finished.insert(anchor, (node.clone(), size));
        }
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List { items, size: outer, .. }) => {
                *outer += size;
                items.push(node);
            }
            Some(Open::Map {
                entries,
                key,
                size: outer,
                ..
            }) => {
                *outer += size;
                match (key.take(), node.value) {
                    (Some(key), value) => entries.push((key, Node { value, mark: node.mark })),
                    (None, Value::Text(text)) => *key = Some(Key { text, mark: node.mark }),
                    (None, Value::Nothing) => {
                        *key = Some(Key {
                            text: String::new(),
                            mark: node.mark,
                        })
                    }
                    (None, _) => {
                        return Err(self
                            .error("odd-key", "a name before a colon must be plain text", node.mark)
                            .help("put the name in quotation marks if it has brackets in it"));
                    }
                }
            }
        }
        Ok(())
    }
}

/// The parser's note in plainer words.
fn reworded(info: &str) -> String {
    let plain = [
        ("simple key expect ':'", "a colon is missing"),
        ("simple key expected", "a colon is missing"),
        ("mapping values are not allowed", "a colon stands where none can"),
        ("did not find expected", "something is missing or not closed"),
        ("while parsing a flow", "a bracket is not closed"),
        ("unexpected eof", "it stops too early"),
        ("unexpected end", "it stops too early"),
        ("unprintable", "a sign stands here that no text should hold"),
        ("tab", "a tab stands where spaces belong"),
        ("indent", "the indentation doesn't fit"),
        ("block mapping", "the entry doesn't line up"),
        ("unknown anchor", "an alias points at nothing"),
        ("quot", "a quotation mark is not closed"),
    ];
    let lower = info.to_lowercase();
    plain
        .iter()
        .find(|(theirs, _)| lower.contains(theirs))
        .map_or_else(|| lower.clone(), |(_, ours)| (*ours).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Node, Diagnostic> {
        parse(&Source::from_text("x.yaml", text))
    }

    #[test]
    fn a_null_byte_is_no_tab() {
        let message = read("glaze: A\0\n").err().map(|error| error.message);
        assert!(message.is_some_and(|message| message.contains("no text should hold")));
    }

    #[test]
    fn texts_stay_as_written_and_know_their_place() {
        let node = read("glaze: A\r\ncone: 04\r\n").map(|node| node.value);
        let Ok(Value::Map(entries)) = node else {
            panic!("no map")
        };
        let (key, value) = &entries[1];
        assert_eq!((key.text.as_str(), key.mark.line, value.mark.column), ("cone", 2, 7));
        assert!(matches!(&value.value, Value::Text(text) if text == "04"));
    }

    #[test]
    fn the_caret_is_as_wide_as_a_text_on_one_line() {
        let width = |text: &str| read(text).map(|node| node.width()).ok();
        assert_eq!(width("silica\n"), Some(6));
        assert_eq!(width("釉薬\n"), Some(2), "counted in characters");
        assert_eq!(width("''\n"), Some(1), "there is always something to see");
        assert_eq!(width("|\n  first\n  second\n"), Some(1));
        assert_eq!(width("[silica, clay]\n"), Some(1));
    }

    #[test]
    fn an_alias_bomb_is_refused() {
        let mut text = String::from("a: &a [x, x, x, x, x, x, x, x, x, x]\n");
        for (name, before) in ["b", "c", "d", "e", "f", "g"]
            .iter()
            .zip(["a", "b", "c", "d", "e", "f"])
        {
            text.push_str(&format!(
                "{name}: &{name} [{}]\n",
                vec![format!("*{before}"); 10].join(", ")
            ));
        }
        assert_eq!(read(&text).err().map(|error| error.code), Some("too-many-values"));
        let deep = "[".repeat(5000);
        assert!(read(&deep).is_err());
    }

    #[test]
    fn broken_yaml_has_a_place_and_help() {
        for text in [
            "a: {b: 1",
            "a:\n\t- b",
            "a: \"b",
            "a: b: c",
            "",
            "--- a\n--- b",
            "a: !!int 3",
        ] {
            let error = read(text).err();
            assert!(
                error.as_ref().is_some_and(|error| error.place.is_some()),
                "{text:?} {error:?}"
            );
        }
    }
}
