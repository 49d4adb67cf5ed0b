//! A new item at the end of a list where it stands, or in a list of its own: every other
//! byte stays. The new text is read back, and must say the same as before but for it.

use std::ops::Range;

use crate::diagnostic::{Diagnostic, Mark, Source};

use super::edit::{Edited, alike, ending_near, last_line_of, line_end, plain_or_quoted};
use super::node::{Key, Node, Value, parse};

/// A map to stand in a list of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewItem<'a> {
    /// The list's key, at the file's root.
    pub list: &'a str,
    /// Its keys and texts, in their order.
    pub pairs: &'a [(&'a str, &'a str)],
}

impl NewItem<'_> {
    /// As it stands in a file.
    pub fn written(&self) -> String {
        let pair = |(key, text): &(&str, &str)| format!("{}: {}", plain_or_quoted(key), plain_or_quoted(text));
        let pairs: Vec<String> = self.pairs.iter().map(pair).collect();
        format!("{{ {} }}", pairs.join(", "))
    }

    fn node(&self, mark: Mark) -> Node {
        let pair = |(key, text): &(&str, &str)| {
            let value = Value::Text((*text).to_owned());
            let text = (*key).to_owned();
            (Key { text, mark }, Node { value, mark })
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
    let Value::Map(entries) = &root.value else { return None };
    let at = entries.iter().position(|(key, _)| key.text == new.list);
    let next = |at: usize| entries.get(at + 1).map(|next| next.0.mark.line);
    let written = new.written();
    let behind = |line: usize, before: String| -> Option<(Range<usize>, String)> {
        let end = line_end(source, line)?;
        Some((end..end, format!("{}{before}{written}", ending_near(source, end))))
    };
    let Some(at) = at else {
        let last = entries.last()?;
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
    let Value::Map(entries) = &mut root.value else {
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
        format!("`{}` can't be added to safely where it stands", new.list),
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
        list: "accepted",
        pairs: &[("finding", "check/own CuO"), ("because", "report 12, p. 3")],
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
        for text in ["{ glaze: A }\n", "accepted: x\n", "a: &l [x]\naccepted: *l\n"] {
            assert_eq!(with(text), Err("not-in-place"), "{text}");
        }
    }
}
