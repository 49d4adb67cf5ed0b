//! Names as people type them.

use unicode_normalization::UnicodeNormalization;

/// A name for comparing: without case, runs of white space as one space, and one
/// form of letters with marks (a file name from another system may hold `e` and
/// its accent apart).
pub fn folded(name: &str) -> String {
    let words = name.split_whitespace().collect::<Vec<_>>().join(" ");
    if words.is_ascii() {
        return words.to_ascii_lowercase();
    }
    // Lower case may take a letter apart again.
    let lower: String = words.nfc().collect::<String>().to_lowercase();
    lower.nfc().collect()
}

/// Whether two names are the same, as [`folded`] says.
pub fn same_name(one: &str, other: &str) -> bool {
    // Mostly they are written alike, or both in plain letters of one length.
    one == other || {
        let plain = |name: &str| {
            name.is_ascii() && !name.contains(|sign: char| sign.is_whitespace() && sign != ' ') && !name.contains("  ")
        };
        if plain(one) && plain(other) {
            one.trim().eq_ignore_ascii_case(other.trim())
        } else {
            folded(one) == folded(other)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_spacing_do_not_matter() {
        assert_eq!(folded("  Lamplight   CLEAR "), "lamplight clear");
        assert_eq!(folded("Émail"), "émail");
        for (one, other) in [
            (" Lamplight   CLEAR", "lamplight clear"),
            ("E\u{301}MAIL", "\u{e9}mail"),
            ("a\tb", "A b"),
            ("a", "b"),
            ("K7", "k7 "),
            ("\u{c}a", "a"),
        ] {
            assert_eq!(same_name(one, other), folded(one) == folded(other), "{one:?} {other:?}");
        }
    }

    #[test]
    fn a_letter_and_its_mark_are_one_letter() {
        assert_eq!(folded("E\u{301}mail bru\u{302}le"), folded("\u{c9}mail br\u{fb}le"));
        assert_eq!(folded("\u{130}"), folded("I\u{307}"));
    }
}
