//! Texts whose closing quote is missing: where they most likely end.

use std::cmp::Ordering;

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};

use crate::editing::tokens::{Token, tokens};

use super::patched::Patched;
use super::shape::{AT_THE_TOP, HEADS, MOST_FAULTS, net_of};

/// The most places that are tried for a missing quote.
const MOST_PLACES: usize = 8;

/// Where the parser stumbles over a text, if it does.
pub(super) type Stumbles<'a> = &'a dyn Fn(&str) -> Option<rhai::Position>;

/// Texts whose end is missing: in `"` they end with their line, in `` ` `` they swallow a
/// function.
pub(super) fn open_quotes(text: &mut Patched, source: &Source, stumbles: Stumbles<'_>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    while let Some(open) = text.tokens().into_iter().find(|token| lacks_its_end(text, token)) {
        let from = open.from;
        let quote = text.line(from.line).get(from.column - 1).copied().unwrap_or('"');
        let at = where_it_ends(text, from, quote, stumbles);
        text.put(at, &quote.to_string());
        text.unsure.push((from.line, from.line));
        let fault = Diagnostic::error("script-syntax", "this text has no closing quote");
        let help = if quote == '"' {
            "end it with `\"`"
        } else {
            "end it with `` ` ``"
        };
        found.push(fault.help(help).at(source, from, 1));
        if found.len() >= MOST_FAULTS {
            break;
        }
    }
    found
}

fn lacks_its_end(text: &Patched, token: &Token) -> bool {
    let Some(said) = token.text() else { return false };
    let begins = text.line(token.from.line).get(token.from.column - 1);
    if begins == Some(&'`') {
        let mut lines = said.split('\n').skip(1);
        return lines.any(|line| AT_THE_TOP.iter().any(|word| starts_with(line, word)));
    }
    let line = text.line(token.to.line);
    let last = token.to.column.checked_sub(2).and_then(|at| line.get(at));
    let alone = token.from.line == token.to.line && token.to.column == token.from.column + 1;
    alone || last != Some(&'"') || line.get(token.to.column.saturating_sub(3)) == Some(&'\\')
}

fn starts_with(line: &str, word: &str) -> bool {
    line.strip_prefix(word).is_some_and(|rest| rest.starts_with(' '))
}

/// The place on its line where a text most likely ends: where the brackets of the line go
/// together, as far as the next line's indent tells, and both lines can be read.
fn where_it_ends(text: &Patched, from: Mark, quote: char, stumbles: Stumbles<'_>) -> Mark {
    let line = text.line(from.line);
    let indent = |line: &[char]| line.iter().take_while(|sign| sign.is_whitespace()).count();
    let is_empty = |line: &[char]| line.iter().all(|sign| sign.is_whitespace());
    let next = (from.line + 1..=text.end().line).find(|number| !is_empty(text.line(*number)));
    let expected = next.map_or(0, |next| {
        let next = text.line(next);
        let first = next.iter().find(|sign| !sign.is_whitespace()).copied();
        let closes = first.filter(|sign| [')', ']', '}'].contains(sign));
        // What was opened before and isn't closed by the next line is closed by this one.
        let of_another = closes.is_some_and(|sign| open_before(text, from).is_some_and(|open| partner(open) != sign));
        match indent(next).cmp(&indent(line)) {
            Ordering::Greater => 1,
            Ordering::Less if closes.is_none() || of_another => -1,
            _ => 0,
        }
    });
    let closers = [',', ';', ')', ']', '}', '{', ':'];
    let ends = |at: &usize| {
        let before_sign = line.get(*at).is_none_or(|sign| closers.contains(sign));
        let blank = *at > from.column && line[*at - 1].is_whitespace();
        let before_brace =
            line.get(*at) == Some(&' ') && line.get(*at + 1).is_some_and(|sign| ['{', '}'].contains(sign));
        before_sign && !blank || before_brace
    };
    let surplus = |at: &usize| {
        let kept: String = line[..*at].iter().chain([&quote]).chain(&line[*at..]).collect();
        let all = tokens(&Source::from_text("", &kept));
        let net = all.iter().skip_while(|token| token.is('}')).map(net_of).sum::<isize>();
        let has_head = all.iter().any(|token| HEADS.iter().any(|word| token.is_word(word)));
        let headless = has_head && !all.iter().any(|token| token.is('{'));
        (net - expected).abs() + isize::from(headless)
    };
    let stumbled = |at: &usize, last: usize| {
        let mut way = text.clone();
        let column = *at + 1;
        way.put(Mark { column, ..from }, &quote.to_string());
        stumbles(&way.function_up_to(from.line, last))
    };
    let is_read = |at: &&usize| stumbled(at, text.function_end(from.line)).is_none();
    let reads_on = |at: &&usize| {
        let last = next.unwrap_or(from.line);
        let position = stumbled(at, last);
        position.is_none_or(|position| position.line().is_none_or(|line| line > last))
    };
    let mut places: Vec<usize> = (from.column..=line.len()).filter(ends).rev().collect();
    places.sort_by_key(surplus);
    let mut likely = places.iter().take(MOST_PLACES);
    let best = likely
        .clone()
        .find(is_read)
        .or_else(|| likely.find(reads_on))
        .or(places.first());
    Mark {
        line: from.line,
        column: best.map_or(line.len(), |at| *at) + 1,
    }
}

/// The innermost bracket that is open where a line begins.
fn open_before(text: &Patched, from: Mark) -> Option<char> {
    let mut open = Vec::new();
    for token in text.tokens().iter().take_while(|token| token.from.line < from.line) {
        match token.sign() {
            Some(sign @ ('(' | '[' | '{')) => open.push(sign),
            Some(')' | ']' | '}') => drop(open.pop()),
            _ => {}
        }
    }
    open.pop()
}

fn partner(open: char) -> char {
    match open {
        '(' => ')',
        '[' => ']',
        _ => '}',
    }
}
