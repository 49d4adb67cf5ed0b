//! Trees of the shipped files, as the build script has packed them: for each value
//! a sign (`T`ext, `N`othing, `L`ist, `M`ap), its line and column as two bytes each,
//! low byte first, for a text its length in two bytes and its bytes; `E` ends a list or map.

use crate::diagnostic::Mark;

use super::node::{Key, Node, Value};

/// The tree in `bytes`, or `None` where they aren't whole.
pub(crate) fn unpacked(bytes: &[u8]) -> Option<Node> {
    Reader { rest: bytes }.node()?
}

/// The items of the list under `key` of the map in `bytes`, still packed; `None` where there is
/// no such list.
pub(crate) fn packed_items<'b>(bytes: &'b [u8], key: &str) -> Option<Vec<&'b [u8]>> {
    let mut reader = Reader::under(bytes, key)??;
    let mut items = Vec::new();
    if reader.sign()? != b'L' {
        return None;
    }
    loop {
        let from = reader.rest;
        if !reader.skip()? {
            return Some(items);
        }
        items.push(&from[..from.len() - reader.rest.len()]);
    }
}

/// The text under `key` of the map in `bytes`, or those of the list there; none without the
/// key. `None` where the bytes are no whole map.
pub(crate) fn packed_texts<'b>(bytes: &'b [u8], key: &str) -> Option<Vec<&'b str>> {
    let mut texts = Vec::new();
    if let Some(mut reader) = Reader::under(bytes, key)? {
        match reader.sign()? {
            b'T' => texts.push(reader.text()?),
            b'L' => {
                while reader.sign()? == b'T' {
                    texts.push(reader.text()?);
                }
            }
            _ => {}
        }
    }
    Some(texts)
}

struct Reader<'b> {
    rest: &'b [u8],
}

impl<'b> Reader<'b> {
    /// Before the value under `key` of the map in `bytes`; `Some(None)` where it has no such key.
    fn under(bytes: &'b [u8], key: &str) -> Option<Option<Reader<'b>>> {
        let mut reader = Reader { rest: bytes };
        if reader.sign()? != b'M' {
            return None;
        }
        while reader.sign()? == b'T' {
            if reader.text()? == key {
                return Some(Some(reader));
            }
            reader.skip()?;
        }
        Some(None)
    }

    /// The sign of the next value, past its place.
    fn sign(&mut self) -> Option<u8> {
        let sign = self.byte()?;
        if sign != b'E' {
            self.number()?;
            self.number()?;
        }
        Some(sign)
    }

    /// Goes past the next value; `false` at the end of the list or map that holds it.
    fn skip(&mut self) -> Option<bool> {
        match self.sign()? {
            b'E' => return Some(false),
            b'N' => {}
            b'T' => {
                self.text()?;
            }
            // A map's keys are values, too.
            b'L' | b'M' => while self.skip()? {},
            _ => return None,
        }
        Some(true)
    }

    /// The next value; `Some(None)` at the end of the list or map that holds it.
    fn node(&mut self) -> Option<Option<Node>> {
        let sign = self.byte()?;
        if sign == b'E' {
            return Some(None);
        }
        let mark = Mark {
            line: self.number()?,
            column: self.number()?,
        };
        let value = match sign {
            b'N' => Value::Nothing,
            b'T' => Value::Text(self.text()?.to_owned()),
            b'L' => {
                let mut items = Vec::new();
                while let Some(item) = self.node()? {
                    items.push(item);
                }
                Value::List(items)
            }
            b'M' => Value::Map(self.entries()?),
            _ => return None,
        };
        Some(Some(Node { value, mark }))
    }

    fn entries(&mut self) -> Option<Vec<(Key, Node)>> {
        let mut entries = Vec::new();
        while let Some(key) = self.node()? {
            let Value::Text(text) = key.value else { return None };
            entries.push((Key { text, mark: key.mark }, self.node()??));
        }
        Some(entries)
    }

    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(*first)
    }

    fn number(&mut self) -> Option<usize> {
        Some(usize::from(u16::from_le_bytes([self.byte()?, self.byte()?])))
    }

    fn text(&mut self) -> Option<&'b str> {
        let length = self.number()?;
        let (text, rest) = self.rest.split_at_checked(length)?;
        self.rest = rest;
        std::str::from_utf8(text).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_not_whole_are_no_tree() {
        assert!(unpacked(b"").is_none());
        assert!(unpacked(b"T\x01\0\x01\0\x05\0ab").is_none());
        assert!(unpacked(b"L\x01\0\x01\0").is_none());
        assert!(unpacked(b"X\x01\0\x01\0").is_none());
        assert!(unpacked(b"L\x01\0\x01\0E").is_some());
    }

    #[test]
    fn an_item_is_found_without_what_stands_before_it() {
        // { a: [{ b: x, c: [] }], d: [y, { b: z, e: [p, q] }] }
        let place = |sign: u8| [sign, 1, 0, 1, 0];
        let text = |text: &str| [&place(b'T')[..], &[text.len() as u8, 0], text.as_bytes()].concat();
        let (map, list, end) = (place(b'M').to_vec(), place(b'L').to_vec(), b"E".to_vec());
        let second = [
            map.clone(),
            text("b"),
            text("z"),
            text("e"),
            list.clone(),
            text("p"),
            text("q"),
            end.clone(),
            end.clone(),
        ]
        .concat();
        let bytes = [
            map.clone(),
            text("a"),
            list.clone(),
            map,
            text("b"),
            text("x"),
            text("c"),
            list.clone(),
            end.clone(),
            end.clone(),
            end.clone(),
            text("d"),
            list,
            text("y"),
            second.clone(),
            end.clone(),
            end,
        ]
        .concat();
        assert!(unpacked(&bytes).is_some());
        assert_eq!(packed_items(&bytes, "d"), Some(vec![&text("y")[..], &second]));
        assert_eq!(packed_items(&bytes, "b"), None);
        assert_eq!(packed_texts(&second, "b"), Some(vec!["z"]));
        assert_eq!(packed_texts(&second, "e"), Some(vec!["p", "q"]));
        assert_eq!(packed_texts(&second, "z"), Some(Vec::new()));
    }
}
