//! What reaches a terminal: no sign that moves its cursor, changes its colours or turns
//! the direction of writing, wherever it came from.

use std::borrow::Cow;

/// How our own words are set off, where that is allowed.
const BOLD: [&str; 2] = ["\u{1b}[1m", "\u{1b}[0m"];

/// Whether a sign turns the direction of writing.
pub(crate) fn turns(sign: char) -> bool {
    matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{061c}')
}

/// Whether a terminal takes a sign for something else than a letter.
fn is_hidden(sign: char) -> bool {
    (sign.is_control() && sign != '\n') || turns(sign)
}

fn holds_hidden(text: &str) -> bool {
    // Most texts are plain letters throughout.
    let plain = |byte: &u8| matches!(byte, b' '..=b'~' | b'\n');
    let mut stretches = text.as_bytes().chunks(64);
    !stretches.all(|some| some.iter().fold(true, |all, byte| all & plain(byte))) && text.chars().any(is_hidden)
}

/// A text for a terminal: hidden signs are shown as a replacement sign, a tab as a blank.
/// `bold`: our own bold type may stay.
pub fn plain(text: &str, bold: bool) -> Cow<'_, str> {
    if !holds_hidden(text) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let ours = BOLD.iter().find(|code| bold && rest.starts_with(**code));
        if let Some(code) = ours {
            out.push_str(code);
            rest = &rest[code.len()..];
            continue;
        }
        // A line end of another system is one line end.
        match sign {
            '\r' if rest.starts_with("\r\n") => {}
            '\t' => out.push(' '),
            sign if is_hidden(sign) => out.push('\u{fffd}'),
            sign => out.push(sign),
        }
        rest = &rest[sign.len_utf8()..];
    }
    Cow::Owned(out)
}

/// JSON for whatever prints it: what JSON leaves as it is and a terminal doesn't is
/// escaped, and reads back as the same.
pub fn plain_json(text: &str) -> Cow<'_, str> {
    if !holds_hidden(text) {
        return Cow::Borrowed(text);
    }
    let escaped = |sign: char| {
        if is_hidden(sign) {
            format!("\\u{:04x}", u32::from(sign))
        } else {
            sign.to_string()
        }
    };
    Cow::Owned(text.chars().map(escaped).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_moves_the_cursor() {
        let evil = "a\u{1b}[2Jb\u{9b}31mc\rd\u{202e}e\tf\r\ng\u{7}";
        assert_eq!(
            plain(evil, true),
            "a\u{fffd}[2Jb\u{fffd}31mc\u{fffd}d\u{fffd}e f\ng\u{fffd}"
        );
        assert_eq!(
            plain("\u{1b}[1mbold\u{1b}[0m 釉 é\n", true),
            "\u{1b}[1mbold\u{1b}[0m 釉 é\n"
        );
        assert_eq!(plain("\u{1b}[1mbold", false), "\u{fffd}[1mbold");
        assert_eq!(
            plain_json("{\"a\": \"\u{9b}\u{202e}\"}\n"),
            "{\"a\": \"\\u009b\\u202e\"}\n"
        );
    }
}
