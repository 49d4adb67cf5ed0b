//! A copy of a text in which parts are blanked or put in; no line changes its number.

use std::collections::HashSet;

use glost_chemistry::diagnostic::{Mark, Source};

use crate::editing::tokens::{Token, tokens};
use crate::glance::Piece;

/// The copy.
#[derive(Debug, Clone)]
pub(super) struct Patched {
    lines: Vec<Vec<char>>,
    /// Words that stood in what was blanked.
    pub(super) lost: HashSet<String>,
    /// Lines, from and to, of which something is gone or may have another meaning.
    pub(super) unsure: Vec<(usize, usize)>,
}

impl Patched {
    pub(super) fn of(source: &Source) -> Patched {
        Patched {
            lines: source.text.split('\n').map(|line| line.chars().collect()).collect(),
            lost: HashSet::new(),
            unsure: Vec::new(),
        }
    }

    pub(super) fn text(&self) -> String {
        let lines: Vec<String> = self.lines.iter().map(|line| line.iter().collect()).collect();
        lines.join("\n")
    }

    /// How many characters it has.
    pub(super) fn len(&self) -> usize {
        self.lines.iter().map(|line| line.len() + 1).sum()
    }

    pub(super) fn tokens(&self) -> Vec<Token> {
        tokens(&Source::from_text("", &self.text()))
    }

    /// A line's characters; none past the last.
    pub(super) fn line(&self, line: usize) -> &[char] {
        self.lines.get(line.saturating_sub(1)).map_or(&[], Vec::as_slice)
    }

    /// The text up to a line, the lines before the function left empty that another line lies in.
    pub(super) fn function_up_to(&self, line: usize, last: usize) -> String {
        let begins = |line: &Vec<char>| line.first().is_some_and(|sign| sign.is_alphabetic());
        let from = self.lines[..line.min(self.lines.len())]
            .iter()
            .rposition(begins)
            .unwrap_or(0);
        let kept = self
            .lines
            .iter()
            .take(last)
            .skip(from)
            .map(|line| line.iter().collect());
        let lines: Vec<String> = vec![String::new(); from].into_iter().chain(kept).collect();
        lines.join("\n") + "\n\n"
    }

    /// The last line of the function that a line lies in.
    pub(super) fn function_end(&self, line: usize) -> usize {
        let begins = |line: &Vec<char>| line.first().is_some_and(|sign| sign.is_alphabetic());
        let next = self.lines.iter().skip(line).position(begins);
        next.map_or(self.lines.len(), |next| line + next)
    }

    /// Puts a text in before a place.
    pub(super) fn put(&mut self, at: Mark, text: &str) {
        if let Some(line) = self.lines.get_mut(at.line.saturating_sub(1)) {
            let column = (at.column - 1).min(line.len());
            line.splice(column..column, text.chars());
        }
    }

    /// Puts a text in place of what stands from one mark to another on the same line. What it
    /// says is known: no word is lost.
    pub(super) fn exchange(&mut self, from: Mark, to: Mark, text: &str) {
        if let Some(line) = self.lines.get_mut(from.line.saturating_sub(1)) {
            let end = (to.column - 1).min(line.len());
            line.splice((from.column - 1).min(end)..end, text.chars());
        }
    }

    /// Blanks all from one place to another.
    pub(super) fn blank(&mut self, from: Mark, to: Mark) {
        self.unsure.push((from.line, to.line));
        let mut gone = String::new();
        for number in from.line..=to.line {
            let Some(line) = self.lines.get_mut(number.saturating_sub(1)) else {
                break;
            };
            let first = if number == from.line { from.column - 1 } else { 0 };
            let last = if number == to.line { to.column - 1 } else { line.len() };
            for sign in line.iter_mut().take(last).skip(first) {
                gone.push(std::mem::replace(sign, ' '));
            }
            gone.push(' ');
        }
        for token in tokens(&Source::from_text("", &gone)) {
            match token.piece {
                Piece::Word(word) => drop(self.lost.insert(word)),
                Piece::Text(text) => self.lost.extend(named_in(&text).map(str::to_owned)),
                Piece::Sign(_) | Piece::End => {}
            }
        }
    }

    /// The end of the text.
    pub(super) fn end(&self) -> Mark {
        Mark {
            line: self.lines.len(),
            column: self.lines.last().map_or(0, Vec::len) + 1,
        }
    }
}

/// Words of what a text looks up, `${...}`.
fn named_in(text: &str) -> impl Iterator<Item = &str> {
    let parts = text.split("${").skip(1).filter_map(|part| part.split('}').next());
    parts.flat_map(|part| part.split(|sign: char| !sign.is_alphanumeric() && sign != '_'))
}
