//! `glost fit`.

mod by_age;
mod picture;
mod placed;
mod ruler;
mod sentences;

use crate::words::age::age_words;
use glost_chemistry::diagnostic::Diagnostic;
use glost_core::evidence::window::{EvidenceLine, FitAnswer, LineByAge};
use glost_desk::fit::{Answer, NoneOf};
use glost_desk::lab::Brief;

use crate::Shown;
use crate::layout::{Align, Style, Table, assumed, capital, paragraph};
use crate::print::{File, Printed};
use crate::words::fit::why_not_words;
use crate::words::fit_said::fit_said;
use crate::words::laboratory::sentence;
use crate::words::notes::lines_words;

/// Reasons not to count notes that are listed in text.
const MOST_SET_ASIDE: usize = 8;
/// Glazes that one reason names.
const MOST_NAMED: usize = 4;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        FitPage::of(self).text(style)
    }

    fn printed(&self) -> Result<Printed, Diagnostic> {
        let Some(page) = &self.page else {
            return Ok(Printed::default());
        };
        Ok(Printed {
            files: vec![File {
                path: page.path.clone(),
                text: FitPage::of(self).file(page.format)?,
            }],
            said: format!("Page: {}\n", page.path.display()),
            ..Printed::default()
        })
    }
}

/// The first sentences of the answer: what was seen before what is computed.
pub(crate) fn headline_of(answer: &Answer) -> String {
    FitPage::of(answer).headline()
}

/// Whether a glaze fits a clay, for screens and paper.
#[derive(Debug, Clone)]
struct FitPage<'a> {
    answer: &'a FitAnswer,
    /// For comparing the glaze with others, 1e-6/K, 90 %.
    comparing: f64,
    none_of: Option<NoneOf>,
    by_age: Option<&'a LineByAge>,
    laboratory: Option<&'a Brief>,
}

impl<'a> FitPage<'a> {
    fn of(answer: &'a Answer) -> FitPage<'a> {
        FitPage {
            answer: &answer.fit,
            comparing: answer.comparing_plus_minus_90,
            none_of: answer.none_of,
            laboratory: answer.laboratory.as_ref(),
            by_age: answer.by_age.as_ref().filter(|by_age| !by_age.looks.is_empty()),
        }
    }
}

impl FitPage<'_> {
    /// For a terminal.
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&self.looked_at());
        if let Some(ruler) = self.ruler() {
            text.push_str(&ruler);
            text.push('\n');
        }
        let answer = self.answer;
        for sentence in self.where_it_lies() {
            text.push_str(&paragraph(&sentence, 0));
        }
        text.push('\n');
        for sentence in &answer.evidence.contradictions {
            text.push_str(&crate::layout::indented("These disagree: ", &fit_said(sentence)));
            text.push('\n');
        }
        text.push_str(&self.set_aside());
        if let Some(laboratory) = self.laboratory {
            text.push_str(&crate::layout::indented(
                "Laboratory: ",
                &capital(&sentence(laboratory)),
            ));
            text.push('\n');
        }
        text.push_str(&assumed(
            &self.answer.assumptions.iter().map(fit_said).collect::<Vec<_>>(),
        ));
        text.push('\n');
        for sentence in self.what_to_do() {
            text.push_str(&paragraph(&sentence, 2));
        }
        text
    }

    /// The glaze's own looks, one a line.
    fn looked_at(&self) -> String {
        let answer = self.answer;
        let own: Vec<&EvidenceLine> = answer
            .evidence
            .lines
            .iter()
            .filter(|line| line.why_not.is_none() && line.witness.is_some() && line.witness == answer.evidence.own)
            .collect();
        if own.is_empty() {
            return String::new();
        }
        let shivering = own.iter().any(|line| line.shivered.is_some());
        let mut align = vec![Align::Left, Align::Right, Align::Right];
        let mut head = vec!["Looked at", "pieces", "crazed"];
        if shivering {
            align.push(Align::Right);
            head.push("shivered");
        }
        align.extend([Align::Left, Align::Left]);
        head.extend(["age", ""]);
        let mut table = Table::new(&align);
        table.row(head);
        for line in own {
            let count = |count: Option<u32>| count.map_or_else(|| "-".to_owned(), |count| count.to_string());
            let batch = line
                .batch
                .as_ref()
                .map_or_else(String::new, |batch| format!(", batch {batch}"));
            let mut row = vec![
                shortened(&format!("{}{batch}", line.on), 30),
                count(line.pieces),
                count(line.crazed),
            ];
            if shivering {
                row.push(count(line.shivered));
            }
            row.push(line.age_days.map_or_else(|| "not said".to_owned(), age_words));
            let young = line
                .age_days
                .is_none_or(|days| days < answer.window.settings.tested_days);
            row.push(if young && line.crazed == Some(0) {
                "too young to say much".to_owned()
            } else {
                String::new()
            });
            table.row(row);
        }
        format!("{}\n", table.text())
    }

    /// Notes of this clay that aren't counted, and why.
    fn set_aside(&self) -> String {
        let mut reasons: Vec<(String, Vec<&EvidenceLine>)> = Vec::new();
        for line in self.answer.evidence.lines.iter() {
            let Some(why) = line.why_not.as_ref().map(why_not_words) else {
                continue;
            };
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, lines)) => lines.push(line),
                None => reasons.push((why, vec![line])),
            }
        }
        let mut text = String::new();
        for (why, lines) in reasons.iter().take(MOST_SET_ASIDE) {
            let lead = if text.is_empty() {
                "Not counted: "
            } else {
                "             "
            };
            text.push_str(&crate::layout::indented(lead, &format!("{}: {why}", which(lines))));
        }
        if reasons.len() > MOST_SET_ASIDE {
            let more: usize = reasons.iter().skip(MOST_SET_ASIDE).map(|(_, lines)| lines.len()).sum();
            text.push_str(&format!("             and {more} more\n"));
        }
        if !text.is_empty() {
            text.push('\n');
        }
        text
    }
}

/// `line 4 (Clear, 2026-11-20)`, `lines 4, 5 and 9 (Clear, Honeyjar amber)`.
fn which(lines: &[&EvidenceLine]) -> String {
    if let [one] = lines {
        return format!("line {} ({}, {})", one.line, one.glaze, one.on);
    }
    let numbers: Vec<usize> = lines.iter().map(|line| line.line).collect();
    let mut names: Vec<&str> = lines.iter().map(|line| line.glaze.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let more = names.len().saturating_sub(MOST_NAMED);
    names.truncate(MOST_NAMED);
    let more = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    format!("{} ({}{more})", lines_words(&numbers), names.join(", "))
}

/// A text no longer than `most` characters.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}
