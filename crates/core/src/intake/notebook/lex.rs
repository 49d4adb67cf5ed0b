//! A line of a page as tokens with their places.

use glost_chemistry::read::folded;

/// A piece of a line.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    /// A word, as written.
    Word(String),
    /// A number.
    Number(Number),
    /// `%`
    Percent,
    /// `+`
    Plus,
    /// `=`
    Equals,
    /// `,` that is no decimal comma.
    Comma,
    /// A full stop after a word or at the end of a sentence.
    Stop,
    /// `;`
    Semicolon,
    /// `:`
    Colon,
    /// `?`
    Question,
}

/// A number as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// The upper end of `2-3`.
    pub(super) high: Option<f64>,
    /// The text.
    pub(super) written: String,
    /// A comma was read as a decimal one.
    pub(super) decimal_comma: bool,
    /// `1,000` or `1.000` could also be this.
    pub(super) or_else: Option<f64>,
}

/// A token with the characters it covers.
#[derive(Debug, Clone)]
pub(super) struct Lexed {
    pub(super) token: Token,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Names that hold a digit or a comma, longest first, folded: they are kept whole.
pub(super) type OddNames = Vec<(String, String)>;

struct Lexer<'a> {
    signs: &'a [char],
    at: usize,
    found: Vec<Lexed>,
}

/// The tokens of a line's characters.
pub(super) fn lex(signs: &[char], odd_names: &OddNames) -> Vec<Lexed> {
    let mut lexer = Lexer {
        signs,
        at: 0,
        found: Vec::new(),
    };
    while lexer.at < signs.len() {
        lexer.step(odd_names);
    }
    lexer.found
}

impl Lexer<'_> {
    fn peek(&self, ahead: usize) -> Option<char> {
        self.signs.get(self.at + ahead).copied()
    }

    fn push(&mut self, token: Token, start: usize) {
        let end = self.at;
        self.found.push(Lexed { token, start, end });
    }

    fn single(&mut self, token: Token) {
        let start = self.at;
        self.at += 1;
        self.push(token, start);
    }

    fn step(&mut self, odd_names: &OddNames) {
        let Some(sign) = self.peek(0) else { return };
        let after_word = self.at > 0 && self.signs[self.at - 1].is_alphanumeric();
        if !after_word && let Some((length, name)) = self.odd_name(odd_names) {
            let start = self.at;
            self.at += length;
            return self.push(Token::Word(name), start);
        }
        let next_digit = self.peek(1).is_some_and(|next| next.is_ascii_digit());
        match sign {
            '%' => self.single(Token::Percent),
            '+' => self.single(Token::Plus),
            '=' => self.single(Token::Equals),
            ';' => self.single(Token::Semicolon),
            ':' => self.single(Token::Colon),
            '?' => self.single(Token::Question),
            ',' | '|' => self.single(Token::Comma),
            '.' if !next_digit || after_word => self.stop(),
            '/' if self.spaced_slash() => self.single(Token::Comma),
            '&' => self.word_of(1, "and"),
            '×' => self.word_of(1, "x"),
            '#' if self.after_number() => self.number_sign(),
            '~' | '≈' => self.word_of(1, "about"),
            _ if sign.is_ascii_digit() || fraction(sign).is_some() || (sign == '.' && next_digit) => self.number(),
            _ if sign.is_alphabetic() => self.word(),
            _ => self.at += 1,
        }
    }

    fn after_number(&self) -> bool {
        let last = self.found.last();
        last.is_some_and(|last| last.end == self.at && matches!(last.token, Token::Number(_)))
    }

    /// `200#` is a sieve, `2#` pounds.
    fn number_sign(&mut self) {
        let sieve =
            matches!(self.found.last().map(|last| &last.token), Some(Token::Number(number)) if number.value >= 30.0);
        self.word_of(1, if sieve { "mesh" } else { "#" });
    }

    /// ` / ` between entries, and no fraction.
    fn spaced_slash(&self) -> bool {
        let space = |sign: Option<&char>| sign.is_some_and(|sign| sign.is_whitespace());
        self.at > 0 && space(self.signs.get(self.at - 1)) && space(self.signs.get(self.at + 1))
    }

    fn word_of(&mut self, length: usize, word: &str) {
        let start = self.at;
        self.at += length;
        self.push(Token::Word(word.to_owned()), start);
    }

    /// One full stop; a run of them is a leader and means nothing.
    fn stop(&mut self) {
        let start = self.at;
        while self.peek(0) == Some('.') {
            self.at += 1;
        }
        if self.at - start == 1 {
            self.push(Token::Stop, start);
        }
    }

    fn odd_name(&self, names: &OddNames) -> Option<(usize, String)> {
        let rest: String = self.signs[self.at..]
            .iter()
            .map(|sign| sign.to_lowercase().next().unwrap_or(*sign))
            .collect();
        names.iter().find_map(|(lower, name)| {
            let length = lower.chars().count();
            let ends = self
                .signs
                .get(self.at + length)
                .is_none_or(|next| !next.is_alphanumeric());
            (ends && rest.starts_with(lower.as_str())).then(|| (length, name.clone()))
        })
    }

    fn word(&mut self) {
        let start = self.at;
        while let Some(sign) = self.peek(0) {
            let inside = matches!(sign, '\'' | '’') && self.peek(1).is_some_and(char::is_alphabetic);
            let digit = sign.is_ascii_digit() && !self.is_unit_so_far(start);
            if !(sign.is_alphabetic() || digit || inside) {
                break;
            }
            self.at += 1;
        }
        let text: String = self.signs[start..self.at].iter().collect();
        self.push(Token::Word(text), start);
    }

    /// `lb` of `2 lb3oz`: a unit right after a number ends before the next digit.
    fn is_unit_so_far(&self, start: usize) -> bool {
        let word: String = self.signs[start..self.at].iter().collect();
        let after_number = matches!(self.found.last(), Some(last) if matches!(last.token, Token::Number(_)));
        after_number && matches!(folded(&word).as_str(), "lb" | "lbs" | "kg" | "oz" | "g")
    }

    fn number(&mut self) {
        let start = self.at;
        let mut number = self.plain_number();
        self.high_end(&mut number);
        number.written = self.signs[start..self.at].iter().collect();
        self.push(Token::Number(number), start);
    }

    fn digits(&mut self) -> String {
        let start = self.at;
        while self.peek(0).is_some_and(|sign| sign.is_ascii_digit()) {
            self.at += 1;
        }
        self.signs[start..self.at].iter().collect()
    }

    /// Digits with a decimal sign and a fraction: `12`, `0,8`, `5 3/4`, `2-1/4`, `1½`, `½`.
    fn plain_number(&mut self) -> Number {
        let start = self.at;
        let whole = self.digits();
        let mut number = Number {
            value: whole.parse().unwrap_or(0.0),
            high: None,
            written: String::new(),
            decimal_comma: false,
            or_else: None,
        };
        if let Some(sign @ ('.' | ',')) = self.peek(0)
            && self.peek(1).is_some_and(|next| next.is_ascii_digit())
        {
            self.at += 1;
            let decimals = self.digits();
            let typed: String = self.signs[start..self.at].iter().collect();
            number.value = typed.replace(',', ".").parse().unwrap_or(0.0);
            number.decimal_comma = sign == ',';
            if decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
                number.or_else = typed.replace(sign, "").parse().ok();
            }
            return number;
        }
        if let Some(part) = self.peek(0).and_then(fraction) {
            self.at += 1;
            number.value += part;
            return number;
        }
        // `3/4`, or a date such as 12/3/74, which is left to be no fraction.
        if let Some((above_below, length)) = self.slash_fraction(self.at - whole.len()) {
            self.at = self.at - whole.len() + length;
            number.value = above_below;
            return number;
        }
        if self.peek(0) == Some('/') {
            self.at = start + whole.len();
            return number;
        }
        let gap = self.signs[self.at..].iter().take_while(|sign| **sign == ' ').count();
        let joined = usize::from(gap == 0 && matches!(self.peek(0), Some('-' | '–')));
        if let Some(part) = self.peek(gap + joined).and_then(fraction) {
            self.at += gap + joined + 1;
            number.value += part;
        } else if let Some((part, length)) = self.slash_fraction(self.at + gap + joined)
            && part < 1.0
        {
            self.at += gap + joined + length;
            number.value += part;
        }
        number
    }

    /// `3/4` at a place, with its length.
    fn slash_fraction(&self, at: usize) -> Option<(f64, usize)> {
        let digits = |from: usize| -> String {
            let rest = self.signs.get(from..).unwrap_or(&[]);
            rest.iter().take_while(|sign| sign.is_ascii_digit()).collect()
        };
        let above = digits(at);
        let slash = at + above.len();
        if above.is_empty() || !matches!(self.signs.get(slash), Some('/' | '⁄')) {
            return None;
        }
        let below = digits(slash + 1);
        let end = slash + 1 + below.len();
        let dated = matches!(self.signs.get(end), Some('/' | '.' | '-'))
            && self.signs.get(end + 1).is_some_and(|next| next.is_ascii_digit());
        let (above, below): (f64, f64) = (above.parse().ok()?, below.parse().ok()?);
        (below > 0.0 && !dated).then_some((above / below, end - at))
    }

    /// `2-3`, `2 to 3`: a range.
    fn high_end(&mut self, number: &mut Number) {
        let gap = |from: usize| {
            self.signs
                .get(from..)
                .unwrap_or(&[])
                .iter()
                .take_while(|sign| **sign == ' ')
                .count()
        };
        let before = gap(self.at);
        let dash = match self.signs.get(self.at + before) {
            Some('-' | '–' | '—') => 1,
            Some('t') if self.signs.get(self.at + before + 1) == Some(&'o') => 2,
            _ => return,
        };
        let from = self.at + before + dash;
        let from = from + gap(from);
        if !self.signs.get(from).is_some_and(char::is_ascii_digit) {
            return;
        }
        let back = self.at;
        self.at = from;
        let high = self.plain_number();
        if high.value > number.value {
            number.high = Some(high.value);
        } else {
            self.at = back;
        }
    }
}

/// The value of a fraction written as one sign.
fn fraction(sign: char) -> Option<f64> {
    Some(match sign {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅕' => 0.2,
        '⅙' => 1.0 / 6.0,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slash_between_blanks_parts_two_entries() {
        let parted = |text: &str| {
            let signs: Vec<char> = text.chars().collect();
            lex(&signs, &Vec::new())
                .iter()
                .filter(|lexed| lexed.token == Token::Comma)
                .count()
        };
        assert_eq!(parted("silica 30 / kaolin 20"), 1);
        for one in ["1/2 cup", "silica/ kaolin", "silica /kaolin", "/ kaolin"] {
            assert_eq!(parted(one), 0, "{one}");
        }
    }
}
