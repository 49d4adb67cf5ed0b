//! A key with its value taken out of a file's text: every other byte stays, a comment beside
//! it too. The new text is read back, and must say the same as before but for it.

use std::ops::Range;

use crate::diagnostic::{Diagnostic, Source, of_typed};

use super::edit::{Step, alike, line_end, map_at, map_at_mut, text_range};
use super::node::{Key, Node, Value, parse};

/// The file's text without this key of the map at `path`.
///
/// # Errors
/// Text that isn't YAML; a key that isn't there, or that can't be taken out in place.
pub fn without(source: &Source, path: &[Step], key: &str) -> Result<String, Diagnostic> {
    let root = parse(source)?;
    let refused = || {
        let mark = map_at(&root, path).map_or(root.mark, |map| map.mark);
        Diagnostic::error(
            "not-in-place",
            of_typed(key, "can't be taken out safely where it stands"),
        )
        .at(source, mark, 1)
        .help(format!("nothing was changed; take `{key}` out yourself"))
    };
    let mut expected = root.clone();
    let map = map_at_mut(&mut expected, path).ok_or_else(refused)?;
    let Value::Map(entries) = &mut map.value else {
        return Err(refused());
    };
    let at = entries
        .iter()
        .position(|(known, _)| known.text == key)
        .ok_or_else(refused)?;
    let entry = entries.remove(at);
    let mut text = source.text.to_string();
    text.replace_range(range(source, &entry).ok_or_else(refused)?, "");
    let renewed = Source {
        name: source.name.clone(),
        text: text.as_str().into(),
    };
    match parse(&renewed) {
        Ok(read) if alike(&read, &expected) => Ok(text),
        _ => Err(refused()),
    }
}

/// What goes: the line where nothing else stands on it, else the pair alone; between brackets
/// the comma beside it too.
fn range(source: &Source, (key, value): &(Key, Node)) -> Option<Range<usize>> {
    let Value::Text(text) = &value.value else { return None };
    let start = source.offset(key.mark)?;
    let (inner, quote) = text_range(source, text, value.mark)?;
    let end = inner.end + quote.map_or(0, char::len_utf8);
    let before = source.text[..start].trim_end_matches([' ', '\t']);
    let behind = source.text[end..].trim_start_matches([' ', '\t']);
    if before.ends_with(',') {
        return Some(before.len() - 1..end);
    }
    if let Some(rest) = behind.strip_prefix(',') {
        return Some(start..source.text.len() - rest.trim_start_matches([' ', '\t']).len());
    }
    let alone = before.is_empty() || before.ends_with(['\n', '\r']);
    match alone {
        true if behind.starts_with('#') => Some(start..source.text.len() - behind.len()),
        true => {
            let line_end = line_end(source, value.mark.line)?;
            let rest = &source.text[line_end..];
            let ending = if rest.starts_with("\r\n") { 2 } else { rest.len().min(1) };
            Some(before.len()..line_end + ending)
        }
        false => Some(start..end),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(text: &str) -> Result<String, &'static str> {
        let path = [Step::Item("materials".to_owned(), 0)];
        without(&Source::from_text("m.yaml", text), &path, "lot").map_err(|why| why.code)
    }

    #[test]
    fn a_key_goes_and_what_is_said_beside_it_stays() {
        for (before, after) in [
            (
                "materials:\r\n  - name: kaolin\r\n    lot: \"K 7\"\r\n    stock: 2 kg\r\n",
                "materials:\r\n  - name: kaolin\r\n    stock: 2 kg\r\n",
            ),
            (
                "materials:\n  - name: kaolin\n    lot: K7   # the bag says\n",
                "materials:\n  - name: kaolin\n    # the bag says\n",
            ),
            (
                "materials:\n  - { name: kaolin, lot: 'K7', stock: 2 kg }\n",
                "materials:\n  - { name: kaolin, stock: 2 kg }\n",
            ),
            (
                "materials:\n  - { lot: K7, name: kaolin }\n",
                "materials:\n  - { name: kaolin }\n",
            ),
        ] {
            assert_eq!(taken(before), Ok(after.to_owned()), "{before}");
        }
    }

    #[test]
    fn what_cannot_be_taken_out_safely_stays() {
        for text in [
            "materials:\n  - name: kaolin\n",
            "materials:\n  - name: kaolin\n    lot: [a]\n",
            "materials:\n  - name: kaolin\n    lot: &l K7\n    stock: *l\n",
            "materials: x\n",
        ] {
            assert_eq!(taken(text), Err("not-in-place"), "{text}");
        }
    }
}
