//! What the name means that somebody points at.

use glost_chemistry::diagnostic::{Mark, Source};

use crate::about_keys::{ABOUT_KEYS, OPTION_KEYS};
use crate::engine::entries;
use crate::reference::belongs;
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

use super::about_place;
use super::complete::{aliases, library_of, named};
use super::define::comment_above;
use super::sorts::Pieces;
use super::tokens::{Inside, Spot, Token, tokens};
use super::{Explained, Libraries};

/// What the name at a place means; `None` where there is nothing to say.
pub fn explain(source: &Source, mark: Mark, libraries: Libraries<'_>) -> Option<Explained> {
    let spot = Spot::at(source, mark);
    if spot.inside == Inside::Quotes {
        let text = spot.here()?.text()?.to_owned();
        return named(&spot).map(|named| Explained::Named(named, text));
    }
    let word = spot.here()?.word().filter(|_| spot.inside == Inside::Code)?;
    if let Some(place) = about_place::place(&spot.tokens, spot.before).filter(|place| place.key) {
        let keys = match place.path.as_slice() {
            [] => &ABOUT_KEYS[..],
            [first, _] if first == "options" => &OPTION_KEYS[..],
            _ => &[],
        };
        let key = keys.iter().find(|key| key.name == word)?;
        return Some(known(&format!("{}: {}", key.name, key.example), key.about, ""));
    }
    let is = |count: usize, sign: char| spot.back(count).is_some_and(|token| token.is(sign));
    if is(0, ':') && is(1, ':') {
        let library = library_of(&spot.tokens, spot.back(2)?.word()?)?;
        return function_in(&libraries(library)?, word);
    }
    if is(0, '.') && !is(1, '.') {
        let end = spot.before - if is(1, '?') { 2 } else { 1 };
        return member(&spot, Pieces::of(&spot).sort_before(end), word);
    }
    by_itself(&spot, word)
}

fn known(shape: &str, about: &str, example: &str) -> Explained {
    Explained::Known {
        shape: shape.to_owned(),
        about: about.to_owned(),
        example: example.to_owned(),
    }
}

fn of_entry(entry: &Entry) -> Explained {
    let shape = format!("{} -> {}", entry.signature(), entry.returns.word());
    known(&shape, entry.about, &entry.shown_example())
}

fn member(spot: &Spot<'_>, owner: Sort, word: &str) -> Option<Explained> {
    if owner == Sort::Options {
        let declared = about_place::declared(&spot.tokens);
        let keys = declared
            .iter()
            .filter(|one| matches!(one.path.as_slice(), [first, name, _] if first == "options" && name == word));
        let told: Vec<String> = keys
            .map(|one| format!("{}: {}", one.path[2], one.value.trim_end_matches([',', ' '])))
            .collect();
        return (!told.is_empty()).then(|| known(&format!("option.{word}"), &told.join(", "), ""));
    }
    let fits = |entry: &&Entry| {
        let member = matches!(entry.form, Form::Property | Form::Method);
        entry.name == word && member && (owner == Sort::Any || belongs(entry, owner))
    };
    let called = |entry: &&Entry| entry.name == word && entry.form == Form::Function;
    let found = entries().iter().find(fits).or_else(|| entries().iter().find(called));
    found.map(of_entry)
}

fn by_itself(spot: &Spot<'_>, word: &str) -> Option<Explained> {
    if let Some(own) = function_in(spot.source, word) {
        return Some(own);
    }
    if let Some(library) = aliases(&spot.tokens).find(|known| known.0 == word) {
        return Some(known(
            library.1,
            "a library: its functions are called as `name::function(...)`",
            "",
        ));
    }
    let globals = |entry: &&Entry| entry.name == word && matches!(entry.form, Form::Function | Form::Global);
    if let Some(entry) = entries().iter().find(globals) {
        return Some(of_entry(entry));
    }
    let end = spot.before + 1;
    let sort = Pieces::of(spot).sort_before(end);
    (sort != Sort::Any).then(|| known(word, sort.words(), ""))
}

/// A function of a text, with the comment above it.
fn function_in(source: &Source, name: &str) -> Option<Explained> {
    let all = tokens(source);
    let index = (0..all.len())
        .find(|index| all[*index].is_word("fn") && all.get(index + 1).is_some_and(|token| token.is_word(name)))?;
    let words = all.iter().skip(index + 3).take_while(|token| !token.is(')'));
    let parameters: Vec<&str> = words.filter_map(Token::word).collect();
    let about = comment_above(source, all[index].from.line);
    Some(known(&format!("{name}({})", parameters.join(", ")), &about, ""))
}
