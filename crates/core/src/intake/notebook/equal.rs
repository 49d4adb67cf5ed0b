//! `equal parts feldspar, chalk and flint`.

use super::amount::Amount;
use super::doubt::Doubt;
use super::lex::{Lexed, Token};
use super::name::name;
use super::split::Splitter;
use super::unit::Unit;

impl Splitter<'_> {
    /// Reads a line of materials in equal parts as one part of each.
    pub(super) fn equal_parts(&mut self, number: usize, tokens: &[Lexed], whole: &[char]) -> bool {
        let word = |at: usize| match tokens.get(at).map(|lexed| &lexed.token) {
            Some(Token::Word(word)) => word.to_lowercase(),
            _ => String::new(),
        };
        let what = word(1);
        if word(0) != "equal" || !matches!(what.as_str(), "parts" | "weights" | "amounts" | "quantities") {
            return false;
        }
        let start = 2 + usize::from(word(2) == "of");
        let parting = |lexed: &Lexed| {
            matches!(
                &lexed.token,
                Token::Comma | Token::Plus | Token::Semicolon | Token::Stop
            ) || matches!(&lexed.token, Token::Word(word) if word.eq_ignore_ascii_case("and"))
        };
        for piece in tokens[start..].split(parting) {
            let (Some(first), Some(last)) = (piece.first(), piece.last()) else {
                continue;
            };
            let text: String = whole[first.start..last.end.min(whole.len())].iter().collect();
            let amount = Amount {
                value: 1.0,
                high: None,
                unit: Unit::Parts,
                doubts: Vec::new(),
                decimal_comma: false,
                or_else: None,
                written: "1 part".to_owned(),
            };
            let mut entry = self.entry(number, &text, &text, name(&text, self.library), Some(amount));
            entry.doubts.push(Doubt::EqualParts(what.clone()));
            self.page.entries.push(entry);
        }
        true
    }
}
