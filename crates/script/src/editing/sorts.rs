//! What a value is that somebody is writing about: told from the pieces before it, where
//! the text as a whole need not parse.

use crate::engine::entries;
use crate::glance::{Glance, Piece};
use crate::kinds::Kind;
use crate::reference::belongs;
use crate::shelf::Form;
use crate::sort::Sort;

use super::tokens::{Spot, Token};

/// How many names are followed to where they were made.
pub(super) const MOST_STEPS: usize = 12;

/// The pieces of a script with what is asked of them.
pub(super) struct Pieces<'a> {
    pub(super) tokens: &'a [Token],
    pub(super) kind: Option<Kind>,
}

impl<'a> Pieces<'a> {
    pub(super) fn of(spot: &'a Spot<'_>) -> Pieces<'a> {
        Pieces {
            tokens: &spot.tokens,
            kind: Glance::at(spot.source).kind(),
        }
    }

    fn is(&self, index: usize, sign: char) -> bool {
        self.tokens.get(index).is_some_and(|token| token.is(sign))
    }

    fn word(&self, index: usize) -> Option<&str> {
        self.tokens.get(index).and_then(Token::word)
    }

    /// Where the bracket opens that closes at an index.
    pub(super) fn opening(&self, close: usize) -> Option<usize> {
        let mut depth = 0_usize;
        for index in (0..=close).rev() {
            match &self.tokens[index].piece {
                Piece::Sign(')' | ']' | '}') => depth += 1,
                Piece::Sign('(' | '[' | '{') => depth -= 1,
                _ => {}
            }
            if depth == 0 {
                return Some(index);
            }
        }
        None
    }

    /// Where the bracket closes that opens at an index.
    pub(super) fn closing(&self, open: usize) -> Option<usize> {
        let mut depth = 0_usize;
        for (index, token) in self.tokens.iter().enumerate().skip(open) {
            match &token.piece {
                Piece::Sign('(' | '[' | '{') => depth += 1,
                Piece::Sign(')' | ']' | '}') => depth = depth.checked_sub(1)?,
                _ => {}
            }
            if depth == 0 {
                return Some(index);
            }
        }
        None
    }

    /// What the chain gives that ends before an index: `glaze.unity` before its `.`.
    pub(super) fn sort_before(&self, end: usize) -> Sort {
        self.chain_start(end)
            .map_or(Sort::Any, |start| self.chain(start, end, MOST_STEPS).0)
    }

    fn chain_start(&self, end: usize) -> Option<usize> {
        let mut index = end.checked_sub(1)?;
        loop {
            while matches!(self.tokens[index].piece, Piece::Sign(')' | ']')) {
                index = self.opening(index)?;
                // A list or a group by itself is where a chain begins.
                let callee = index.checked_sub(1).map(|before| &self.tokens[before].piece);
                if !matches!(callee, Some(Piece::Word(_) | Piece::Sign(')' | ']'))) {
                    return Some(index);
                }
                index -= 1;
            }
            let dotted = index.checked_sub(1).is_some_and(|before| self.is(before, '.'));
            if !dotted {
                return Some(index);
            }
            index = index.checked_sub(2)?;
            if self.is(index, '?') {
                index = index.checked_sub(1)?;
            }
        }
    }

    /// What a chain gives that begins at an index, and where it ends: at `end` at the latest.
    pub(super) fn chain(&self, start: usize, end: usize, steps: usize) -> (Sort, usize) {
        let Some(first) = self.tokens.get(start).filter(|_| start < end && steps > 0) else {
            return (Sort::Any, start);
        };
        let (mut sort, mut at) = match &first.piece {
            Piece::Word(word) if word.starts_with(|sign: char| sign.is_ascii_digit()) => (Sort::Number, start + 1),
            Piece::Word(word) if self.is(start + 1, '(') => {
                let close = self.closing(start + 1).unwrap_or(end);
                (called(word), close + 1)
            }
            Piece::Word(word) => (self.variable(word, start, steps - 1), start + 1),
            Piece::Text(_) => (Sort::Text, start + 1),
            Piece::Sign('[') => (
                Sort::List(&Sort::Any),
                self.closing(start).map_or(end, |close| close + 1),
            ),
            Piece::Sign('#') => (Sort::Table, self.closing(start + 1).map_or(end, |close| close + 1)),
            _ => return (Sort::Any, start),
        };
        while at < end {
            if self.is(at, '[') {
                let by_text = self.tokens.get(at + 1).is_some_and(|token| token.text().is_some());
                sort = item(sort, by_text);
                at = self.closing(at).map_or(end, |close| close + 1);
            } else if self.is(at, '.') || (self.is(at, '?') && self.is(at + 1, '.')) {
                let name = if self.is(at, '.') { at + 1 } else { at + 2 };
                let Some(word) = self.word(name).filter(|_| name < end) else {
                    return (sort, at);
                };
                if self.is(name + 1, '(') {
                    sort = member(sort, word, Form::Method);
                    at = self.closing(name + 1).map_or(end, |close| close + 1);
                } else {
                    sort = member(sort, word, Form::Property);
                    at = name + 1;
                }
            } else {
                break;
            }
        }
        (sort, at)
    }

    /// What a name holds at an index, from the nearest place before it that gives it a value.
    fn variable(&self, name: &str, at: usize, steps: usize) -> Sort {
        for index in (0..at).rev() {
            if self.word(index) == Some("fn") {
                if let Some(sort) = self.parameter(index, name, at) {
                    return sort;
                }
                break;
            }
            if let Some(sort) = self.made_at(index, name, at, steps) {
                return sort;
            }
        }
        let constant = (0..self.tokens.len())
            .find(|index| self.word(*index) == Some("const") && self.word(index + 1) == Some(name));
        if let Some(index) = constant.filter(|_| steps > 0) {
            return self.value_of(index + 3, steps);
        }
        let global = entries()
            .iter()
            .find(|entry| entry.form == Form::Global && entry.name == name);
        global.map_or(Sort::Any, |entry| entry.returns)
    }

    /// Whether the piece at an index is a name that is made there: by `let`, by `for`, or
    /// as what a closure is handed.
    fn made_at(&self, index: usize, name: &str, at: usize, steps: usize) -> Option<Sort> {
        if self.word(index) != Some(name) {
            return None;
        }
        let before = index.checked_sub(1)?;
        if matches!(self.word(before), Some("let" | "const")) {
            return Some(if self.is(index + 1, '=') {
                self.value_of(index + 2, steps)
            } else {
                Sort::Any
            });
        }
        if self.word(before) == Some("for") && self.word(index + 1) == Some("in") {
            return Some(item(self.chain(index + 2, self.tokens.len(), steps).0, false));
        }
        let handed = self.is(before, '|') && (self.is(index + 1, '|') || self.is(index + 1, ','));
        if handed && index + 1 < at && before >= 3 && self.is(before - 1, '(') && self.is(before - 3, '.') {
            return Some(item(self.sort_before(before - 3), false));
        }
        None
    }

    /// What an expression gives that begins at an index.
    fn value_of(&self, start: usize, steps: usize) -> Sort {
        let (sort, end) = self.chain(start, self.tokens.len(), steps);
        let over = self.tokens.get(end).is_none_or(|token| token.is(';') || token.is('}'));
        let sums = ['+', '-', '*', '/'].into_iter().any(|sign| self.is(end, sign));
        match sort {
            _ if over => sort,
            Sort::Number if sums => Sort::Number,
            _ => Sort::Any,
        }
    }

    /// What a function's parameter of this name is, where it has one and `at` lies in it.
    fn parameter(&self, function: usize, name: &str, at: usize) -> Option<Sort> {
        let (called, open) = (self.word(function + 1)?, function + 2);
        let close = self.closing(open)?;
        let words: Vec<&str> = (open..close).filter_map(|index| self.word(index)).collect();
        let place = words.iter().position(|word| *word == name).filter(|_| close < at)?;
        if called.starts_with("test_") {
            return Some(Sort::Tester);
        }
        let kind = self.kind.filter(|kind| kind.word() == called);
        let sorts = kind.map_or(&[][..], Kind::parameters);
        Some(sorts.get(place).map_or(Sort::Any, |parameter| parameter.1))
    }
}

/// What a function of the shelf gives, where all of its name agree.
fn called(name: &str) -> Sort {
    let mut named = entries()
        .iter()
        .filter(|entry| entry.form == Form::Function && entry.name == name);
    let first = named.next().map_or(Sort::Any, |entry| entry.returns);
    if named.all(|entry| entry.returns == first) {
        first
    } else {
        Sort::Any
    }
}

/// What a member gives.
fn member(owner: Sort, name: &str, form: Form) -> Sort {
    if owner == Sort::Any {
        return Sort::Any;
    }
    let found = entries()
        .iter()
        .find(|entry| entry.form == form && entry.name == name && belongs(entry, owner));
    match (found, form) {
        // A list that was chosen from holds what it held.
        (Some(entry), Form::Method) if matches!((owner, entry.returns), (Sort::List(_), Sort::List(Sort::Any))) => {
            if name == "map" {
                entry.returns
            } else {
                owner
            }
        }
        (Some(entry), _) => entry.returns,
        (None, Form::Method) => called(name),
        (None, _) => Sort::Any,
    }
}

/// What lies in it.
fn item(sort: Sort, by_text: bool) -> Sort {
    match sort {
        Sort::List(item) => *item,
        Sort::Parts if by_text => Sort::Number,
        Sort::Parts => Sort::Part,
        Sort::Materials => Sort::Material,
        Sort::Oxides => Sort::Number,
        _ => Sort::Any,
    }
}
