//! Names as people type them.

use std::borrow::Cow;

use unicode_normalization::UnicodeNormalization;

/// A name for comparing: without case, runs of white space as one space, and one
/// form of letters with marks (a file name from another system may hold `e` and
/// its accent apart).
pub fn folded(name: &str) -> String {
    if name.is_ascii() {
        let mut words = String::with_capacity(name.len());
        words.extend(plain_signs(name).map(char::from));
        return words;
    }
    let words = name.split_whitespace().collect::<Vec<_>>().join(" ");
    // Lower case may take a letter apart again.
    let lower: String = words.nfc().collect::<String>().to_lowercase();
    lower.nfc().collect()
}

/// As [`folded`], without a copy of a name that is folded already.
pub fn folding(name: &str) -> Cow<'_, str> {
    let is_folded = |bytes: &[u8]| {
        let mut blank = true;
        let each = bytes.iter().all(|sign| match sign {
            b' ' => !std::mem::replace(&mut blank, true),
            b'!'..=b'@' | b'['..=b'~' => {
                blank = false;
                true
            }
            _ => false,
        });
        each && (!blank || bytes.is_empty())
    };
    if is_folded(name.as_bytes()) {
        Cow::Borrowed(name)
    } else {
        Cow::Owned(folded(name))
    }
}

/// Whether two names are the same, as [`folded`] says.
pub fn same_name(one: &str, other: &str) -> bool {
    // Mostly they are written alike, or both in plain letters.
    one == other || {
        if one.is_ascii() && other.is_ascii() {
            plain_signs(one).eq(plain_signs(other))
        } else {
            folded(one) == folded(other)
        }
    }
}

/// The signs of a name in plain letters, folded.
fn plain_signs(name: &str) -> impl Iterator<Item = u8> {
    let mut rest = name.trim().bytes().peekable();
    std::iter::from_fn(move || {
        let sign = rest.next()?;
        if !char::from(sign).is_whitespace() {
            return Some(sign.to_ascii_lowercase());
        }
        while rest.next_if(|next| char::from(*next).is_whitespace()).is_some() {}
        Some(b' ')
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_spacing_do_not_matter() {
        assert_eq!(folded("  Lamplight   CLEAR "), "lamplight clear");
        // A blank that doesn't break, as word processors put it.
        assert!(same_name("buff\u{a0}stoneware", "Buff stoneware"));
        assert!(same_name("Buff stoneware", "buff\u{a0}stoneware"));
        assert!(!same_name("buff\u{a0}stoneware", "buffstoneware"));
        assert_eq!(folded("Émail"), "émail");
        for (one, other) in [
            (" Lamplight   CLEAR", "lamplight clear"),
            ("E\u{301}MAIL", "\u{e9}mail"),
            ("a\tb", "A b"),
            ("a", "b"),
            ("K7", "k7 "),
            ("\u{c}a", "a"),
            ("a \t\r\n b", "A B "),
            ("\u{b}a\u{1f}b", "A\u{1f}B"),
            ("ab", "abc"),
            ("", " "),
        ] {
            assert_eq!(same_name(one, other), folded(one) == folded(other), "{one:?} {other:?}");
            assert_eq!(
                (folding(one), folding(other)),
                (folded(one).into(), folded(other).into())
            );
        }
    }

    #[test]
    fn a_letter_and_its_mark_are_one_letter() {
        assert_eq!(folded("E\u{301}mail bru\u{302}le"), folded("\u{c9}mail br\u{fb}le"));
        assert_eq!(folded("\u{130}"), folded("I\u{307}"));
    }
}
