//! A call as it was typed, read as it was meant: quotes and dashes that an editor or a
//! phone put in place of the plain ones; and the call with the quotes that a name of
//! several words needs.

use std::ffi::{OsStr, OsString};

use clap::Command;
use glost_chemistry::read::folded;
use glost_studio::Workplace;

/// Quotes that open, each with those that may close it.
const QUOTES: [(char, &[char]); 6] = [
    ('\u{201c}', &['\u{201d}', '\u{201c}']),
    ('\u{201d}', &['\u{201d}']),
    ('\u{201e}', &['\u{201c}', '\u{201d}']),
    ('\u{ab}', &['\u{bb}']),
    ('\u{2018}', &['\u{2019}', '\u{2018}']),
    ('\u{201a}', &['\u{2018}', '\u{2019}']),
];
/// Dashes that stand for one or two hyphens before an option's name.
const DASHES: [char; 4] = ['\u{2010}', '\u{2013}', '\u{2014}', '\u{2212}'];
/// Calls longer than this are not tried with quotes.
const MOST_WORDS: usize = 16;

/// The words of a call with curly quotes taken as quotes and dashes as hyphens.
pub(crate) fn as_meant(words: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut meant: Vec<OsString> = Vec::new();
    let mut open: Option<(String, &[char])> = None;
    for word in words {
        let Some(text) = word.to_str() else {
            meant.push(word);
            continue;
        };
        if let Some((said, closing)) = open.take() {
            let said = format!("{said} {text}");
            match said.strip_suffix(closing) {
                Some(whole) => meant.push(whole.into()),
                None => open = Some((said, closing)),
            }
            continue;
        }
        let text = hyphens(text);
        match opened(&text) {
            Some((said, closing)) => match said.strip_suffix(closing) {
                Some(whole) => meant.push(whole.into()),
                None => open = Some((said, closing)),
            },
            None => meant.push(text.into()),
        }
    }
    // Never closed: then it was no quote.
    meant.extend(
        open.into_iter()
            .flat_map(|(said, _)| said.split(' ').map(OsString::from).collect::<Vec<_>>()),
    );
    meant
}

/// `–dry` and `—dry` as `--dry`.
fn hyphens(text: &str) -> String {
    let bare = text.trim_start_matches(DASHES).trim_start_matches('-');
    let dashed = text.starts_with(DASHES) || text.starts_with('-') && text[1..].starts_with(DASHES);
    let is_option = dashed && bare.starts_with(|sign: char| sign.is_ascii_lowercase());
    if !is_option {
        return text.to_owned();
    }
    // One letter is an option of one hyphen.
    let hyphens = if bare.chars().count() == 1 { "-" } else { "--" };
    format!("{hyphens}{bare}")
}

/// A word that begins with a quote, or with `--option=` and a quote: without the quote,
/// with the signs that close it.
fn opened(text: &str) -> Option<(String, &'static [char])> {
    let (before, said) = match text.split_once('=') {
        Some((option, value))
            if option.starts_with("--") || option.chars().all(|sign| sign.is_alphanumeric() || "._".contains(sign)) =>
        {
            (format!("{option}="), value)
        }
        _ => (String::new(), text),
    };
    let quote = said.chars().next()?;
    let (_, closing) = QUOTES.iter().find(|(open, _)| *open == quote)?;
    Some((format!("{before}{}", &said[quote.len_utf8()..]), closing))
}

/// The call that was meant where a name of several words stands without its quotes: the
/// same words, some of them joined, that can be read; a name that is known goes first.
pub(crate) fn with_quotes(command: &Command, words: &[OsString]) -> Option<String> {
    if words.len() > MOST_WORDS {
        return None;
    }
    let words: Vec<&str> = words.iter().map(|word| word.to_str()).collect::<Option<_>>()?;
    let reads = |call: &[String]| command.clone().try_get_matches_from(call).is_ok();
    let known = known_names();
    let is_known = |name: &str| known.contains(&folded(name));
    let mut fitting: Vec<(Vec<String>, usize)> = Vec::new();
    for spans in spans(&words) {
        let call = joined(&words, &spans);
        let named = spans
            .iter()
            .filter(|(from, to)| is_known(&words[*from..=*to].join(" ")))
            .count();
        let worth = named * 10 + 9_usize.saturating_sub(spans.len());
        // Trying is dear: a call that can't be the best isn't tried.
        if fitting.iter().all(|(_, best)| worth > *best) && reads(&call) {
            fitting.push((call, worth));
        }
    }
    let (call, _) = fitting.into_iter().max_by_key(|(_, worth)| *worth)?;
    let to_a_shell = |sign: char| sign.is_whitespace() || "\"'&|<>;()$`*?#".contains(sign);
    let words = call.iter().skip(1).map(String::as_str);
    Some(as_call(words, to_a_shell))
}

/// Runs of bare words that may be one name: one run, else two; later and longer ones first.
fn spans(words: &[&str]) -> Vec<Vec<(usize, usize)>> {
    let bare = |index: usize| !words[index].starts_with('-');
    let mut runs = Vec::new();
    for from in (2..words.len()).rev() {
        let to = (from..words.len()).take_while(|index| bare(*index)).last();
        runs.extend((from + 1..=to.unwrap_or(from)).rev().map(|to| (from, to)));
    }
    let pairs = runs.iter().flat_map(|second| {
        let first = runs.iter().filter(|first| first.1 < second.0);
        first.map(|first| vec![*first, *second])
    });
    runs.iter().map(|run| vec![*run]).chain(pairs).collect()
}

fn joined(words: &[&str], spans: &[(usize, usize)]) -> Vec<String> {
    let mut call = Vec::new();
    let mut index = 0;
    while index < words.len() {
        let end = spans.iter().find(|span| span.0 == index).map_or(index, |span| span.1);
        call.push(words[index..=end].join(" "));
        index = end + 1;
    }
    call
}

/// A call as it can be typed again: words that hold one of these signs, and empty ones, stand
/// in quotes.
pub(crate) fn as_call<'a>(words: impl Iterator<Item = &'a str>, in_quotes: impl Fn(char) -> bool) -> String {
    let mut call = "glost".to_owned();
    for word in words {
        call.push(' ');
        if word.is_empty() || word.contains(&in_quotes) {
            call.extend(["\"", &word.replace('"', "\\\""), "\""]);
        } else {
            call.push_str(word);
        }
    }
    call
}

/// Names of what can be seen from here; none where it can't be told.
fn known_names() -> Vec<String> {
    let Ok(here) = std::env::current_dir() else {
        return Vec::new();
    };
    let Ok(workplace) = Workplace::open(None, &[], &here) else {
        return Vec::new();
    };
    let (studio, _) = workplace.studio();
    let glazes = studio.glazes.iter().map(|glaze| folded(&glaze.name.text));
    let clays = studio.clays.iter().map(|clay| folded(&clay.name));
    let materials = studio.library.iter().map(|material| folded(&material.name));
    glazes.chain(clays).chain(materials).collect()
}

/// Whether a word of the call asks for JSON.
pub(crate) fn asks_for_json<T: AsRef<OsStr>>(words: &[T]) -> bool {
    let words: Vec<&OsStr> = words.iter().map(AsRef::as_ref).collect();
    words.iter().any(|word| *word == "--format=json")
        || words.windows(2).any(|pair| pair[0] == "--format" && pair[1] == "json")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meant(words: &[&str]) -> Vec<String> {
        let words = as_meant(words.iter().map(OsString::from));
        words
            .into_iter()
            .map(|word| word.to_string_lossy().into_owned())
            .collect()
    }

    #[test]
    fn curly_quotes_and_dashes_are_read_as_meant() {
        let plain = ["glost", "weigh", "Lamplight clear", "--dry", "1 kg"];
        assert_eq!(
            meant(&["glost", "weigh", "“Lamplight", "clear”", "—dry", "„1", "kg“"]),
            plain
        );
        assert_eq!(
            meant(&["glost", "weigh", "‘Lamplight", "clear’", "–dry", "1 kg"]),
            plain
        );
        assert_eq!(
            meant(&["glost", "note", "--text=“it", "ran”"]),
            ["glost", "note", "--text=it ran"]
        );
        assert_eq!(
            meant(&["glost", "set", "x", "price=“2", "EUR/kg”"]),
            ["glost", "set", "x", "price=2 EUR/kg"]
        );
        for as_they_are in [["the potter’s clear", "–5"], ["“never", "closed"], ["a – b", "—"]] {
            let shown = meant(&as_they_are);
            assert_eq!(shown.join(" ").replace('“', ""), as_they_are.join(" ").replace('“', ""));
        }
    }
}
