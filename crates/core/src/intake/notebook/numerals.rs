//! Numbers in words, and fractions that may be two numbers.

use super::doubt::Doubt;
use super::lex::Token;

/// `5/6` may mean five or six.
pub(super) fn odd_fraction(written: &str) -> Option<Doubt> {
    let (above, below) = written.split_once('/')?;
    let usual = matches!(below.trim(), "2" | "3" | "4" | "8" | "16" | "32");
    let above = above.rsplit([' ', '-', '–']).next().unwrap_or(above);
    (!usual).then(|| Doubt::OddFraction {
        written: written.to_owned(),
        above: above.to_owned(),
        below: below.to_owned(),
    })
}

/// `half`, `quarter`.
pub(super) fn fraction_word(word: &str) -> Option<f64> {
    Some(match word {
        "half" => 0.5,
        "quarter" => 0.25,
        "third" => 1.0 / 3.0,
        "eighth" => 0.125,
        _ => return None,
    })
}

/// `one`, `twenty`.
pub(super) fn number_word(word: &str) -> Option<f64> {
    const WORDS: [&str; 13] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen",
    ];
    let tens = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    if let Some(at) = WORDS.iter().position(|known| *known == word) {
        return Some(at as f64 + 1.0);
    }
    if word == "fifteen" {
        return Some(15.0);
    }
    if word == "hundred" {
        return Some(100.0);
    }
    tens.iter()
        .position(|known| *known == word)
        .map(|at| (at as f64 + 2.0) * 10.0)
}

/// Whether a token is a number in words.
pub(super) fn is_number_word(token: &Token) -> bool {
    matches!(token, Token::Word(word) if number_word(&word.to_lowercase()).is_some())
}
