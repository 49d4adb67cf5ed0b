//! A look at `ABOUT` alone, by a reader of its own: a text that doesn't parse still has
//! a kind, so that one broken script breaks one script.

use glost_chemistry::diagnostic::{Mark, Source};

use crate::kinds::Kind;

/// A text in `ABOUT` with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Seen {
    key: String,
    pub(crate) value: String,
    pub(crate) mark: Mark,
}

/// The texts that stand in the table `ABOUT` itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Glance(Vec<Seen>);

impl Glance {
    /// Looks through a text; whatever isn't `ABOUT` is passed by.
    pub(crate) fn at(source: &Source) -> Glance {
        let mut reader = Pieces::of(&source.text);
        let mut last = [Piece::End, Piece::End];
        loop {
            let piece = reader.next().1;
            if piece == Piece::End {
                return Glance::default();
            }
            if piece == Piece::Sign('=') && last == [Piece::Word("const".into()), Piece::Word("ABOUT".into())] {
                return Glance(table(&mut reader));
            }
            let [_, second] = last;
            last = [second, piece];
        }
    }

    /// The kind it names, if that is one.
    pub(crate) fn kind(&self) -> Option<Kind> {
        Kind::from_word(&self.text("kind")?.value)
    }

    /// The text under a key.
    pub(crate) fn text(&self, key: &str) -> Option<&Seen> {
        self.0.iter().find(|seen| seen.key == key)
    }
}

/// The texts of a table's own keys, those of tables inside it left out.
fn table(reader: &mut Pieces<'_>) -> Vec<Seen> {
    let (mut found, mut depth, mut key) = (Vec::new(), 0_usize, None);
    let mut before = Piece::End;
    loop {
        let (mark, piece) = reader.next();
        match &piece {
            Piece::End => return found,
            Piece::Sign('{' | '[' | '(') => depth += 1,
            Piece::Sign('}' | ']' | ')') => depth = depth.saturating_sub(1),
            Piece::Sign(';') if depth == 0 => return found,
            Piece::Sign(':') if depth == 1 => {
                key = match &before {
                    Piece::Word(word) | Piece::Text(word) => Some(word.clone()),
                    _ => None,
                };
            }
            Piece::Text(value) if depth == 1 && before == Piece::Sign(':') => {
                if let Some(key) = key.take() {
                    let value = value.clone();
                    found.push(Seen { key, value, mark });
                }
            }
            _ => {}
        }
        if depth == 0 && piece == Piece::Sign('}') {
            return found;
        }
        before = piece;
    }
}

/// Where a comment begins that is never closed.
pub(crate) fn open_comment(source: &Source) -> Option<Mark> {
    let mut reader = Pieces::of(&source.text);
    while reader.next().1 != Piece::End {}
    reader.open_comment
}

/// A piece of the text, comments and blanks left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Piece {
    Word(String),
    Text(String),
    Sign(char),
    End,
}

/// Goes through a text piece by piece.
pub(crate) struct Pieces<'a> {
    rest: std::iter::Peekable<std::str::Chars<'a>>,
    /// Where it has come to: the end of the piece given last.
    pub(crate) mark: Mark,
    /// Where a comment begins that has no end.
    open_comment: Option<Mark>,
}

impl Pieces<'_> {
    pub(crate) fn of(text: &str) -> Pieces<'_> {
        Pieces {
            rest: text.chars().peekable(),
            mark: Mark { line: 1, column: 1 },
            open_comment: None,
        }
    }

    fn step(&mut self) -> Option<char> {
        let sign = self.rest.next()?;
        if sign == '\n' {
            self.mark = Mark {
                line: self.mark.line + 1,
                column: 1,
            };
        } else {
            self.mark.column += 1;
        }
        Some(sign)
    }

    pub(crate) fn next(&mut self) -> (Mark, Piece) {
        loop {
            let mark = self.mark;
            let Some(sign) = self.step() else {
                return (mark, Piece::End);
            };
            match sign {
                '/' if self.rest.peek() == Some(&'/') => while self.step().is_some_and(|sign| sign != '\n') {},
                '/' if self.rest.peek() == Some(&'*') => self.comment(mark),
                '"' | '`' => return (mark, Piece::Text(self.quoted(sign))),
                sign if sign.is_whitespace() => {}
                sign if sign.is_alphanumeric() || sign == '_' => {
                    let mut word = String::from(sign);
                    while let Some(sign) = self.rest.next_if(|sign| sign.is_alphanumeric() || *sign == '_') {
                        self.mark.column += 1;
                        word.push(sign);
                    }
                    return (mark, Piece::Word(word));
                }
                sign => return (mark, Piece::Sign(sign)),
            }
        }
    }

    /// Passes by a comment; comments may stand in comments.
    fn comment(&mut self, from: Mark) {
        let (mut depth, mut before) = (0_usize, '/');
        while let Some(sign) = self.step() {
            match (before, sign) {
                ('/', '*') => (depth, before) = (depth + 1, ' '),
                ('*', '/') => (depth, before) = (depth.saturating_sub(1), ' '),
                _ => before = sign,
            }
            if depth == 0 {
                return;
            }
        }
        self.open_comment = Some(from);
    }

    fn quoted(&mut self, end: char) -> String {
        let mut text = String::new();
        // One in `"` ends with its line at the latest.
        while self.rest.peek().is_some_and(|sign| *sign != '\n' || end == '`')
            && let Some(sign) = self.step()
        {
            match sign {
                '\\' if end == '"' => text.extend(self.step()),
                sign if sign == end => break,
                sign => text.push(sign),
            }
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_does_not_parse_has_a_kind() {
        let text = "// const ABOUT = #{ kind: \"run\" }\n/* \"kind\" /* x */ */\nconst ABOUT = #{ api: 1,\n  \
                    options: #{ kind: #{ value: \"a\" } }, kind: \"check\", source: \"own \\\" x\" };\nfn check(glaze { {";
        let seen = Glance::at(&Source::from_text("x", text));
        assert_eq!(seen.kind(), Some(Kind::CHECK));
        let source = seen.text("source").unwrap();
        assert_eq!((source.value.as_str(), source.mark.line), ("own \" x", 4));
    }

    #[test]
    fn a_comment_that_is_never_closed_is_found_where_it_opens() {
        let found = |text: &str| open_comment(&Source::from_text("x", text)).map(|mark| (mark.line, mark.column));
        assert_eq!(found("fn f() {\n  \"/*\" /* { */ // /*\n}"), None);
        assert_eq!(found("fn f() { }\n /* {"), Some((2, 2)));
    }

    #[test]
    fn no_about_is_no_kind() {
        for text in [
            "",
            "fn check(g, o) {}",
            "const ABOUT = ",
            "const ABOUT = #{ kind: ",
            "/* ",
            "\"",
        ] {
            assert_eq!(Glance::at(&Source::from_text("x", text)).kind(), None, "{text}");
        }
    }
}
