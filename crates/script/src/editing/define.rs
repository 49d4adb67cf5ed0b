//! Where a name was made that somebody points at.

use glost_chemistry::diagnostic::{Mark, Source};

use crate::sort::Sort;

use super::about_place;
use super::complete::{library_of, named};
use super::sorts::Pieces;
use super::tokens::{Inside, Spot, Token, tokens};
use super::{Defined, Libraries, Named};

/// Where the name at a place was made; `None` of what is always there.
pub fn define(source: &Source, mark: Mark, libraries: Libraries<'_>) -> Option<Defined> {
    let spot = Spot::at(source, mark);
    if spot.inside == Inside::Quotes {
        let text = spot.here()?.text()?.to_owned();
        return match named(&spot)? {
            Named::Libraries => Some(Defined::Library(text, Mark { line: 1, column: 1 }, 1)),
            named => Some(Defined::Named(named, text)),
        };
    }
    let word = spot.here()?.word().filter(|_| spot.inside == Inside::Code)?;
    let is = |count: usize, sign: char| spot.back(count).is_some_and(|token| token.is(sign));
    if is(0, ':') && is(1, ':') {
        let library = library_of(&spot.tokens, spot.back(2)?.word()?)?;
        let token = function(&tokens(&libraries(library)?), word)?;
        return Some(Defined::Library(library.to_owned(), token.from, word.chars().count()));
    }
    if is(0, '.') && !is(1, '.') {
        let owner = Pieces::of(&spot).sort_before(spot.before - 1);
        let declared = about_place::declared(&spot.tokens);
        let option = declared
            .iter()
            .find(|one| matches!(one.path.as_slice(), [first, name] if first == "options" && name == word));
        let token = option
            .filter(|_| owner == Sort::Options)
            .map(|one| &spot.tokens[one.index]);
        return token.map(here);
    }
    let own = function(&spot.tokens, word).map(|token| here(&token));
    made_above(&spot, word).or(own).or_else(|| at_the_top(&spot, word))
}

/// Where a script's `ABOUT` declares an option.
pub fn declared_at(source: &Source, option: &str) -> Option<Mark> {
    let all = tokens(source);
    let declared = about_place::declared(&all);
    let found = declared
        .iter()
        .find(|one| matches!(one.path.as_slice(), [first, name] if first == "options" && name == option))?;
    Some(all[found.index].from)
}

fn here(token: &Token) -> Defined {
    let width = token.word().map_or(1, |word| word.chars().count());
    Defined::Here(token.from, width)
}

/// The name of a function where it is defined.
fn function(all: &[Token], name: &str) -> Option<Token> {
    let pair = all
        .windows(2)
        .find(|two| two[0].is_word("fn") && two[1].is_word(name))?;
    Some(pair[1].clone())
}

/// A variable, or what a function or a closure is handed.
fn made_above(spot: &Spot<'_>, word: &str) -> Option<Defined> {
    let all = &spot.tokens;
    for index in (1..=spot.before).rev() {
        let (before, token) = (&all[index - 1], &all[index]);
        if before.is_word("fn") {
            let head = all.iter().skip(index + 2).take_while(|token| !token.is(')'));
            return head.filter(|token| token.is_word(word)).map(here).next();
        }
        let follows = |sign: char| all.get(index + 1).is_some_and(|next| next.is(sign));
        let handed = before.is('|') && (follows('|') || follows(','));
        if token.is_word(word) && (handed || before.is_word("let") || before.is_word("for")) {
            return Some(here(token));
        }
    }
    None
}

/// A constant, or what a library is called.
fn at_the_top(spot: &Spot<'_>, word: &str) -> Option<Defined> {
    let mut pairs = spot.tokens.windows(2);
    let made = pairs.find(|two| (two[0].is_word("const") || two[0].is_word("as")) && two[1].is_word(word))?;
    Some(here(&made[1]))
}

/// The lines of comment right above a line, without their marks.
pub(super) fn comment_above(source: &Source, line: usize) -> String {
    let mut lines: Vec<&str> = Vec::new();
    for above in (1..line).rev() {
        match source.line(above).trim().strip_prefix("//") {
            Some(comment) => lines.push(comment.trim_start_matches('/').trim()),
            None => break,
        }
    }
    lines.reverse();
    lines.join("\n")
}
