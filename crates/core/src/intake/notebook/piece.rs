//! One piece of a line into an entry: its markers, its amount, its name.

use glost_chemistry::read::folded;

use super::amount::{Amount, Item};
use super::doubt::Doubt;
use super::line_kind::Section;
use super::name::{Named, exact, name};
use super::pieces::{groups, is_joiner, is_total};
use super::reading::RemarkKind;
use super::split::{Entry, Splitter, Total};
use super::unit::Unit;

impl Splitter<'_> {
    /// Reads one piece of a line.
    pub(super) fn piece(&mut self, number: usize, text: &str, found: Vec<Item>, asides: &[String]) {
        let equals = found.contains(&Item::Equals);
        let (found, plus, alternative) = self.markers(found);
        let amounts: Vec<&Amount> = found
            .iter()
            .filter_map(|item| match item {
                Item::Amount(amount) => Some(amount),
                _ => None,
            })
            .collect();
        let names = groups(&found);
        let all: String = names.iter().map(|group| group.join(" ")).collect::<Vec<_>>().join(" ");
        let Some(first) = amounts.first() else {
            return self.no_amount(number, text, &all);
        };
        let nameless = names.iter().all(Vec::is_empty);
        if nameless && matches!(first.unit, Unit::Volume(_)) {
            let doubt = Doubt::NoName;
            let named = Named::Unknown {
                doubt,
                suggestions: Vec::new(),
            };
            let entry = self.entry(number, text, text, named, Some((*first).clone()));
            return self.page.entries.push(entry);
        }
        if nameless || is_total(&all) {
            self.page.totals.push(Total {
                said: is_total(&all) || equals,
                line: number,
                amount: (*first).clone(),
                after: self.page.entries.len(),
            });
            return self.remark(number, text, RemarkKind::Total);
        }
        let lower = folded(&all);
        if lower == "water" || lower.starts_with("water ") || lower.ends_with(" water") {
            return self.remark(number, text, RemarkKind::Water);
        }
        if amounts.len() > 1 && self.pairs(number, text, &found) {
            return;
        }
        if is_of_every_hundred(&lower) && amounts.len() == 1 && first.value == 100.0 {
            self.section = Section::Additions;
            return self.remark(number, text, RemarkKind::Note);
        }
        let (written, named, unused) = self.choose(&names, &all);
        let (named, asides) = self.with_asides(&written, named, asides);
        let mut entry = self.entry(number, text, &written, named, Some((*first).clone()));
        for further in amounts.iter().skip(1) {
            entry.doubts.push(Doubt::SecondAmount(further.written.clone()));
        }
        entry.doubts.extend(unused.map(Doubt::NotUsed));
        let told = asides
            .iter()
            .filter(|aside| aside.chars().any(char::is_alphanumeric) && !aside.contains("mesh"));
        entry.doubts.extend(told.map(|aside| Doubt::NotUsed(aside.to_string())));
        if plus {
            entry.section = Section::Additions;
            entry.plus = true;
        }
        entry.alternative = alternative;
        entry.dose = entry.amount.as_ref().is_some_and(|amount| amount.unit != Unit::Percent) && is_dose(&found);
        self.page.entries.push(entry);
    }

    /// `feldspar (potash)`: what stands in brackets may belong to the name.
    fn with_asides(&self, written: &str, named: Named, asides: &[String]) -> (Named, Vec<String>) {
        for (at, aside) in asides.iter().enumerate() {
            let bare = aside.trim_matches(['(', ')', '[', ']', ' ']);
            let wordy = !bare.is_empty() && !bare.chars().any(|sign| sign.is_ascii_digit());
            let forms = [format!("{bare} {written}"), format!("{written} {bare}")];
            if let Some(found @ Named::Known(..)) = forms
                .iter()
                .filter(|_| wordy)
                .find_map(|form| exact(form, self.library))
            {
                let rest = asides.iter().enumerate().filter(|(other, _)| *other != at);
                return (found, rest.map(|(_, aside)| aside.clone()).collect());
            }
        }
        (named, asides.to_vec())
    }

    /// Words behind the last entry of a line, or a line without an amount.
    fn no_amount(&mut self, number: usize, text: &str, words: &str) {
        let same_line = self.page.entries.last().is_some_and(|entry| entry.line == number);
        if !same_line || words.is_empty() {
            return;
        }
        if let Some(named @ Named::Known(..)) = exact(words, self.library) {
            let entry = self.entry(number, text, words, named, None);
            self.page.entries.push(entry);
        } else if let Some(entry) = self.page.entries.last_mut() {
            entry.doubts.push(Doubt::NotUsed(text.trim().to_owned()));
        }
    }

    pub(super) fn entry(&self, line: usize, text: &str, written: &str, named: Named, amount: Option<Amount>) -> Entry {
        Entry {
            line,
            text: text.to_owned(),
            written_name: written.to_owned(),
            named,
            amount,
            section: self.section,
            plus: false,
            alternative: false,
            second: None,
            dose: false,
            doubts: Vec::new(),
        }
    }

    /// Takes `+`, `then`, `add`, `plus`, `or` off the start.
    fn markers(&mut self, found: Vec<Item>) -> (Vec<Item>, bool, bool) {
        let mut plus = false;
        let mut alternative = false;
        let mut rest = found.as_slice();
        while let Some(item) = rest.first() {
            match item {
                Item::Plus => plus = true,
                Item::Break | Item::Equals => {}
                Item::Word(word) => match word.to_lowercase().as_str() {
                    "then" | "plus" | "add" | "also" | "adding" => self.section = Section::Additions,
                    "or" => alternative = true,
                    "and" | "the" | "with" => {}
                    _ => break,
                },
                Item::Amount(_) => break,
            }
            rest = &rest[1..];
        }
        // `to this add`, `for blue add`.
        let add = rest
            .iter()
            .take(5)
            .position(|item| matches!(item, Item::Word(word) if word.eq_ignore_ascii_case("add")));
        let opens =
            matches!(rest.first(), Some(Item::Word(word)) if matches!(word.to_lowercase().as_str(), "to" | "for"));
        if let (Some(add), true) = (add, opens) {
            self.section = Section::Additions;
            rest = &rest[add + 1..];
        }
        (rest.to_vec(), plus, alternative)
    }

    /// The group of words that names a material: before the amount, after it, or all.
    fn choose(&self, names: &[Vec<String>], all: &str) -> (String, Named, Option<String>) {
        let texts: Vec<String> = names.iter().map(|group| group.join(" ")).collect();
        let known = texts
            .iter()
            .position(|text| matches!(exact(text, self.library), Some(Named::Known(..))))
            .or_else(|| texts.iter().position(|text| exact(text, self.library).is_some()));
        let chosen = known.or_else(|| {
            texts
                .iter()
                .position(|text| matches!(name(text, self.library), Named::Known(..)))
        });
        if let Some(at) = chosen {
            let rest: Vec<&str> = texts
                .iter()
                .enumerate()
                .filter(|(other, text)| *other != at && !text.is_empty() && !is_joiner(text))
                .map(|(_, text)| text.as_str())
                .collect();
            let unused = (!rest.is_empty()).then(|| rest.join(" "));
            return (texts[at].clone(), name(&texts[at], self.library), unused);
        }
        if let Some(found @ Named::Known(..)) = exact(all, self.library) {
            return (all.to_owned(), found, None);
        }
        let written = texts.iter().find(|text| !text.is_empty()).cloned().unwrap_or_default();
        let named = name(&written, self.library);
        let rest: Vec<&str> = texts
            .iter()
            .filter(|text| **text != written && !text.is_empty())
            .map(String::as_str)
            .collect();
        let unused = (!rest.is_empty()).then(|| rest.join(" "));
        (written, named, unused)
    }

    /// `chalk 12 flint 20` without a comma: as many names as amounts, each known.
    fn pairs(&mut self, number: usize, text: &str, found: &[Item]) -> bool {
        let names: Vec<String> = groups(found)
            .into_iter()
            .map(|group| group.join(" "))
            .filter(|name| !name.is_empty() && !is_joiner(name))
            .collect();
        let amounts: Vec<Amount> = found
            .iter()
            .filter_map(|item| match item {
                Item::Amount(amount) => Some(amount.clone()),
                _ => None,
            })
            .collect();
        let known: Vec<Named> = names.iter().filter_map(|name| exact(name, self.library)).collect();
        if names.len() != amounts.len() || known.len() != amounts.len() {
            return false;
        }
        for ((written, named), amount) in names.iter().zip(known).zip(amounts) {
            let entry = self.entry(number, text, written, named, Some(amount));
            self.page.entries.push(entry);
        }
        true
    }
}

/// `to every 100 parts` before what is added.
fn is_of_every_hundred(words: &str) -> bool {
    const AROUND: [&str; 10] = ["to", "for", "every", "each", "the", "base", "dry", "glaze", "of", "on"];
    !words.is_empty() && words.split(' ').all(|word| AROUND.contains(&word))
}

/// `5 g per kg`, `1 tsp to every pound`; `0.5 per 100` is a percentage.
fn is_dose(found: &[Item]) -> bool {
    let word = |at: usize| match found.get(at) {
        Some(Item::Word(word)) => word.to_lowercase(),
        _ => String::new(),
    };
    (0..found.len()).any(|at| {
        let per = word(at) == "per"
            || matches!(word(at).as_str(), "to" | "for") && matches!(word(at + 1).as_str(), "every" | "each");
        let hundred = found[at..]
            .iter()
            .any(|item| matches!(item, Item::Amount(amount) if amount.unit == Unit::Bare && amount.value == 100.0));
        per && !hundred
    })
}
