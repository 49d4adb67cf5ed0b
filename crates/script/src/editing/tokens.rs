//! A text in pieces with their places, up to where somebody writes: it need not parse.

use glost_chemistry::diagnostic::{Mark, Source};

use crate::glance::{Piece, Pieces};

/// A piece with both its ends.
#[derive(Debug, Clone)]
pub(crate) struct Token {
    pub(crate) from: Mark,
    pub(crate) to: Mark,
    pub(crate) piece: Piece,
}

impl Token {
    pub(crate) fn word(&self) -> Option<&str> {
        match &self.piece {
            Piece::Word(word) => Some(word),
            _ => None,
        }
    }

    pub(crate) fn text(&self) -> Option<&str> {
        match &self.piece {
            Piece::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(crate) fn sign(&self) -> Option<char> {
        match self.piece {
            Piece::Sign(sign) => Some(sign),
            _ => None,
        }
    }

    pub(crate) fn is(&self, sign: char) -> bool {
        self.piece == Piece::Sign(sign)
    }

    pub(crate) fn is_word(&self, word: &str) -> bool {
        self.word() == Some(word)
    }
}

/// All pieces of a text.
pub(crate) fn tokens(source: &Source) -> Vec<Token> {
    let mut pieces = Pieces::of(&source.text);
    let mut found = Vec::new();
    loop {
        let (from, piece) = pieces.next();
        if piece == Piece::End {
            return found;
        }
        found.push(Token {
            from,
            to: pieces.mark,
            piece,
        });
    }
}

/// Where somebody stands in a text.
pub(super) struct Spot<'a> {
    pub(super) source: &'a Source,
    pub(super) tokens: Vec<Token>,
    /// Pieces that end before it, what is being written left out.
    pub(super) before: usize,
    /// What is being written, from its beginning on.
    pub(super) from: Mark,
    pub(super) inside: Inside,
}

/// What a place lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Inside {
    /// In the text itself, in a word or between two.
    Code,
    /// In quotes.
    Quotes,
    /// In a comment.
    Comment,
}

impl<'a> Spot<'a> {
    pub(super) fn at(source: &'a Source, mark: Mark) -> Spot<'a> {
        let tokens = tokens(source);
        let within =
            |token: &Token| token.from < mark && (mark < token.to || (mark == token.to && token.word().is_some()));
        let held = tokens.iter().position(within);
        // One whose end nobody wrote yet goes on to the end of its line, or of the text.
        let open = |token: &Token| token.text().is_some() && mark == token.to && !is_closed(token, source);
        let unclosed = tokens.iter().position(open);
        let (before, from, inside) = match held.or(unclosed) {
            Some(index) if tokens[index].text().is_some() => {
                let from = tokens[index].from;
                let column = from.column + 1;
                (index, Mark { column, ..from }, Inside::Quotes)
            }
            Some(index) if tokens[index].word().is_some() => (index, tokens[index].from, Inside::Code),
            _ => {
                let before = tokens.iter().take_while(|token| token.to <= mark).count();
                let inside = if in_comment(source, mark, &tokens) {
                    Inside::Comment
                } else {
                    Inside::Code
                };
                (before, mark, inside)
            }
        };
        Spot {
            source,
            tokens,
            before,
            from,
            inside,
        }
    }

    /// The piece before what is being written, counted backwards from 0.
    pub(super) fn back(&self, count: usize) -> Option<&Token> {
        self.before
            .checked_sub(count + 1)
            .and_then(|index| self.tokens.get(index))
    }

    /// The piece that the place lies in.
    pub(super) fn here(&self) -> Option<&Token> {
        self.tokens.get(self.before)
    }
}

fn is_closed(token: &Token, source: &Source) -> bool {
    let line = source.line(token.to.line);
    let end = line.chars().nth(token.to.column.saturating_sub(2));
    let length = token.text().map_or(0, |text| text.chars().count());
    matches!(end, Some('"' | '`')) && length > 0 || (length == 0 && token.to.column > token.from.column + 1)
}

fn in_comment(source: &Source, mark: Mark, tokens: &[Token]) -> bool {
    let line: Vec<char> = source.line(mark.line).chars().take(mark.column - 1).collect();
    let slashes = |column: usize| line[column..].starts_with(&['/', '/']);
    let quoted = |column: usize| {
        let at = Mark {
            line: mark.line,
            column: column + 1,
        };
        tokens
            .iter()
            .any(|token| token.text().is_some() && token.from < at && at < token.to)
    };
    (0..line.len()).any(|column| slashes(column) && !quoted(column))
}
