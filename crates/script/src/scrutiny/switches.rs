//! Cases of a `switch` that can never come true.
//!
//! The engine compares cases by a hash, so a number beside a text is no error
//! to it but a case that is silently never taken. It keeps no case values
//! either: they are read from the text.

use glost_chemistry::diagnostic::{Diagnostic, Source};
use rhai::Position;

use crate::sort::Sort;

/// The first case of another kind than the subject.
pub(super) fn unlike_case(subject: Sort, position: Position, source: &Source) -> Option<(Position, Diagnostic)> {
    let (Some(line), Some(column)) = (position.line(), position.position()) else {
        return None;
    };
    if !matches!(subject, Sort::Number | Sort::Text) {
        return None;
    }
    let found = Cases::new(source, line, column).find(|case| case.sort != subject)?;
    let fault = Diagnostic::error(
        "unlike-kinds",
        format!(
            "this case is {}, but the switch is over {}: it is never taken",
            found.sort.words(),
            subject.words()
        ),
    );
    let place = Position::new(u16::try_from(found.line).ok()?, u16::try_from(found.column).ok()?);
    Some((place, fault.help("a cone is a text: `\"6\" => ...`")))
}

struct Case {
    sort: Sort,
    line: usize,
    column: usize,
}

/// Goes through the text of one switch and gives its cases of plain numbers
/// and texts.
struct Cases {
    signs: Vec<(char, usize, usize)>,
    next: usize,
    depth: usize,
    at_start: bool,
}

impl Cases {
    fn new(source: &Source, line: usize, column: usize) -> Cases {
        let signs = source
            .text
            .lines()
            .enumerate()
            .skip(line - 1)
            .flat_map(|(index, text)| {
                let first = if index + 1 == line { column - 1 } else { 0 };
                let code = text.split_once("//").map_or(text, |(code, _)| code);
                let signs: Vec<_> = code.chars().enumerate().skip(first).collect();
                signs.into_iter().map(move |(at, sign)| (sign, index + 1, at + 1))
            })
            .collect();
        Cases {
            signs,
            next: 0,
            depth: 0,
            at_start: false,
        }
    }

    /// Skips a quoted text whose opening quote was just read.
    fn skip_text(&mut self, quote: char) {
        while let Some((sign, ..)) = self.signs.get(self.next) {
            self.next += if *sign == '\\' { 2 } else { 1 };
            if *sign == quote {
                return;
            }
        }
    }
}

impl Iterator for Cases {
    type Item = Case;

    fn next(&mut self) -> Option<Case> {
        while let Some((sign, line, column)) = self.signs.get(self.next).copied() {
            self.next += 1;
            let starts = std::mem::take(&mut self.at_start);
            match sign {
                '{' | '(' | '[' => {
                    self.depth += 1;
                    self.at_start = self.depth == 1 && sign == '{';
                }
                '}' | ')' | ']' => {
                    self.depth = self.depth.checked_sub(1)?;
                    if self.depth == 0 && sign == '}' {
                        return None;
                    }
                    self.at_start = self.depth == 1 && sign == '}';
                }
                ',' => self.at_start = self.depth == 1,
                '"' | '`' => {
                    self.skip_text(sign);
                    if starts {
                        let sort = Sort::Text;
                        return Some(Case { sort, line, column });
                    }
                }
                _ if sign.is_whitespace() => self.at_start = starts,
                _ if starts && (sign.is_ascii_digit() || sign == '-') => {
                    let sort = Sort::Number;
                    return Some(Case { sort, line, column });
                }
                _ => {}
            }
        }
        None
    }
}
