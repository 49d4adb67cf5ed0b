//! Where in `ABOUT` somebody writes, and what it declares.

use crate::glance::Piece;

use super::tokens::Token;

/// A place in `ABOUT`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct AboutPlace {
    /// The keys that lead there.
    pub(super) path: Vec<String>,
    /// A key is due here, else a value.
    pub(super) key: bool,
}

/// Something that `ABOUT` declares: its key, what stands under it, and its index.
#[derive(Debug, Clone)]
pub(super) struct Declared {
    pub(super) path: Vec<String>,
    pub(super) index: usize,
    /// What stands under it, as written.
    pub(super) value: String,
}

/// Goes through the table, piece by piece.
fn walk(tokens: &[Token], mut seen: impl FnMut(usize, &[String], bool)) {
    let start = tokens
        .windows(3)
        .position(|three| three[0].is_word("const") && three[1].is_word("ABOUT") && three[2].is('='));
    let Some(start) = start else { return };
    let (mut path, mut open) = (Vec::new(), Vec::new());
    let mut key = false;
    for (index, token) in tokens.iter().enumerate().skip(start + 3) {
        seen(index, &path, key);
        match &token.piece {
            Piece::Sign('{') => {
                open.push(true);
                key = true;
            }
            Piece::Sign('[' | '(') => {
                open.push(false);
                key = false;
            }
            Piece::Sign('}' | ']' | ')') => {
                let table = open.pop();
                if open.is_empty() {
                    return;
                }
                if table == Some(true) {
                    path.truncate(open.iter().filter(|table| **table).count());
                }
                key = false;
            }
            Piece::Sign(',') if open.last() == Some(&true) => {
                path.truncate(open.iter().filter(|table| **table).count() - 1);
                key = true;
            }
            Piece::Sign(':') if key => {
                if let Some(Piece::Word(word) | Piece::Text(word)) =
                    index.checked_sub(1).map(|before| &tokens[before].piece)
                {
                    path.push(word.clone());
                }
                key = false;
            }
            Piece::Sign(';') if open.is_empty() => return,
            _ => {}
        }
    }
    seen(tokens.len(), &path, key);
}

/// Where in `ABOUT` the piece at an index lies; `None` where it lies elsewhere.
pub(super) fn place(tokens: &[Token], wanted: usize) -> Option<AboutPlace> {
    let mut found = None;
    walk(tokens, |index, path, key| {
        if index == wanted && found.is_none() {
            found = Some(AboutPlace {
                path: path.to_vec(),
                key,
            });
        }
    });
    found
}

/// All that stands in it.
pub(super) fn declared(tokens: &[Token]) -> Vec<Declared> {
    let mut found: Vec<Declared> = Vec::new();
    let mut last = None;
    walk(tokens, |index, path, key| {
        let shown = match tokens.get(index).map(|token| &token.piece) {
            Some(Piece::Word(word)) => word.clone(),
            Some(Piece::Text(text)) => format!("\"{text}\""),
            Some(Piece::Sign(sign)) => sign.to_string(),
            Some(Piece::End) | None => return,
        };
        let closes = tokens.get(index).is_some_and(|token| token.is('}'));
        if key || closes {
            let named = tokens.get(index).is_some_and(|token| !token.is(':'));
            last = if named && !closes {
                Some(index)
            } else {
                last.filter(|_| !closes)
            };
        } else if let Some(last) = last
            && tokens.get(last + 1).is_some_and(|token| token.is(':'))
            && index > last + 1
        {
            match found.iter_mut().find(|known| known.index == last) {
                Some(known) => known.value.push_str(&shown),
                None => found.push(Declared {
                    path: path.to_vec(),
                    index: last,
                    value: shown,
                }),
            }
        }
    });
    found
}
