//! Trees of the shipped files, as the build script has packed them: for each value
//! a sign (`T`ext, `N`othing, `L`ist, `M`ap), its line and column as two bytes each,
//! low byte first, for a text its length in two bytes and its bytes; `E` ends a list or map.

use crate::diagnostic::Mark;

use super::node::{Key, Node, Value};

/// The tree in `bytes`, or `None` where they aren't whole.
pub(crate) fn unpacked(bytes: &[u8]) -> Option<Node> {
    Reader { rest: bytes }.node()?
}

struct Reader<'b> {
    rest: &'b [u8],
}

impl Reader<'_> {
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
            b'T' => Value::Text(self.text()?),
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

    fn text(&mut self) -> Option<String> {
        let length = self.number()?;
        let (text, rest) = self.rest.split_at_checked(length)?;
        self.rest = rest;
        std::str::from_utf8(text).ok().map(str::to_owned)
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
}
