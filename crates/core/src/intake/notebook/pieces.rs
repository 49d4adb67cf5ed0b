//! Where entries end, and which words of one belong together.

use glost_chemistry::read::folded;

use super::amount::Item;
use super::lex::{Lexed, Token};
use super::numerals::is_number_word;
use super::unit::{Unit, unit_at};
use glost_chemistry::quantity::Millilitres;

pub(super) fn words_of(tokens: &[Lexed]) -> Vec<String> {
    tokens
        .iter()
        .filter_map(|lexed| match &lexed.token {
            Token::Word(word) => Some(word.to_lowercase()),
            _ => None,
        })
        .collect()
}

/// The words between amounts, `n + 1` groups for `n` amounts. A comma inside stays.
pub(super) fn groups(found: &[Item]) -> Vec<Vec<String>> {
    let mut groups: Vec<Vec<String>> = vec![Vec::new()];
    for (at, item) in found.iter().enumerate() {
        let Some(group) = groups.last_mut() else { break };
        match item {
            Item::Amount(_) => groups.push(Vec::new()),
            Item::Word(word) => group.push(word.clone()),
            Item::Break => {
                let inside = matches!(found.get(at + 1), Some(Item::Word(_)));
                if let (Some(last), true) = (group.last_mut(), inside) {
                    last.push(',');
                }
            }
            Item::Plus | Item::Equals => {}
        }
    }
    groups
}

/// An amount and a name: an entry that can end here.
pub(super) fn is_whole(found: &[Item]) -> bool {
    let amount = found.iter().any(|item| matches!(item, Item::Amount(_)));
    let word = found
        .iter()
        .any(|item| matches!(item, Item::Word(word) if !is_joiner(word)));
    amount && word
}

/// `3 oz` alone after `feldspar 2 lb`: it belongs to the entry before.
pub(super) fn goes_on(before: Option<&[Item]>, found: &[Item]) -> bool {
    let last = before.and_then(<[Item]>::last);
    let mut amounts = found.iter().filter(|item| !matches!(item, Item::Break));
    match (last, amounts.next(), amounts.next()) {
        (Some(Item::Amount(large)), Some(Item::Amount(small)), None) => match (&large.unit, &small.unit) {
            (Unit::Weight(large), Unit::Weight(small)) => small < large,
            _ => false,
        },
        _ => false,
    }
}

pub(super) fn is_joiner(word: &str) -> bool {
    matches!(
        word.to_lowercase().as_str(),
        "and" | "or" | "then" | "plus" | "add" | "also" | "of" | "the" | "with" | "to" | "for" | ""
    )
}

pub(super) fn is_total(words: &str) -> bool {
    let lower = folded(words);
    let first = lower.split(' ').next().unwrap_or("");
    matches!(first, "total" | "totals" | "sum" | "tot" | "altogether") || lower.ends_with(" total")
}

/// Whether a token can part two entries.
pub(super) fn parts_entries(tokens: &[Lexed], at: usize) -> bool {
    let word = |ahead: usize| match tokens.get(at + ahead).map(|lexed| &lexed.token) {
        Some(Token::Word(word)) => word.to_lowercase(),
        _ => String::new(),
    };
    match &tokens[at].token {
        Token::Comma | Token::Stop | Token::Semicolon | Token::Plus | Token::Equals => true,
        Token::Word(_) => match word(0).as_str() {
            "and" => {
                let fraction = word(1) == "a" && matches!(word(2).as_str(), "half" | "quarter" | "third");
                let unit = unit_at(&[word(3).as_str()], Millilitres::METRIC_CUP).is_some();
                let before = at.checked_sub(1).and_then(|before| tokens.get(before));
                let counted = matches!(before.map(|lexed| &lexed.token), Some(Token::Number(_)));
                let counted = counted || before.is_some_and(|lexed| is_number_word(&lexed.token));
                !fraction || (unit && !counted)
            }
            "or" | "then" | "plus" | "add" | "also" => true,
            _ => false,
        },
        _ => false,
    }
}

/// The glaze's name out of a title line.
pub(super) fn title_of(text: &str, fired: Option<&[String]>) -> String {
    let bare = text
        .trim()
        .trim_start_matches(['#', '*', ' '])
        .trim_end_matches([':', '.', ' ']);
    let bare = match bare.split_once(':') {
        Some((label, rest)) if matches!(folded(label).as_str(), "glaze" | "name" | "recipe" | "title") => rest.trim(),
        _ => bare,
    };
    match fired {
        // What is left of it once cone and atmosphere are taken out.
        Some(words) => {
            let kept: Vec<&str> = bare
                .split_whitespace()
                .take_while(|word| {
                    let plain = word.trim_matches(|sign: char| !sign.is_alphanumeric()).to_lowercase();
                    words.contains(&plain) || plain.is_empty()
                })
                .collect();
            kept.join(" ").trim_end_matches([',', ' ', '-', '–', '(']).to_owned()
        }
        None => bare.to_owned(),
    }
}
