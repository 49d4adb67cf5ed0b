//! How a text is made to parse past a stumble: the least change first.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};
use rhai::{AST, ParseError, ParseErrorType};

use crate::editing::tokens::Token;
use crate::foreign;
use crate::glance::Piece;
use crate::meant::meant;
use crate::trouble::while_parsing;

use super::patched::Patched;

type Parsed = Option<Result<AST, ParseError>>;

/// What is said of a sign that is missing.
const HELPS: [(&str, &str); 3] = [
    (";", "end each line with `;`"),
    (",", "what is in a list, a table or brackets is parted by `,`"),
    ("{", "what is done stands in `{` and `}`"),
];
/// What a block's head says instead of what can't be read of it.
const NEUTRAL: [(&str, &str); 2] = [("for", " _each in [] "), ("switch", " 0 ")];

/// Where the parser stumbled, among the pieces of the text.
struct Stumble {
    all: Vec<Token>,
    /// The piece it stumbled over; the number of pieces at the end.
    at: usize,
    mark: Mark,
    /// What it missed, and behind which piece.
    missed: Option<(usize, String)>,
}

impl Stumble {
    fn of(text: &Patched, error: &ParseError) -> Stumble {
        let all = text.tokens();
        let position = error.position();
        let end = text.end();
        let mark = position.line().map_or(end, |line| Mark {
            line,
            column: position.position().unwrap_or(1).max(1),
        });
        let mut stumble = Stumble {
            at: all.iter().position(|token| mark < token.to).unwrap_or(all.len()),
            all,
            mark,
            missed: None,
        };
        stumble.missed = stumble.index_for_list().map(|behind| (behind, ";".to_owned()));
        if let (None, ParseErrorType::MissingToken(token, _)) = (&stumble.missed, error.err_type()) {
            stumble.missed = stumble.missed_behind(token);
        }
        stumble
    }

    /// What is missing, and behind which piece.
    fn missed_behind(&self, token: &str) -> Option<(usize, String)> {
        let before = self.at.checked_sub(1)?;
        if token != "," {
            return Some((before, token.to_owned()));
        }
        // `f(a, key: b`: the bracket should have closed before the key.
        let of_a_table = |sign: char| self.all.get(self.at).is_some_and(|next| next.is(sign));
        let key = of_a_table(':') || of_a_table('=');
        let comma = before.checked_sub(1).filter(|index| self.all[*index].is(','));
        if let (true, Some('('), Some(comma)) = (key, self.opened(), comma) {
            return Some((comma.checked_sub(1)?, ")".to_owned()));
        }
        Some((before, self.closing().unwrap_or(",").to_owned()))
    }

    /// A list that begins a line is taken for an index of what ends the line before, where
    /// that lacks its `;`: behind which piece.
    fn index_for_list(&self) -> Option<usize> {
        let open = self
            .open_bracket()
            .filter(|index| self.all[*index].is('[') || self.all[*index].is('('))?;
        let before = open.checked_sub(1)?;
        let ends_a_value = match &self.all[before].piece {
            Piece::Word(word) => !["return", "in", "else"].contains(&word.as_str()),
            Piece::Text(_) | Piece::Sign(')' | ']') => true,
            // A block ends a statement, but for one that makes a name.
            Piece::Sign('}') => {
                let line = self.all[before].from.line;
                let first = self.all.iter().find(|token| token.from.line == line);
                first.is_some_and(|first| first.is_word("let"))
            }
            _ => false,
        };
        (ends_a_value && self.all[before].to.line < self.all[open].from.line).then_some(before)
    }

    /// What closes the innermost bracket, where what comes next can't stand in one.
    fn closing(&self) -> Option<&'static str> {
        let next = self.all.get(self.at)?;
        let statement = ["let", "if", "for", "while", "return", "fn", "const", "throw", "else"];
        let ends = [';', '{', '}'].iter().any(|sign| next.is(*sign));
        let wrong = |sign: char, other: char| (next.is(other)).then_some(sign);
        let opened = self.opened()?;
        if !(ends || statement.iter().any(|word| next.is_word(word))) {
            return match opened {
                '(' => wrong('(', ']').map(|_| ")"),
                '[' => wrong('[', ')').map(|_| "]"),
                _ => None,
            };
        }
        match opened {
            '(' => Some(")"),
            '[' => Some("]"),
            _ => None,
        }
    }

    /// The innermost bracket that is open at the stumble.
    fn opened(&self) -> Option<char> {
        self.all[self.open_bracket()?].sign()
    }

    fn open_bracket(&self) -> Option<usize> {
        let mut depth = 0_usize;
        for (index, token) in self.all[..self.at.min(self.all.len())].iter().enumerate().rev() {
            match token.sign() {
                Some(')' | ']' | '}') => depth += 1,
                Some('(' | '[' | '{') if depth == 0 => return Some(index),
                Some('(' | '[' | '{') => depth -= 1,
                _ => {}
            }
        }
        None
    }

    /// Whether it lies in the middle of a text, in `${...}`.
    fn is_in_a_text(&self) -> bool {
        self.all
            .get(self.at)
            .is_some_and(|token| token.text().is_some() && token.from < self.mark)
    }

    /// What is missing at the end of an earlier line, or closes a bracket: behind which piece.
    fn missing_behind(&self) -> Option<(&Token, &str)> {
        let (behind, missed) = self.missed.as_ref().filter(|_| !self.is_in_a_text())?;
        let before = &self.all[*behind];
        let closes = [")", "]"].contains(&missed.as_str());
        let parts = [";", ",", "{"].contains(&missed.as_str()) && before.to.line < self.mark.line;
        (closes || parts).then_some((before, missed.as_str()))
    }

    /// Where the statement or the item of a list begins that holds the stumble.
    fn begins(&self, separators: &[char]) -> usize {
        let mut depth = 0_usize;
        for index in (0..self.at.min(self.all.len())).rev() {
            match self.all[index].sign() {
                Some(')' | ']') => depth += 1,
                Some('}') if separators == [';'] && depth == 0 => return index + 1,
                Some('}') => depth += 1,
                Some('(' | '[') if separators == [';'] => depth = depth.saturating_sub(1),
                Some('(' | '[' | '{') if depth == 0 => return index + 1,
                Some('(' | '[' | '{') => depth -= 1,
                Some(sign) if depth == 0 && separators.contains(&sign) => return index + 1,
                _ => {}
            }
        }
        0
    }

    /// The piece that ends what holds the stumble: a separator or what closes around it.
    fn ends(&self, separators: &[char]) -> usize {
        let mut depth = 0_usize;
        for index in self.at..self.all.len() {
            match self.all[index].sign() {
                Some('(' | '[' | '{') => depth += 1,
                Some(')' | ']' | '}') if depth == 0 => return index,
                Some(')' | ']' | '}') => depth -= 1,
                Some(sign) if depth == 0 && separators.contains(&sign) => return index,
                _ => {}
            }
        }
        self.all.len()
    }
}

/// What is said of a stumble.
pub(super) fn told(text: &Patched, error: &ParseError, source: &Source) -> Diagnostic {
    let stumble = Stumble::of(text, error);
    if let Some(fault) = mended(text, &stumble).and_then(|_| meant(error, source)) {
        return fault;
    }
    if let Some((before, missed)) = stumble.missing_behind() {
        let known = HELPS.iter().find(|(sign, _)| *sign == missed);
        let help = known.map_or("each bracket that is opened is closed", |(_, help)| *help);
        let last = Mark {
            column: before.to.column.saturating_sub(1).max(1),
            ..before.to
        };
        let message = format!("`{missed}` is missing after this");
        return Diagnostic::error("script-syntax", message)
            .help(help)
            .at(source, last, 1);
    }
    while_parsing(error, source)
}

/// The text with the least change by which the parser comes further; `None` where none does.
pub(super) fn repair(
    text: &Patched,
    error: &ParseError,
    parse: &mut impl FnMut(&Patched) -> Parsed,
) -> Option<Patched> {
    let stumble = Stumble::of(text, error);
    let whole = curly_balance(&stumble.all);
    let mut ways: Vec<(Patched, bool)> = Vec::new();
    ways.extend(mended(text, &stumble).map(|way| (way, true)));
    ways.extend(in_other_words(text, &stumble).map(|way| (way, true)));
    ways.extend(put_in(text, &stumble).map(|way| (way, true)));
    ways.extend(in_double_quotes(text, &stumble, error).map(|way| (way, true)));
    ways.extend(compared(text, &stumble, error).map(|way| (way, true)));
    ways.extend(without(text, &stumble).into_iter().map(|way| (way, false)));
    for (way, loses_nothing) in ways {
        if curly_balance(&way.tokens()) != whole {
            continue;
        }
        let comes_further = match parse(&way)? {
            Ok(_) => true,
            Err(next) => {
                let another = std::mem::discriminant(next.err_type()) != std::mem::discriminant(error.err_type());
                let next = Stumble::of(&way, &next).mark;
                let on = next > stumble.mark || next == stumble.mark && another;
                next.line > stumble.mark.line || loses_nothing && on
            }
        };
        if comes_further {
            return Some(way);
        }
    }
    let mut way = text.clone();
    let (from, to) = item_around(text, &stumble);
    way.blank(from, to);
    (way.text() != text.text()).then_some(way)
}

fn curly_balance(all: &[Token]) -> isize {
    all.iter()
        .map(|token| match token.sign() {
            Some('{') => 1,
            Some('}') => -1,
            _ => 0,
        })
        .sum()
}

/// Words and signs of other languages, written as here.
fn in_other_words(text: &Patched, stumble: &Stumble) -> Option<Patched> {
    let mut way = text.clone();
    let begin = stumble.begins(&[';']);
    let near = (stumble.at.saturating_sub(2)..=stumble.at).rev().chain([begin]);
    for index in near {
        let Some(token) = stumble
            .all
            .get(index)
            .filter(|token| token.from.line == stumble.mark.line)
        else {
            continue;
        };
        if let Some(here) = token.word().and_then(foreign::here) {
            way.exchange(token.from, token.to, here);
            return Some(way);
        }
    }
    let line: String = text.line(stumble.mark.line).iter().collect();
    for (theirs, ours) in foreign::SIGNS_HERE {
        if let Some(at) = line.find(theirs) {
            let from = Mark {
                line: stumble.mark.line,
                column: line[..at].chars().count() + 1,
            };
            let to = Mark {
                column: from.column + theirs.chars().count(),
                ..from
            };
            way.exchange(from, to, ours);
            return Some(way);
        }
    }
    None
}

/// A decimal comma, a number with `%`.
fn mended(text: &Patched, stumble: &Stumble) -> Option<Patched> {
    let line = stumble.mark.line;
    let written: String = text.line(line).iter().collect();
    let here = crate::meant::mended(&written, stumble.mark.column);
    let braces = || crate::meant::per_cent_before_braces(&stumble.all, stumble.mark);
    let (from, instead) = here
        .map(|(column, instead)| (Mark { line, column }, instead))
        .or_else(|| Some((braces()?, " ")))?;
    let to = Mark {
        column: from.column + 1,
        ..from
    };
    let mut way = text.clone();
    way.exchange(from, to, instead);
    Some(way)
}

/// What the parser missed, put in at the end of the piece before.
fn put_in(text: &Patched, stumble: &Stumble) -> Option<Patched> {
    let (behind, missed) = stumble.missed.as_ref()?;
    if ["{", "}"].contains(&missed.as_str()) {
        return None;
    }
    let at = if stumble.is_in_a_text() {
        stumble.mark
    } else {
        stumble.all[*behind].to
    };
    let mut way = text.clone();
    way.put(at, missed);
    Some(way)
}

/// A text in single quotes.
fn in_double_quotes(text: &Patched, stumble: &Stumble, error: &ParseError) -> Option<Patched> {
    let ParseErrorType::BadInput(rhai::LexError::MalformedChar(_)) = error.err_type() else {
        return None;
    };
    let line = stumble.mark.line;
    let quotes = text.line(line).iter().enumerate().skip(stumble.mark.column - 1);
    let columns: Vec<usize> = quotes
        .filter(|(_, sign)| **sign == '\'')
        .map(|(at, _)| at + 1)
        .take(2)
        .collect();
    let mut way = text.clone();
    for column in columns {
        let from = Mark { line, column };
        let to = Mark {
            line,
            column: column + 1,
        };
        way.exchange(from, to, "\"");
    }
    Some(way)
}

/// `=` where `==` is meant.
fn compared(text: &Patched, stumble: &Stumble, error: &ParseError) -> Option<Patched> {
    let ParseErrorType::BadInput(rhai::LexError::ImproperSymbol(_, why)) = error.err_type() else {
        return None;
    };
    let sign = stumble.all.get(stumble.at).filter(|token| token.is('='))?;
    let mut way = text.clone();
    way.put(sign.from, "=");
    why.contains("'=='").then_some(way)
}

/// Less and less of the text around a stumble.
fn without(text: &Patched, stumble: &Stumble) -> Vec<Patched> {
    let all = &stumble.all;
    let mark = |index: usize| all.get(index).map_or(text.end(), |token| token.from);
    let blanked = |from: usize, to: usize| {
        let mut way = text.clone();
        way.blank(mark(from), mark(to));
        way
    };
    let mut ways = Vec::new();
    let at = stumble.at;
    if at < all.len() {
        ways.push(blanked(at, at + 1));
    }
    if at > 0 {
        ways.push(blanked(at - 1, at));
        ways.push(blanked(at - 1, at + 1));
    }
    ways.extend(headed(text, stumble));
    let on_the_line = |index: &usize| {
        all.get(*index)
            .is_some_and(|token| token.from.line == stumble.mark.line)
    };
    let near = [stumble.ends(&[';', ',']), stumble.ends(&[';'])];
    ways.extend(near.into_iter().filter(on_the_line).map(|end| blanked(at, end)));
    // An item of a list, with the comma behind it.
    let (begin, end) = (stumble.begins(&[';', ',']), stumble.ends(&[';', ',']));
    ways.push(blanked(begin, end));
    let comma = usize::from(all.get(end).is_some_and(|token| token.is(',')));
    ways.push(blanked(begin, end + comma));
    // The statement, with its `;`; what is left of its line.
    let (begin, end) = (stumble.begins(&[';']), stumble.ends(&[';']));
    let closed = usize::from(all.get(end).is_some_and(|token| token.is(';')));
    ways.push(blanked(begin, end + closed));
    let line_end = all.iter().position(|token| token.from.line > stumble.mark.line);
    ways.push(blanked(begin, line_end.unwrap_or(all.len())));
    ways
}

/// A block whose head is at fault keeps its body.
fn headed(text: &Patched, stumble: &Stumble) -> Option<Patched> {
    let all = &stumble.all;
    let heads = ["if", "while", "for", "switch"];
    let begin = (0..stumble.at.min(all.len())).rev().find(|index| {
        all[*index].from.line == stumble.mark.line && heads.iter().any(|word| all[*index].is_word(word))
    })?;
    let line = all[begin].from.line;
    let open = (begin..all.len())
        .take_while(|index| all[*index].from.line == line)
        .filter(|index| all[*index].is('{') && !all[*index - 1].is('#'))
        .last()?;
    let mut way = text.clone();
    way.blank(all[begin].to, all[open].from);
    let known = NEUTRAL.iter().find(|(word, _)| all[begin].is_word(word));
    let neutral = known.map_or(" true ", |(_, neutral)| *neutral);
    way.put(all[begin].to, neutral);
    Some(way)
}

/// The function or constant around a stumble, else all from there to the next one.
fn item_around(text: &Patched, stumble: &Stumble) -> (Mark, Mark) {
    let starts: Vec<Mark> = stumble
        .all
        .iter()
        .filter(|token| {
            token.from.column == 1
                && ["fn", "const", "import", "private"]
                    .iter()
                    .any(|word| token.is_word(word))
        })
        .map(|token| token.from)
        .collect();
    let from = starts.iter().rev().find(|start| **start <= stumble.mark);
    let to = starts.iter().find(|start| **start > stumble.mark);
    let begin = Mark { line: 1, column: 1 };
    (from.copied().unwrap_or(begin), to.copied().unwrap_or(text.end()))
}
