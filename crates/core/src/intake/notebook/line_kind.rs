//! What a line of a page is before its materials are looked for: bullets and
//! numbering taken off, remarks, headings, dates and firings told apart.

use super::lex::{Lexed, Token};
use glost_chemistry::glaze::Atmosphere;

/// Where on the page materials stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Section {
    /// Nothing said.
    Unsaid,
    /// Under `Base`.
    Base,
    /// Under `Additions`, or after `then`, `plus`, `add`.
    Additions,
}

const BASE_HEADINGS: [&str; 9] = [
    "base",
    "base glaze",
    "the base",
    "basic recipe",
    "recipe",
    "ingredients",
    "materials",
    "batch",
    "base recipe",
];
const ADDITION_HEADINGS: [&str; 22] = [
    "additions",
    "addition",
    "add",
    "plus",
    "then",
    "then add",
    "also",
    "also add",
    "to this add",
    "add to this",
    "to base add",
    "add to base",
    "on top",
    "colour",
    "color",
    "colours",
    "colors",
    "colourants",
    "colorants",
    "oxides",
    "opacifiers",
    "extras",
];
const INSTRUCTIONS: [&str; 32] = [
    "sieve", "apply", "fire", "fired", "fires", "firing", "soak", "hold", "dip", "spray", "brush", "grind", "leave",
    "keep", "test", "tested", "good", "nice", "note", "nb", "see", "from", "ask", "makes", "enough", "use", "pour",
    "stir", "let", "glazed", "thick", "thin",
];
const MONTHS: [&str; 21] = [
    "january",
    "february",
    "march",
    "april",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "jan",
    "feb",
    "mar",
    "apr",
    "jun",
    "jul",
    "aug",
    "sept",
    "oct",
    "nov",
];

/// The section that a heading opens.
pub(super) fn heading(words: &[String]) -> Option<Section> {
    let joined = words.join(" ");
    if BASE_HEADINGS.contains(&joined.as_str()) {
        return Some(Section::Base);
    }
    let last = words.last().map(String::as_str);
    let opens = ADDITION_HEADINGS.contains(&joined.as_str())
        || (words.len() <= 5 && last == Some("add"))
        || (words.first().map(String::as_str) == Some("for") && last == Some("plus"));
    opens.then_some(Section::Additions)
}

/// Whether a line starts like an instruction.
pub(super) fn is_instruction(words: &[String]) -> bool {
    words
        .first()
        .is_some_and(|first| INSTRUCTIONS.contains(&first.as_str()))
}

/// Whether a line is only a rule: `-----`, `====`.
pub(super) fn is_rule(signs: &[char]) -> bool {
    signs
        .iter()
        .all(|sign| sign.is_whitespace() || matches!(sign, '-' | '=' | '_' | '*' | '~' | '—' | '–' | '|' | '.'))
}

/// Blanks what is no part of an entry: bullets, tick boxes, numbering, dates,
/// comments. Places stay as they are.
pub(super) fn tidy(signs: &mut [char]) {
    lead(signs);
    let comment = signs.windows(2).position(|pair| pair == ['/', '/']);
    if let Some(at) = comment {
        signs[at..].fill(' ');
    }
    dates(signs);
}

fn lead(signs: &mut [char]) {
    let Some(mut at) = signs.iter().position(|sign| !sign.is_whitespace()) else {
        return;
    };
    while at < signs.len()
        && matches!(
            signs[at],
            '-' | '*' | '•' | '·' | '–' | '—' | '☐' | '□' | '✓' | '>' | '◦'
        )
    {
        signs[at] = ' ';
        at += signs[at..].iter().take_while(|sign| sign.is_whitespace()).count();
    }
    let rest: String = signs[at..].iter().take(3).collect();
    if matches!(rest.as_str(), "[ ]" | "[x]" | "[X]") {
        signs[at..at + 3].fill(' ');
        at += signs[at..].iter().take_while(|sign| sign.is_whitespace()).count();
    }
    let open = usize::from(signs.get(at) == Some(&'('));
    let digits = signs[at + open..]
        .iter()
        .take_while(|sign| sign.is_ascii_digit())
        .count();
    let end = at + open + digits;
    let letter = digits == 0 && open + end < signs.len() && signs.get(end).is_some_and(char::is_ascii_lowercase);
    let close = end + usize::from(letter);
    let closes = match signs.get(close) {
        Some(')') => true,
        Some('.') => open == 0 && !letter,
        _ => false,
    };
    let spaced = signs.get(close + 1).is_some_and(|sign| sign.is_whitespace());
    let amount_follows = signs
        .get(close + 1..)
        .unwrap_or(&[])
        .iter()
        .any(|sign| sign.is_ascii_digit() || "½¼¾⅓⅔⅛".contains(*sign))
        || signs
            .get(close + 1..)
            .unwrap_or(&[])
            .iter()
            .collect::<String>()
            .contains("half");
    if closes && spaced && amount_follows && (letter || (1..=2).contains(&digits)) {
        signs[at..=close].fill(' ');
    }
}

/// 12/3/1974, 1974-03-12, 12.3.74.
fn dates(signs: &mut [char]) {
    let mut at = 0;
    while at < signs.len() {
        let run = |from: usize| {
            signs[from.min(signs.len())..]
                .iter()
                .take_while(|sign| sign.is_ascii_digit())
                .count()
        };
        let first = run(at);
        if first == 0 {
            at += 1;
            continue;
        }
        let part = |from: usize| -> usize {
            match signs.get(from) {
                Some('/' | '.' | '-') => run(from + 1),
                _ => 0,
            }
        };
        let second = part(at + first);
        let third = if second > 0 { part(at + first + 1 + second) } else { 0 };
        let same = signs.get(at + first) == signs.get(at + first + 1 + second);
        if second > 0 && third >= 2 && same {
            let end = at + first + second + third + 2;
            signs[at..end].fill(' ');
            at = end;
        } else {
            at += first;
        }
    }
}

/// What a line says about the firing, its tokens taken out.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct FiringWords {
    pub(super) cone: Option<String>,
    pub(super) peak_celsius: Option<f64>,
    pub(super) atmosphere: Option<Atmosphere>,
}

/// Takes cones, temperatures, months and atmospheres out of a line.
pub(super) fn take_firing(tokens: &mut Vec<Lexed>) -> FiringWords {
    let mut said = FiringWords::default();
    let mut at = 0;
    while at < tokens.len() {
        let word = lower(tokens, at);
        let number = |at: usize| match tokens.get(at).map(|lexed| &lexed.token) {
            Some(Token::Number(number)) => Some(number.clone()),
            _ => None,
        };
        if matches!(word.as_str(), "cone" | "cones") {
            let skip = tokens
                .get(at + 1)
                .is_some_and(|next| matches!(next.token, Token::Stop | Token::Colon));
            let skip = usize::from(skip);
            if let Some(cone) = number(at + 1 + skip) {
                said.cone = Some(cone.written.clone());
                tokens.drain(at..=at + 1 + skip);
                continue;
            }
        } else if let Some(cone) = word.strip_prefix("cone").filter(|rest| rest.parse::<u8>().is_ok()) {
            said.cone = Some(cone.to_owned());
            tokens.remove(at);
            continue;
        } else if MONTHS.contains(&word.as_str()) || is_may(tokens, at) {
            let day = at > 0 && number(at - 1).is_some_and(|day| day.value <= 31.0);
            let year = number(at + 1).is_some();
            let from = at - usize::from(day);
            tokens.drain(from..=at + usize::from(year));
            at = from;
            continue;
        } else if let Some(peak) = number(at).filter(|peak| peak.value >= 500.0) {
            let skip = usize::from(matches!(lower(tokens, at + 1).as_str(), "deg" | "degrees" | "degree"));
            let unit = lower(tokens, at + 1 + skip);
            if matches!(unit.as_str(), "c" | "f" | "celsius" | "fahrenheit") {
                let fahrenheit = unit.starts_with('f');
                said.peak_celsius = Some(if fahrenheit {
                    (peak.value - 32.0) / 1.8
                } else {
                    peak.value
                });
                tokens.drain(at..=at + 1 + skip);
                continue;
            }
        }
        at += 1;
    }
    said.atmosphere = atmosphere(tokens);
    said
}

/// `3 May 1974`: the word alone is no month.
fn is_may(tokens: &[Lexed], at: usize) -> bool {
    let within = |at: Option<usize>, low: f64, high: f64| {
        let token = at.and_then(|at| tokens.get(at)).map(|lexed| &lexed.token);
        matches!(token, Some(Token::Number(number)) if (low..=high).contains(&number.value))
    };
    lower(tokens, at) == "may" && (within(at.checked_sub(1), 1.0, 31.0) || within(Some(at + 1), 1850.0, 2100.0))
}

fn atmosphere(tokens: &mut Vec<Lexed>) -> Option<Atmosphere> {
    let at = tokens
        .iter()
        .position(|lexed| matches!(&lexed.token, Token::Word(word) if is_atmosphere(word).is_some()))?;
    let found = match &tokens[at].token {
        Token::Word(word) => is_atmosphere(word),
        _ => None,
    };
    tokens.remove(at);
    found
}

fn is_atmosphere(word: &str) -> Option<Atmosphere> {
    match word.to_lowercase().as_str() {
        "oxidation" | "oxidising" | "oxidizing" => Some(Atmosphere::Oxidation),
        "reduction" | "reducing" => Some(Atmosphere::Reduction),
        _ => None,
    }
}

fn lower(tokens: &[Lexed], at: usize) -> String {
    match tokens.get(at).map(|lexed| &lexed.token) {
        Some(Token::Word(word)) => word.to_lowercase(),
        _ => String::new(),
    }
}

/// Whether a line without numbers only says the unit of a column; the unit's word.
pub(super) fn column_unit(words: &[String]) -> Option<String> {
    const AROUND: [&str; 18] = [
        "in",
        "all",
        "weights",
        "weight",
        "amounts",
        "amount",
        "by",
        "are",
        "and",
        "units",
        "material",
        "materials",
        "ingredient",
        "ingredients",
        "name",
        "dry",
        "the",
        "column",
    ];
    let units: Vec<&String> = words.iter().filter(|word| !AROUND.contains(&word.as_str())).collect();
    match units.as_slice() {
        [only] => Some((*only).clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_anywhere_in_a_line_is_no_amount() {
        let blanked = |text: &str| {
            let mut signs: Vec<char> = text.chars().collect();
            dates(&mut signs);
            signs.into_iter().collect::<String>()
        };
        for (line, without) in [
            ("mixed 12/3/1974 by hand", "mixed           by hand"),
            ("again on 1974-03-12", "again on           "),
            ("12.3.74 and 2.11.75", "        and        "),
        ] {
            assert_eq!(blanked(line), without);
        }
        for amount in ["add 1/2 cup", "12/3.74", "silica 12.5", "3-4 spoons", "parts 2/3/4"] {
            assert_eq!(blanked(amount), amount);
        }
    }
}
