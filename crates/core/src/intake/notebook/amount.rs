//! Amounts among the words of an entry.

use glost_chemistry::quantity::{GRAMS_PER_OUNCE, GRAMS_PER_POUND, Millilitres};

use super::doubt::Doubt;
use super::lex::{Lexed, Token};
use super::numerals::{fraction_word, number_word, odd_fraction};
use super::unit::{Unit, is_qualifier, unit_at};

/// An amount as read.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Amount {
    /// How many of the unit; for weights, in grams.
    pub(super) value: f64,
    /// The upper end of a range.
    pub(super) high: Option<f64>,
    pub(super) unit: Unit,
    pub(super) doubts: Vec<Doubt>,
    /// A comma in it was read as a decimal one.
    pub(super) decimal_comma: bool,
    /// `1,000`: what else it could be.
    pub(super) or_else: Option<f64>,
    /// Its text.
    pub(super) written: String,
}

/// A piece of an entry.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    /// An amount.
    Amount(Amount),
    /// A word of a name, or between names and amounts.
    Word(String),
    /// A comma or colon between words.
    Break,
    /// `+`
    Plus,
    /// `=`
    Equals,
}

struct Grouper<'a> {
    tokens: &'a [Lexed],
    cup: Millilitres,
    at: usize,
}

/// Joins numbers, fractions in words and units into amounts.
pub(super) fn items(tokens: &[Lexed], cup: Millilitres) -> Vec<Item> {
    let mut grouper = Grouper { tokens, cup, at: 0 };
    let mut found: Vec<Item> = Vec::new();
    let mut about = None;
    while let Some(lexed) = tokens.get(grouper.at) {
        if let Some(mut amount) = grouper.amount() {
            amount.doubts.extend(about.take());
            join_or_push(&mut found, amount);
            continue;
        }
        grouper.at += 1;
        match &lexed.token {
            Token::Word(word) if word.eq_ignore_ascii_case("x") && grouper.beside_a_number() => {}
            Token::Word(word) if is_about(word) || grouper.is_circa(word) => {
                about = Some(Doubt::About(word.clone()));
            }
            Token::Word(word) => found.push(Item::Word(word.clone())),
            Token::Plus => found.push(Item::Plus),
            Token::Equals => found.push(Item::Equals),
            Token::Comma | Token::Colon | Token::Stop | Token::Semicolon => found.push(Item::Break),
            Token::Question => {
                if let Some(Item::Amount(amount)) = found.last_mut() {
                    amount.doubts.push(Doubt::QuestionMark);
                } else {
                    about = Some(Doubt::QuestionMark);
                }
            }
            Token::Percent | Token::Number(_) => {}
        }
    }
    if let (Some(said), Some(Item::Amount(amount))) = (
        about,
        found.iter_mut().rev().find(|item| matches!(item, Item::Amount(_))),
    ) {
        amount.doubts.push(said);
    }
    found
}

fn is_about(word: &str) -> bool {
    matches!(
        word.to_lowercase().as_str(),
        "about" | "approx" | "approximately" | "roughly" | "ca" | "circa" | "nearly"
    )
}

/// `3 oz` right after `2 lb` belongs to it.
fn join_or_push(found: &mut Vec<Item>, amount: Amount) {
    let before = found
        .iter()
        .rposition(|item| !matches!(item, Item::Break) && !matches!(item, Item::Word(word) if word == "and"));
    let found_length = found.len();
    if let Some(Item::Amount(first)) = before.and_then(|at| found.get_mut(at)) {
        let smaller = match (&first.unit, &amount.unit) {
            (Unit::Weight(large), Unit::Weight(small)) => small < large,
            _ => false,
        };
        let ounces = matches!(first.unit, Unit::Weight(large) if large == GRAMS_PER_POUND)
            && amount.unit == Unit::Bare
            && amount.value < 16.0
            && before.is_some_and(|at| at + 1 == found_length);
        if ounces && amount.high.is_none() && first.high.is_none() {
            first.value += amount.value * GRAMS_PER_OUNCE;
            first.doubts.push(Doubt::OuncesAfterPounds(amount.written.clone()));
            first.written.push(' ');
            first.written.push_str(&amount.written);
            return;
        }
        if smaller && first.high.is_none() && amount.high.is_none() {
            first.value += amount.value;
            first.unit = amount.unit;
            first.doubts.extend(amount.doubts);
            first.decimal_comma |= amount.decimal_comma;
            first.written.push(' ');
            first.written.push_str(&amount.written);
            found.truncate(before.map_or(0, |at| at + 1));
            return;
        }
    }
    found.push(Item::Amount(amount));
}

impl Grouper<'_> {
    fn word(&self, ahead: usize) -> Option<String> {
        match self.tokens.get(self.at + ahead).map(|lexed| &lexed.token) {
            Some(Token::Word(word)) => Some(word.to_lowercase()),
            _ => None,
        }
    }

    /// The words from `ahead` on, at most three, as written.
    fn words(&self, ahead: usize) -> Vec<&str> {
        let mut words = Vec::new();
        for lexed in self.tokens.iter().skip(self.at + ahead).take(3) {
            match &lexed.token {
                Token::Word(word) => words.push(word.as_str()),
                _ => break,
            }
        }
        words
    }

    /// The `c` of `c. 10`, just taken.
    fn is_circa(&self, word: &str) -> bool {
        let token = |ahead: usize| self.tokens.get(self.at + ahead).map(|lexed| &lexed.token);
        word == "c" && token(0) == Some(&Token::Stop) && matches!(token(1), Some(Token::Number(_)))
    }

    /// Whether the token just taken stands next to a number.
    fn beside_a_number(&self) -> bool {
        let number = |at: Option<usize>| {
            let lexed = at.and_then(|at| self.tokens.get(at));
            matches!(lexed.map(|lexed| &lexed.token), Some(Token::Number(_)))
        };
        number(Some(self.at)) || number(self.at.checked_sub(2))
    }

    /// Takes an amount here, if there is one.
    fn amount(&mut self) -> Option<Amount> {
        let start = self.at;
        let mut amount = self.quantity().or_else(|| self.unmeasured())?;
        self.skip_mesh(&mut amount, start)?;
        let written = self.tokens.get(start..self.at).unwrap_or(&[]);
        amount.written = words_of(written);
        while self.word(0).as_deref() == Some("of") {
            self.at += 1;
        }
        Some(amount)
    }

    /// `200 mesh` is no amount.
    fn skip_mesh(&mut self, amount: &mut Amount, start: usize) -> Option<()> {
        let next = self.word(0).unwrap_or_default();
        if amount.unit == Unit::Bare && matches!(next.as_str(), "mesh" | "micron" | "microns" | "um" | "grit") {
            self.at = start;
            return None;
        }
        Some(())
    }

    fn quantity(&mut self) -> Option<Amount> {
        let start = self.at;
        let Some((mut amount, took)) = self.number() else {
            return self.article();
        };
        self.at += took;
        let mut ahead = 0;
        let mut heaped = None;
        while let Some(word) = self.word(ahead).filter(|word| is_qualifier(word)) {
            if !matches!(word.as_str(), "level" | "full") {
                heaped = Some(word);
            }
            ahead += 1;
        }
        let article = usize::from(ahead == 0 && matches!(self.word(0).as_deref(), Some("a" | "an")));
        let of =
            usize::from(ahead == 0 && self.word(0).as_deref() == Some("of") && self.word(1).as_deref() == Some("a"));
        if matches!(self.tokens.get(self.at).map(|lexed| &lexed.token), Some(Token::Percent)) {
            self.at += 1;
            amount.unit = Unit::Percent;
            return Some(amount);
        }
        match unit_at(&self.words(ahead + article + 2 * of), self.cup) {
            Some(found) => {
                self.at += ahead + article + 2 * of + found.words;
                self.skip_stop_after_unit();
                self.with_unit(&mut amount, found.unit);
                amount.doubts.extend(found.doubt);
                if let (Some(word), Unit::Volume(_)) = (heaped, &amount.unit) {
                    amount.doubts.push(Doubt::HeapedMeasure(word));
                }
                self.and_a_half(&mut amount);
            }
            // `half a` without a unit is a number only where a name follows at once.
            None if self.at == start => return None,
            None => {}
        }
        Some(amount)
    }

    /// The full stop of `oz.` belongs to the unit where an entry goes on.
    fn skip_stop_after_unit(&mut self) {
        let here = self.tokens.get(self.at).map(|lexed| &lexed.token);
        let next = self.tokens.get(self.at + 1).map(|lexed| &lexed.token);
        if here == Some(&Token::Stop) && matches!(next, Some(Token::Number(_))) {
            self.at += 1;
        }
    }

    fn with_unit(&self, amount: &mut Amount, unit: Unit) {
        if let Unit::Weight(grams) = unit {
            amount.value *= grams;
            amount.high = amount.high.map(|high| high * grams);
            amount.or_else = amount.or_else.map(|other| other * grams);
        }
        amount.unit = unit;
    }

    /// `a pound and a half`.
    fn and_a_half(&mut self, amount: &mut Amount) {
        let Unit::Weight(grams) = amount.unit else { return };
        if self.word(0).as_deref() == Some("and")
            && self.word(1).as_deref() == Some("a")
            && let Some(part) = self.word(2).and_then(|word| fraction_word(&word))
            && unit_at(&self.words(3), self.cup).is_none()
        {
            amount.value += part * grams;
            self.at += 3;
        }
    }

    /// A number in digits or words, and how many tokens it took.
    fn number(&self) -> Option<(Amount, usize)> {
        let mut amount = Amount {
            value: 0.0,
            high: None,
            unit: Unit::Bare,
            doubts: Vec::new(),
            decimal_comma: false,
            or_else: None,
            written: String::new(),
        };
        let (value, took) = match &self.tokens.get(self.at)?.token {
            Token::Number(number) => {
                amount.high = number.high;
                amount.decimal_comma = number.decimal_comma;
                amount.or_else = number.or_else;
                amount.doubts.extend(odd_fraction(&number.written));
                (number.value, 1)
            }
            Token::Word(word) => {
                let word = word.to_lowercase();
                if let Some(part) = fraction_word(&word) {
                    amount.value = part;
                    return Some((amount, 1));
                }
                if matches!(word.as_str(), "a" | "an") {
                    amount.value = fraction_word(&self.word(1)?)?;
                    return Some((amount, 2));
                }
                (number_word(&word)?, 1)
            }
            _ => return None,
        };
        amount.value = value;
        // `three quarters`, `one and a half`, `2 x 500`.
        let next = self.word(took).unwrap_or_default();
        if next == "x"
            && let Some(Token::Number(times)) = self.tokens.get(self.at + took + 1).map(|lexed| &lexed.token)
            && amount.high.is_none()
            && times.high.is_none()
        {
            amount.value *= times.value;
            amount.doubts.push(Doubt::Times {
                count: value,
                of: times.written.clone(),
            });
            return Some((amount, took + 2));
        }
        if let Some(part) = next.strip_suffix('s').and_then(fraction_word) {
            amount.value *= part;
            return Some((amount, took + 1));
        }
        if next == "and"
            && let Some(Token::Number(part)) = self.tokens.get(self.at + took + 1).map(|lexed| &lexed.token)
            && part.value < 1.0
            && part.high.is_none()
            && amount.high.is_none()
            && amount.value.fract() == 0.0
            && part.written.contains(['/', '⁄', '½', '¼', '¾', '⅓', '⅔', '⅛'])
        {
            amount.value += part.value;
            return Some((amount, took + 2));
        }
        if next == "and"
            && self.word(took + 1).as_deref() == Some("a")
            && let Some(part) = self.word(took + 2).and_then(|word| fraction_word(&word))
        {
            amount.value += part;
            return Some((amount, took + 3));
        }
        Some((amount, took))
    }

    /// `a pound`, `a level tablespoon`: an article counts as one before a unit only.
    fn article(&mut self) -> Option<Amount> {
        if !matches!(self.word(0)?.as_str(), "a" | "an") {
            return None;
        }
        let mut ahead = 1;
        while self.word(ahead).is_some_and(|word| is_qualifier(&word)) {
            ahead += 1;
        }
        let found = unit_at(&self.words(ahead), self.cup)?;
        // A letter such as the A of `feldspar A g` is no article.
        if matches!(found.unit, Unit::Bare | Unit::Parts)
            || self.words(ahead).first().is_some_and(|word| word.len() < 2)
        {
            return None;
        }
        let mut amount = Amount {
            value: 1.0,
            high: None,
            unit: Unit::Bare,
            doubts: found.doubt.into_iter().collect(),
            decimal_comma: false,
            or_else: None,
            written: String::new(),
        };
        self.at += ahead + found.words;
        self.with_unit(&mut amount, found.unit);
        self.and_a_half(&mut amount);
        Some(amount)
    }

    /// `some salt`, `a little`.
    fn unmeasured(&mut self) -> Option<Amount> {
        let word = self.word(0)?;
        let ahead = usize::from(word == "a");
        if !matches!(self.word(ahead)?.as_str(), "some" | "little" | "bit" | "few") {
            return None;
        }
        self.at += ahead + 1;
        Some(Amount {
            value: 1.0,
            high: None,
            unit: Unit::Volume(None),
            doubts: Vec::new(),
            decimal_comma: false,
            or_else: None,
            written: String::new(),
        })
    }
}

fn words_of(tokens: &[Lexed]) -> String {
    let mut text = String::new();
    for lexed in tokens {
        let word = match &lexed.token {
            Token::Word(word) => word.clone(),
            Token::Number(number) => number.written.clone(),
            Token::Percent => "%".to_owned(),
            _ => continue,
        };
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(&word);
    }
    text
}
