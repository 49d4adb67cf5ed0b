//! A page's lines into entries: one amount and one name each.

use std::sync::Arc;

use glost_chemistry::glaze::GlazeNotes;
use glost_chemistry::material::{Library, Material};
use glost_chemistry::quantity::{Celsius, Millilitres};

use super::amount::{Amount, Item, items};
use super::doubt::Doubt;
use super::lex::{Lexed, OddNames, Token, lex};
use super::line_kind::{FiringWords, Section, column_unit, heading, is_instruction, is_rule, take_firing, tidy};
use super::name::{COLOURS, Named, exact};
use super::pieces::{goes_on, groups, is_joiner, is_whole, parts_entries, title_of, words_of};
use super::reading::{Remark, RemarkKind};
use super::unit::{Unit, unit_at};

/// One material with its amount, as far as it was read.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) line: usize,
    pub(super) text: String,
    pub(super) written_name: String,
    pub(super) named: Named,
    pub(super) amount: Option<Amount>,
    /// Said to be an addition: by its own `+`, by `then`, by a heading.
    pub(super) section: Section,
    /// By a `+` of its own.
    pub(super) plus: bool,
    /// Stands after `or`.
    pub(super) alternative: bool,
    /// So much per kilo, per pound, per batch.
    pub(super) dose: bool,
    /// Belongs to a second recipe, which starts on this line.
    pub(super) second: Option<usize>,
    pub(super) doubts: Vec<Doubt>,
}

impl Entry {
    pub(super) fn material(&self) -> Option<&Arc<Material>> {
        match &self.named {
            Named::Known(material, _) => Some(material),
            Named::Unknown { .. } => None,
        }
    }
}

/// A total on the page.
#[derive(Debug, Clone)]
pub(super) struct Total {
    pub(super) line: usize,
    pub(super) amount: Amount,
    /// Said by a word or an equals sign.
    pub(super) said: bool,
    /// How many entries stand before it.
    pub(super) after: usize,
}

/// A page in entries.
#[derive(Debug, Clone, Default)]
pub(super) struct Page {
    pub(super) entries: Vec<Entry>,
    pub(super) remarks: Vec<Remark>,
    pub(super) totals: Vec<Total>,
    pub(super) title: Option<String>,
    pub(super) about: GlazeNotes,
    /// The unit that a column's head gives.
    pub(super) column: Option<Unit>,
    pub(super) doubts: Vec<Doubt>,
    /// Labels such as `Blue`, `Green` before additions.
    pub(super) versions: Vec<String>,
    /// The first line that says cone, temperature or atmosphere.
    pub(super) fired_on: Option<usize>,
}

pub(super) struct Splitter<'a> {
    pub(super) library: &'a Library,
    pub(super) cup: Millilitres,
    pub(super) odd_names: OddNames,
    pub(super) section: Section,
    pub(super) page: Page,
}

/// Splits a page.
pub(super) fn split(lines: &[&str], library: &Library, cup: Millilitres) -> Page {
    let mut splitter = Splitter {
        library,
        cup,
        odd_names: odd_names(library),
        section: Section::Unsaid,
        page: Page::default(),
    };
    for (index, line) in lines.iter().enumerate() {
        splitter.line(index + 1, line);
    }
    splitter.page
}

/// Names that would fall apart: with a digit, a comma or `and` in them, or with
/// a word that looks like a unit or a times sign, such as `frit X`.
fn odd_names(library: &Library) -> OddNames {
    let mut names: OddNames = library
        .iter()
        .flat_map(|material| std::iter::once(&material.name).chain(&material.other_names))
        .filter(|name| name.chars().count() > 4 && name.contains(' '))
        .filter(|name| {
            let letter = |word: &str| word.chars().count() == 1 || unit_at(&[word], Millilitres::METRIC_CUP).is_some();
            name.contains([',', '+'])
                || name.contains(" and ")
                || name.chars().any(|sign| sign.is_ascii_digit())
                || name.split(' ').any(letter)
        })
        .map(|name| (name.to_lowercase(), name.clone()))
        .collect();
    names.sort_by_key(|(lower, _)| std::cmp::Reverse(lower.len()));
    names
}

impl Splitter<'_> {
    pub(super) fn remark(&mut self, line: usize, text: &str, kind: RemarkKind) {
        self.page.remarks.push(Remark {
            line,
            text: text.trim().to_owned(),
            kind,
        });
    }

    fn line(&mut self, number: usize, text: &str) {
        let whole: Vec<char> = text
            .replace(['\t', '\u{a0}', '\u{2009}', '\u{202f}'], " ")
            .replace('−', "-")
            .chars()
            .collect();
        let mut signs = whole.clone();
        if is_rule(&signs) {
            return;
        }
        if text.trim_start().starts_with(['#', '>']) || text.trim_start().starts_with("//") {
            return self.remark(number, text, RemarkKind::Note);
        }
        if text.trim_start().starts_with("~~") {
            self.page.doubts.push(Doubt::CrossedOut(number));
            return self.remark(number, text, RemarkKind::Note);
        }
        tidy(&mut signs);
        let asides = self.asides(&mut signs);
        let mut tokens = lex(&signs, &self.odd_names);
        let firing = take_firing(&mut tokens);
        let fired = firing != FiringWords::default();
        if fired {
            self.page.fired_on.get_or_insert(number);
        }
        self.note_firing(firing);
        let numbered = tokens.iter().any(|lexed| matches!(lexed.token, Token::Number(_)));
        let words = words_of(&tokens);
        let hundred = tokens.iter().all(|lexed| match &lexed.token {
            Token::Number(number) => number.value == 100.0,
            Token::Percent | Token::Plus => false,
            _ => true,
        });
        let opens = heading(&words).filter(|section| !numbered || hundred && *section == Section::Base);
        if let Some(section) = opens {
            self.section = section;
            return self.remark(number, text, RemarkKind::Heading);
        }
        let tokens = self.label(number, tokens, &whole);
        if !numbered && self.equal_parts(number, &tokens, &whole) {
            return;
        }
        if is_instruction(&words) && !self.mentions_a_material(&tokens) {
            return self.remark(number, text, RemarkKind::Note);
        }
        let before = self.page.entries.len() + self.page.totals.len() + self.page.remarks.len();
        self.segments(number, tokens, &whole, &asides);
        if self.page.entries.len() + self.page.totals.len() + self.page.remarks.len() == before {
            self.wordy_line(number, text, &words, fired);
        }
    }

    /// A line in which no amount was found.
    fn wordy_line(&mut self, number: usize, text: &str, words: &[String], fired: bool) {
        if let Some(unit) = column_unit(words) {
            let parts: Vec<&str> = vec![unit.as_str()];
            if let Some(found) = unit_at(&parts, self.cup)
                && matches!(found.unit, Unit::Weight(_) | Unit::Percent | Unit::Parts)
            {
                self.page.column = Some(found.unit);
                return self.remark(number, text, RemarkKind::Heading);
            }
        }
        let joined = words.join(" ");
        let first = self.page.entries.is_empty() && self.page.title.is_none();
        let plain_name = self.library.find(&joined).is_some();
        if first && !plain_name && !words.is_empty() && words.len() <= 8 && !is_instruction(words) {
            self.page.title = Some(title_of(text, fired.then_some(words)));
            return self.remark(number, text, RemarkKind::Title);
        }
        if let Some(named) = exact(&joined, self.library) {
            let entry = self.entry(number, text.trim(), &joined, named, None);
            self.page.entries.push(entry);
            return;
        }
        if !fired && let Some((written, named)) = self.material_first(words) {
            let mut entry = self.entry(number, text.trim(), &written, named, None);
            entry.doubts.push(Doubt::NoAmountRead);
            self.page.entries.push(entry);
            return;
        }
        self.version(words, text);
        let kind = if fired { RemarkKind::Firing } else { RemarkKind::Note };
        self.remark(number, text, kind);
    }

    /// `kaolin l0`: a short line that starts with a material's name.
    fn material_first(&self, words: &[String]) -> Option<(String, Named)> {
        if words.len() > 3 || is_instruction(words) {
            return None;
        }
        (1..words.len()).rev().find_map(|end| {
            let written = words[..end].join(" ");
            let named = exact(&written, self.library)?;
            matches!(named, Named::Known(..)).then_some((written, named))
        })
    }

    /// `Blue`, `Green:`: additions of several versions may follow.
    fn version(&mut self, words: &[String], text: &str) {
        if words.len() <= 2 && words.iter().any(|word| COLOURS.contains(&word.as_str())) {
            let label = text.trim().trim_end_matches([':', ' ']);
            self.page.versions.push(label.to_owned());
            if self.section == Section::Base {
                self.section = Section::Unsaid;
            }
        }
    }

    fn note_firing(&mut self, firing: FiringWords) {
        let about = &mut self.page.about;
        about.cone = about.cone.take().or(firing.cone);
        about.peak = about.peak.or(firing.peak_celsius.and_then(Celsius::new));
        about.atmosphere = about.atmosphere.take().or(firing.atmosphere);
    }

    /// Blanks what stands in brackets, unless the only amount does.
    fn asides(&self, signs: &mut [char]) -> Vec<(usize, String)> {
        let mut found = Vec::new();
        let mut blanked = signs.to_vec();
        let mut at = 0;
        while let Some(open) = blanked[at..]
            .iter()
            .position(|sign| matches!(sign, '(' | '['))
            .map(|open| open + at)
        {
            let close = blanked[open..]
                .iter()
                .position(|sign| matches!(sign, ')' | ']'))
                .map_or(blanked.len() - 1, |close| open + close);
            let inside = lex(&blanked[open..=close], &self.odd_names);
            let inner = items(&inside, self.cup);
            let names: Vec<String> = groups(&inner).into_iter().map(|group| group.join(" ")).collect();
            if is_whole(&inner) && names.iter().any(|name| exact(name, self.library).is_some()) {
                // An entry of its own.
                signs[open] = ';';
                signs[close] = ';';
                blanked[open] = ';';
                blanked[close] = ';';
            } else {
                found.push((open, blanked[open..=close].iter().collect::<String>()));
                blanked[open..=close].fill(' ');
            }
            at = close;
        }
        let has_amount = |signs: &[char]| {
            let tokens = lex(signs, &self.odd_names);
            let year = |amount: &Amount| amount.unit == Unit::Bare && (1850.0..2040.0).contains(&amount.value);
            items(&tokens, self.cup)
                .iter()
                .any(|item| matches!(item, Item::Amount(amount) if !year(amount)))
        };
        if found.is_empty() || (!has_amount(&blanked) && has_amount(signs)) {
            for sign in signs.iter_mut().filter(|sign| matches!(sign, '(' | ')' | '[' | ']')) {
                *sign = ' ';
            }
            return Vec::new();
        }
        signs.copy_from_slice(&blanked);
        found
    }

    /// `Base: ...`, `Blue: ...` before entries: the label taken off.
    fn label(&mut self, number: usize, mut tokens: Vec<Lexed>, whole: &[char]) -> Vec<Lexed> {
        let Some(colon) = tokens.iter().position(|lexed| lexed.token == Token::Colon) else {
            return tokens;
        };
        let words = words_of(&tokens[..colon]);
        let numbered = tokens[..colon]
            .iter()
            .any(|lexed| matches!(lexed.token, Token::Number(_)));
        let after = items(&tokens[colon + 1..], self.cup);
        if numbered || words.is_empty() || !is_whole(&after) {
            return tokens;
        }
        if exact(&words.join(" "), self.library).is_some() {
            return tokens;
        }
        let text: String = whole[tokens[0].start..tokens[colon].start].iter().collect();
        match heading(&words) {
            Some(section) => {
                self.section = section;
                self.remark(number, &text, RemarkKind::Heading);
            }
            None if self.page.title.is_none() && self.page.entries.is_empty() => {
                self.page.title = Some(text.trim().to_owned());
                self.remark(number, &text, RemarkKind::Title);
            }
            None => {
                self.version(&words, &text);
                self.remark(number, &text, RemarkKind::Note);
            }
        }
        tokens.split_off(colon + 1)
    }

    fn mentions_a_material(&self, tokens: &[Lexed]) -> bool {
        let found = items(tokens, self.cup);
        let names: Vec<String> = groups(&found).into_iter().map(|group| group.join(" ")).collect();
        is_whole(&found) && names.iter().any(|name| exact(name, self.library).is_some())
    }

    /// Cuts a line where an entry is whole, and reads each piece.
    fn segments(&mut self, number: usize, tokens: Vec<Lexed>, whole: &[char], asides: &[(usize, String)]) {
        let mut pieces: Vec<Vec<Lexed>> = vec![Vec::new()];
        for (at, lexed) in tokens.iter().enumerate() {
            let current = pieces.last().map_or(&[][..], Vec::as_slice);
            let found = items(current, self.cup);
            let before = pieces
                .len()
                .checked_sub(2)
                .map(|before| items(&pieces[before], self.cup));
            let cut = lexed.token == Token::Semicolon || parts_entries(&tokens, at) && is_whole(&found);
            if cut || (parts_entries(&tokens, at) && goes_on(before.as_deref(), &found)) {
                pieces.push(Vec::new());
            }
            if let Some(piece) = pieces.last_mut() {
                piece.push(lexed.clone());
            }
        }
        let mut joined: Vec<Vec<Lexed>> = Vec::new();
        for piece in pieces {
            let found = items(&piece, self.cup);
            let nameless = groups(&found)
                .iter()
                .all(|group| group.iter().all(|word| is_joiner(word)));
            let amount = found.iter().any(|item| matches!(item, Item::Amount(_)));
            let total = piece.iter().any(|lexed| lexed.token == Token::Equals);
            match joined.last_mut() {
                Some(last)
                    if nameless
                        && amount
                        && !total
                        && piece.first().is_some_and(|first| first.token != Token::Plus) =>
                {
                    last.extend(piece);
                }
                _ => joined.push(piece),
            }
        }
        for piece in joined {
            let (Some(first), Some(last)) = (piece.first(), piece.last()) else {
                continue;
            };
            let (start, end) = (first.start, last.end);
            let text: String = whole[start..end.min(whole.len())].iter().collect();
            let said: Vec<String> = asides
                .iter()
                .filter(|(at, _)| (start..=end + 1).contains(at))
                .map(|(_, aside)| aside.clone())
                .collect();
            self.piece(
                number,
                text.trim_matches([' ', ',', ';', '.', '|', '/', '(', ')']),
                items(&piece, self.cup),
                &said,
            );
        }
    }
}
