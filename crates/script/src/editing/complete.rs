//! What may stand where somebody writes.

use glost_chemistry::diagnostic::{Mark, Source};
use glost_chemistry::glaze::{ATMOSPHERES, USES};
use glost_core::rules::Subject;

use crate::about_keys::{ABOUT_KEYS, AboutKey, OPTION_KEYS};
use crate::engine::entries;
use crate::kinds::Kind;
use crate::reference::belongs;
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

use super::about_place::{self, AboutPlace};
use super::sorts::Pieces;
use super::tokens::{Inside, Spot, Token, tokens};
use super::{Libraries, Named, Offer, Offers, What};

const KEYWORDS: [&str; 14] = [
    "let", "const", "if", "else", "for", "in", "while", "switch", "return", "throw", "try", "catch", "true", "false",
];

/// The parameter of a function that takes a table of ranges.
const RANGES: &str = "ranges";

/// What may stand at a place of a script.
pub fn complete(source: &Source, mark: Mark, libraries: Libraries<'_>) -> Offers {
    let spot = Spot::at(source, mark);
    let offers = |offers: Vec<Offer>| Offers {
        from: spot.from,
        offers,
        named: None,
    };
    let place = about_place::place(&spot.tokens, spot.before);
    match (spot.inside, place) {
        (Inside::Comment, _) => offers(Vec::new()),
        (Inside::Quotes, Some(place)) => offers(words_of(&place)),
        (Inside::Quotes, None) => Offers {
            named: named(&spot),
            ..offers(in_quotes(&spot))
        },
        (Inside::Code, Some(place)) => offers(in_about(&place)),
        (Inside::Code, None) => offers(in_code(&spot, libraries)),
    }
}

fn in_code(spot: &Spot<'_>, libraries: Libraries<'_>) -> Vec<Offer> {
    let is = |count: usize, sign: char| spot.back(count).is_some_and(|token| token.is(sign));
    if is(0, ':') && is(1, ':') {
        let alias = spot.back(2).and_then(Token::word).unwrap_or("");
        let library = library_of(&spot.tokens, alias).and_then(libraries);
        return library.map_or_else(Vec::new, |library| functions_of(&tokens(&library)));
    }
    // `0..` and `..` make ranges; nothing belongs to a number.
    if is(0, '.') && !is(1, '.') {
        let end = spot.before - if is(1, '?') { 2 } else { 1 };
        let pieces = Pieces::of(spot);
        return members(pieces.sort_before(end), spot);
    }
    if let Some(keys) = range_keys(spot) {
        return keys.map(quoted_where_needed).collect();
    }
    let declares = spot.back(0).and_then(Token::word);
    if matches!(declares, Some("let" | "fn" | "const" | "for")) {
        return Vec::new();
    }
    by_themselves(spot)
}

/// What a value has; everything that something has where nobody knows what it is.
fn members(owner: Sort, spot: &Spot<'_>) -> Vec<Offer> {
    match owner {
        Sort::Options => return options(spot),
        Sort::Row => {
            let mut columns = columns(spot);
            columns.extend(entries_of(|entry| of_owner(entry, owner)));
            return columns;
        }
        _ => {}
    }
    let known = owner != Sort::Any;
    entries_of(|entry| {
        if known {
            of_owner(entry, owner)
        } else {
            is_member(entry)
        }
    })
}

fn is_member(entry: &Entry) -> bool {
    matches!(entry.form, Form::Property | Form::Method)
}

fn of_owner(entry: &Entry, owner: Sort) -> bool {
    is_member(entry) && belongs(entry, owner)
}

/// Entries as offers, each name once.
fn entries_of(wanted: impl Fn(&Entry) -> bool) -> Vec<Offer> {
    let mut found: Vec<Offer> = Vec::new();
    for entry in entries().iter().filter(|entry| wanted(entry)) {
        if found.iter().all(|known| known.name != entry.name) {
            found.push(of_entry(entry));
        }
    }
    found
}

fn of_entry(entry: &Entry) -> Offer {
    Offer {
        name: entry.name.to_owned(),
        what: match entry.form {
            Form::Property => What::Property,
            Form::Method => What::Method,
            Form::Function => What::Function,
            Form::Operator | Form::Index | Form::Global => What::Name,
        },
        shape: format!("{} -> {}", entry.signature(), entry.returns.word()),
        about: entry.about.to_owned(),
    }
}

fn options(spot: &Spot<'_>) -> Vec<Offer> {
    let declared = about_place::declared(&spot.tokens);
    let of_options = declared
        .iter()
        .filter(|one| one.path.first().is_some_and(|key| key == "options"));
    let mut found: Vec<Offer> = Vec::new();
    for one in of_options {
        match one.path.as_slice() {
            [_, name] => found.push(Offer::plain(name, What::Property)),
            [_, name, key] => {
                let told = found.iter_mut().find(|offer| offer.name == *name);
                match (told, key.as_str()) {
                    (Some(offer), "help") => one.value.trim_matches('"').clone_into(&mut offer.about),
                    (Some(offer), key) => {
                        let comma = if offer.shape.is_empty() { "" } else { ", " };
                        offer.shape = format!("{}{comma}{key}: {}", offer.shape, one.value);
                    }
                    (None, _) => {}
                }
            }
            _ => {}
        }
    }
    found
}

/// Columns of the declared tables.
fn columns(spot: &Spot<'_>) -> Vec<Offer> {
    let declared = about_place::declared(&spot.tokens);
    let tables = declared
        .iter()
        .filter(|one| one.path.len() == 2 && one.path[0] == "tables");
    let columns = tables.flat_map(|table| table.value.split('"').skip(1).step_by(2));
    columns
        .map(|column| {
            let (name, kind) = column.split_once(':').unwrap_or((column, "text"));
            Offer {
                shape: kind.trim().to_owned(),
                ..Offer::plain(name.trim(), What::Property)
            }
        })
        .collect()
}

/// Names in sight, functions, words of the language.
fn by_themselves(spot: &Spot<'_>) -> Vec<Offer> {
    let all = &spot.tokens;
    let mut found: Vec<Offer> = Vec::new();
    let here = (0..spot.before).rev();
    for index in here {
        let made = made_before(all, index);
        found.extend(made.map(|name| Offer::plain(name, What::Name)));
        if all[index].is_word("fn") {
            break;
        }
    }
    let constants = all.windows(2).filter(|two| two[0].is_word("const"));
    found.extend(
        constants
            .filter_map(|two| two[1].word())
            .map(|name| Offer::plain(name, What::Name)),
    );
    found.extend(aliases(all).map(|(alias, name)| Offer {
        shape: name.to_owned(),
        ..Offer::plain(alias, What::Library)
    }));
    found.extend(functions_of(all));
    found.extend(entries_of(|entry| matches!(entry.form, Form::Function | Form::Global)));
    found.extend(KEYWORDS.map(|word| Offer::plain(word, What::Keyword)));
    let mut seen = std::collections::HashSet::new();
    found.retain(|offer| seen.insert(offer.name.clone()));
    found
}

/// The name that is made at an index: by `let`, `for`, a function's or a closure's head.
fn made_before(all: &[Token], index: usize) -> Option<&str> {
    let name = all[index].word()?;
    let before = index.checked_sub(1).map(|before| &all[before])?;
    let after = all.get(index + 1);
    let follows = |signs: &[char]| after.is_some_and(|token| signs.iter().any(|sign| token.is(*sign)));
    let made = before.is_word("let") || before.is_word("for");
    let in_closure = before.is('|') && follows(&['|', ',']);
    let in_head = (before.is('(') || before.is(',')) && follows(&[',', ')']) && is_head(all, index);
    (made || in_closure || in_head).then_some(name)
}

/// Whether the brackets around an index are those of `fn name(...)`.
fn is_head(all: &[Token], index: usize) -> bool {
    let open = (0..index).rev().find(|index| all[*index].is('('));
    open.and_then(|open| open.checked_sub(2))
        .is_some_and(|start| all[start].is_word("fn"))
}

/// The functions of a text.
fn functions_of(all: &[Token]) -> Vec<Offer> {
    let heads = (0..all.len()).filter(|index| all[*index].is_word("fn"));
    heads
        .filter_map(|index| {
            let name = all.get(index + 1)?.word()?;
            let words = all.iter().skip(index + 3).take_while(|token| !token.is(')'));
            let parameters: Vec<&str> = words.filter_map(Token::word).collect();
            Some(Offer {
                shape: format!("{name}({})", parameters.join(", ")),
                ..Offer::plain(name, What::Function)
            })
        })
        .filter(|offer| !offer.name.starts_with("test_"))
        .collect()
}

/// The libraries that a text imports: what each is called, and its name.
pub(super) fn aliases(all: &[Token]) -> impl Iterator<Item = (&str, &str)> {
    all.windows(4)
        .filter(|four| four[0].is_word("import") && four[2].is_word("as"))
        .filter_map(|four| Some((four[3].word()?, four[1].text()?)))
}

pub(super) fn library_of<'a>(all: &'a [Token], alias: &str) -> Option<&'a str> {
    aliases(all).find(|known| known.0 == alias).map(|known| known.1)
}

fn in_about(place: &AboutPlace) -> Vec<Offer> {
    let keys: &[AboutKey] = match place.path.as_slice() {
        [] if place.key => &ABOUT_KEYS,
        [first, _] if place.key && first == "options" => &OPTION_KEYS,
        _ => &[],
    };
    if place.key {
        return keys.iter().map(of_key).collect();
    }
    let quoted = |offer: Offer| Offer {
        name: format!("\"{}\"", offer.name),
        ..offer
    };
    let words = words_of(place).into_iter().map(quoted);
    let example = ABOUT_KEYS.iter().find(|key| [key.name] == place.path.as_slice());
    let example = example.map(|key| Offer::plain(key.example, What::Word));
    let mut found: Vec<Offer> = words.collect();
    if found.is_empty() {
        found.extend(example);
    }
    found
}

fn of_key(key: &AboutKey) -> Offer {
    Offer {
        name: key.name.to_owned(),
        what: What::Key,
        shape: format!("{}: {}", key.name, key.example),
        about: key.about.to_owned(),
    }
}

/// The words that a text in `ABOUT` may be.
fn words_of(place: &AboutPlace) -> Vec<Offer> {
    let words: Vec<&str> = match place.path.first().map(String::as_str) {
        Some("kind") => {
            let of_kind = |kind: Kind| Offer {
                about: kind.about().to_owned(),
                ..Offer::plain(kind.word(), What::Word)
            };
            return Kind::all().map(of_kind).collect();
        }
        Some("uses") => USES.to_vec(),
        Some("atmospheres") => ATMOSPHERES.to_vec(),
        Some("needs") => vec!["pieces"],
        Some("only_with") => crate::only_with::words().to_vec(),
        _ => Vec::new(),
    };
    words.into_iter().map(|word| Offer::plain(word, What::Word)).collect()
}

/// `option["..."]`, `u["..."]` and keys of ranges.
fn in_quotes(spot: &Spot<'_>) -> Vec<Offer> {
    match range_keys(spot) {
        Some(keys) => keys.map(|name| Offer::plain(name, What::Key)).collect(),
        None => options_in_brackets(spot),
    }
}

/// What a range can be about, where a key stands of a table that is handed over as ranges:
/// `within(u, #{ ... })`.
fn range_keys(spot: &Spot<'_>) -> Option<impl Iterator<Item = &'static str>> {
    let all = &spot.tokens;
    let is_key = spot.back(0).is_some_and(|token| token.is('{') || token.is(','));
    let (table, _) = around(all, spot.before).filter(|_| is_key)?;
    let hash = table
        .checked_sub(1)
        .filter(|hash| all[table].is('{') && all[*hash].is('#'))?;
    let (open, place) = around(all, hash)?;
    let name = all.get(open.checked_sub(1)?)?.word().filter(|_| all[open].is('('))?;
    let takes_ranges = |entry: &Entry| {
        let parameter = entry.parameters.split(',').map(str::trim).nth(place);
        entry.form == Form::Function && entry.name == name && parameter == Some(RANGES)
    };
    entries().iter().any(takes_ranges).then(Subject::names)
}

/// `"SiO2:Al2O3"` is no word: as a key it goes in quotes.
fn quoted_where_needed(name: &str) -> Offer {
    let plain = name.chars().all(|sign| sign.is_alphanumeric() || sign == '_');
    let name = if plain { name.to_owned() } else { format!("\"{name}\"") };
    Offer::plain(name, What::Key)
}

/// `option["..."]` and `u["..."]`.
fn options_in_brackets(spot: &Spot<'_>) -> Vec<Offer> {
    if !spot.back(0).is_some_and(|token| token.is('[')) {
        return Vec::new();
    }
    match Pieces::of(spot).sort_before(spot.before - 1) {
        owner @ (Sort::Options | Sort::Oxides) => members(owner, spot),
        _ => Vec::new(),
    }
}

/// The names of the studio that a text in quotes may be.
pub(super) fn named(spot: &Spot<'_>) -> Option<Named> {
    let before = spot.back(0)?;
    if before.is_word("import") {
        return Some(Named::Libraries);
    }
    if before.is('[') {
        let owner = Pieces::of(spot).sort_before(spot.before - 1);
        return matches!(owner, Sort::Parts | Sort::Materials).then_some(Named::Materials);
    }
    // The bracket of the call that it is handed to, and which value it is there.
    let (open, place) = around(&spot.tokens, spot.before)?;
    let method = spot.tokens.get(open.checked_sub(1)?)?.word()?;
    let dotted = open.checked_sub(2).is_some_and(|dot| spot.tokens[dot].is('.'));
    if !spot.tokens[open].is('(') || !dotted {
        return None;
    }
    let owner = Pieces::of(spot).sort_before(open - 2);
    handed_to(owner, method, place)
}

/// The bracket around what stands before an index, and how many values of it come before.
fn around(all: &[Token], before: usize) -> Option<(usize, usize)> {
    let (mut depth, mut place) = (0_usize, 0_usize);
    for index in (0..before).rev() {
        match all[index].sign() {
            Some(')' | ']' | '}') => depth += 1,
            Some('(' | '[' | '{') if depth == 0 => return Some((index, place)),
            Some('(' | '[' | '{') => depth -= 1,
            Some(',') if depth == 0 => place += 1,
            Some(';') if depth == 0 => return None,
            _ => {}
        }
    }
    None
}

fn handed_to(owner: Sort, method: &str, place: usize) -> Option<Named> {
    let of_name = |entry: &&Entry| entry.form == Form::Method && entry.name == method;
    let mut methods = entries().iter().filter(of_name);
    let entry = methods.find(|entry| owner == Sort::Any || belongs(entry, owner))?;
    let parameter = entry.parameters.split(',').map(str::trim).nth(place)?;
    match (entry.owner, parameter) {
        (_, "material") | (Sort::Glaze, "out" | "with") | (Sort::Materials, "name") => Some(Named::Materials),
        (Sort::Studio, "name") if method == "clay" => Some(Named::Clays),
        (Sort::Studio, "name") if method == "glaze" => Some(Named::Glazes),
        (_, "clay") => Some(Named::Clays),
        _ => None,
    }
}
