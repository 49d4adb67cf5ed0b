//! A new item at the end of a list where it stands, or in a list of its own: every other
//! byte stays. The new text is read back, and must say the same as before but for it.

use std::ops::Range;

use crate::diagnostic::{Diagnostic, Mark, Source, of_typed};

use super::edit::{Edited, Step, alike, ending_near, last_line_of, line_end, map_at, map_at_mut, plain_or_quoted};
use super::node::{Key, Node, Value, parse};

/// A map to stand in a list of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewItem<'a> {
    /// From the root to the map that holds the list.
    pub path: &'a [Step],
    /// The list's key in it.
    pub list: &'a str,
    /// Its keys and values, in their order.
    pub pairs: &'a [(&'a str, ItemValue<'a>)],
}

/// A value of a new item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ItemValue<'a> {
    /// A text.
    Text(&'a str),
    /// Amounts by name, as numbers are written.
    Amounts(&'a [(String, String)]),
}

impl ItemValue<'_> {
    fn written(self) -> String {
        match self {
            ItemValue::Text(text) => plain_or_quoted(text),
            ItemValue::Amounts(amounts) => {
                let amount = |(name, amount): &(String, String)| format!("{}: {amount}", plain_or_quoted(name));
                let amounts: Vec<String> = amounts.iter().map(amount).collect();
                format!("{{ {} }}", amounts.join(", "))
            }
        }
    }

    fn node(self, mark: Mark) -> Node {
        let text = |text: &str| Node {
            value: Value::Text(text.to_owned()),
            mark,
        };
        match self {
            ItemValue::Text(of) => text(of),
            ItemValue::Amounts(amounts) => {
                let pair = |(name, amount): &(String, String)| {
                    let key = Key {
                        text: name.clone(),
                        mark,
                    };
                    (key, text(amount))
                };
                Node {
                    value: Value::Map(amounts.iter().map(pair).collect()),
                    mark,
                }
            }
        }
    }
}

impl NewItem<'_> {
    /// As it stands in a file.
    pub fn written(&self) -> String {
        let pair = |(key, value): &(&str, ItemValue<'_>)| format!("{}: {}", plain_or_quoted(key), value.written());
        let pairs: Vec<String> = self.pairs.iter().map(pair).collect();
        format!("{{ {} }}", pairs.join(", "))
    }

    fn node(&self, mark: Mark) -> Node {
        let pair = |(key, value): &(&str, ItemValue<'_>)| {
            let text = (*key).to_owned();
            (Key { text, mark }, value.node(mark))
        };
        Node {
            value: Value::Map(self.pairs.iter().map(pair).collect()),
            mark,
        }
    }
}

/// The file's text with this item in it.
///
/// # Errors
/// Text that isn't YAML; a list that can't be added to in place.
pub fn with_item(source: &Source, new: &NewItem<'_>) -> Result<Edited, Diagnostic> {
    let root = parse(source)?;
    let refused = || not_in_place(source, new, root.mark);
    let mut expected = root.clone();
    put(&mut expected, new).ok_or_else(refused)?;
    for (range, text) in places(source, &root, new).ok_or_else(refused)? {
        let mut whole = source.text.to_string();
        whole.replace_range(range.clone(), &text);
        let renewed = Source {
            name: source.name.clone(),
            text: whole.as_str().into(),
        };
        if parse(&renewed).is_ok_and(|read| alike(&read, &expected)) {
            let up_to = range.start + text.find('{').unwrap_or(0);
            let lines = whole[..up_to].replace("\r\n", "\n").matches(['\n', '\r']).count();
            return Ok(Edited {
                text: whole,
                before: None,
                line: lines + 1,
            });
        }
    }
    Err(refused())
}

/// Where the item may go, the likeliest first: what reads back as it should is taken.
fn places(source: &Source, root: &Node, new: &NewItem<'_>) -> Option<Vec<(Range<usize>, String)>> {
    let map = map_at(root, new.path)?;
    let Value::Map(entries) = &map.value else { return None };
    let at = entries.iter().position(|(key, _)| key.text == new.list);
    let next = |at: usize| entries.get(at + 1).map(|next| next.0.mark.line);
    let written = new.written();
    let behind = |line: usize, before: String| -> Option<(Range<usize>, String)> {
        let end = line_end(source, line)?;
        Some((end..end, format!("{}{before}{written}", ending_near(source, end))))
    };
    let Some(at) = at else {
        let last = entries.last()?;
        let brackets = source.offset(map.mark)?;
        if source.text[brackets..].starts_with('{') {
            // In front of the bracket that closes the map.
            let closing = source.text[brackets..].match_indices('}').map(|(close, _)| {
                let end = brackets + source.text[brackets..brackets + close].trim_end().len();
                (end..end, format!(", {}: [{written}]", new.list))
            });
            return Some(closing.collect());
        }
        let line = last_line_of(source, last.0.mark, None);
        let indent = " ".repeat(entries.first()?.0.mark.column - 1);
        let ending = ending_near(source, line_end(source, line)?);
        return Some(vec![behind(
            line,
            format!("{indent}{}:{ending}{indent}  - ", new.list),
        )?]);
    };
    let (key, value) = &entries[at];
    let end_of_list = last_line_of(source, key.mark, next(at));
    match &value.value {
        Value::Nothing => {
            let indent = " ".repeat(key.mark.column - 1);
            Some(vec![behind(key.mark.line, format!("{indent}  - "))?])
        }
        Value::List(items) => {
            let dash = items.first().map(|item| source.line(item.mark.line));
            let column = dash.and_then(|line| line.trim_start_matches(' ').starts_with("- ").then(|| line.find('-')));
            let mut places = Vec::new();
            if let Some(column) = column.flatten() {
                places.extend(behind(end_of_list, format!("{}- ", " ".repeat(column))));
            }
            // Between brackets: in front of the one that closes the list.
            let from = source.offset(value.mark)?;
            let to = line_end(source, end_of_list)?;
            let comma = if items.is_empty() { "" } else { ", " };
            let inside = source.text.get(from..to)?;
            for (close, _) in inside.match_indices(']') {
                let end = from + inside[..close].trim_end().len();
                places.push((end..end, format!("{comma}{written}")));
            }
            Some(places)
        }
        _ => None,
    }
}

/// The tree with the item in it; `None` where no list can stand.
fn put(root: &mut Node, new: &NewItem<'_>) -> Option<()> {
    let mark = root.mark;
    let item = new.node(mark);
    let Value::Map(entries) = &mut map_at_mut(root, new.path)?.value else {
        return None;
    };
    match entries.iter_mut().find(|(key, _)| key.text == new.list) {
        Some((_, node)) => match &mut node.value {
            Value::List(items) => items.push(item),
            Value::Nothing => node.value = Value::List(vec![item]),
            _ => return None,
        },
        None => {
            let text = new.list.to_owned();
            let value = Value::List(vec![item]);
            entries.push((Key { text, mark }, Node { value, mark }));
        }
    }
    Some(())
}

fn not_in_place(source: &Source, new: &NewItem<'_>, mark: Mark) -> Diagnostic {
    Diagnostic::error(
        "not-in-place",
        of_typed(new.list, "can't be added to safely where it stands"),
    )
    .at(source, mark, 1)
    .help(format!(
        "nothing was changed; write it yourself, under `{}:` on a line of its own: `- {}`",
        new.list,
        new.written()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEW: NewItem<'static> = NewItem {
        path: &[],
        list: "accepted",
        pairs: &[
            ("finding", ItemValue::Text("check/own CuO")),
            ("because", ItemValue::Text("report 12, p. 3")),
        ],
    };
    const WRITTEN: &str = "{ finding: check/own CuO, because: \"report 12, p. 3\" }";

    fn with(text: &str) -> Result<(String, usize), &'static str> {
        let edited = with_item(&Source::from_text("a.yaml", text), &NEW);
        edited.map(|edited| (edited.text, edited.line)).map_err(|why| why.code)
    }

    #[test]
    fn an_item_goes_behind_the_others_and_no_other_byte_changes() {
        for (before, after, line) in [
            (
                "glaze: A # mine\nparts: { silica: 1 }\n",
                "glaze: A # mine\nparts: { silica: 1 }\naccepted:\n  - ITEM\n",
                4,
            ),
            (
                "glaze: A\r\nnotes: |\r\n  x\r\n# end\r\n",
                "glaze: A\r\nnotes: |\r\n  x\r\naccepted:\r\n  - ITEM\r\n# end\r\n",
                5,
            ),
            ("glaze: A", "glaze: A\naccepted:\n  - ITEM", 3),
            ("accepted:\nglaze: A\n", "accepted:\n  - ITEM\nglaze: A\n", 2),
            ("{ glaze: A } # }\n", "{ glaze: A, accepted: [ITEM] } # }\n", 1),
            ("accepted: []\nglaze: A\n", "accepted: [ITEM]\nglaze: A\n", 1),
            (
                "accepted: [{ finding: \"a ]\" }] # [one]\nglaze: A\n",
                "accepted: [{ finding: \"a ]\" }, ITEM] # [one]\nglaze: A\n",
                1,
            ),
            (
                "accepted:\n- finding: a b\n  because: x # y\n\n# of the glaze\nglaze: A\n",
                "accepted:\n- finding: a b\n  because: x # y\n- ITEM\n\n# of the glaze\nglaze: A\n",
                4,
            ),
            (
                "glaze: A\naccepted:\n    - { finding: a b }\n",
                "glaze: A\naccepted:\n    - { finding: a b }\n    - ITEM\n",
                4,
            ),
        ] {
            assert_eq!(with(before), Ok((after.replace("ITEM", WRITTEN), line)), "{before}");
        }
    }

    #[test]
    fn a_list_that_cannot_be_added_to_is_refused() {
        for text in ["accepted: x\n", "a: &l [x]\naccepted: *l\n"] {
            assert_eq!(with(text), Err("not-in-place"), "{text}");
        }
    }

    #[test]
    fn a_list_inside_an_item_of_another() {
        let amounts = [
            ("SiO2".to_owned(), "49".to_owned()),
            ("Al2O3".to_owned(), "36.5".to_owned()),
        ];
        let pairs = [
            ("lot", ItemValue::Text("L2")),
            ("analysis", ItemValue::Amounts(&amounts)),
        ];
        let new = NewItem {
            path: &[Step::Item("materials".to_owned(), 1)],
            list: "lots",
            pairs: &pairs,
        };
        let item = "{ lot: L2, analysis: { SiO2: 49, Al2O3: 36.5 } }";
        for (before, after) in [
            (
                "materials:\n  - name: silica\n  - name: kaolin # soft\n    kind: clay\n\n  # by the door\n  - name: talc\n",
                "materials:\n  - name: silica\n  - name: kaolin # soft\n    kind: clay\n    lots:\n      - ITEM\n\n  # by the door\n  - name: talc\n",
            ),
            (
                "materials:\n  - name: silica\n  - name: kaolin\n    lots:   # old first\n      - { lot: K7 }   # nearly gone\n",
                "materials:\n  - name: silica\n  - name: kaolin\n    lots:   # old first\n      - { lot: K7 }   # nearly gone\n      - ITEM\n",
            ),
            (
                "materials:\n- { name: silica }\n- { name: kaolin, kind: clay } # soft\n",
                "materials:\n- { name: silica }\n- { name: kaolin, kind: clay, lots: [ITEM] } # soft\n",
            ),
            (
                "materials:\n- { name: silica }\n- { name: kaolin, lots: [{ lot: K7 }] }\n",
                "materials:\n- { name: silica }\n- { name: kaolin, lots: [{ lot: K7 }, ITEM] }\n",
            ),
        ] {
            let edited = with_item(&Source::from_text("m.yaml", before), &new).map(|edited| edited.text);
            assert_eq!(edited, Ok(after.replace("ITEM", item)), "{before}");
        }
    }
}
