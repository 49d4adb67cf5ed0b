//! `glost fit`.

mod picture;
mod placed;
mod ruler;
mod sentences;

use glost_chemistry::glass::FIRED_GLAZE_PLUS_MINUS_90;
use glost_core::evidence::notes::age_words;
use glost_core::evidence::window::{Band90, Candidate, Edge, EvidenceLine, FitAnswer, Known};
use serde_json::{Map, Value, json};

use crate::layout::{Align, Style, Table, assumed, paragraph};
use crate::stress::stress_json;

/// 90 % of a normal distribution lies within this many standard deviations.
const DEVIATIONS_FOR_90_PERCENT: f64 = 1.644_853_626_951_472_2;
/// Notes that are not counted and are still listed one by one in text.
const MOST_SET_ASIDE: usize = 8;

/// Whether a glaze fits a clay.
#[derive(Debug, Clone)]
pub struct FitPage<'a> {
    /// The answer.
    pub answer: &'a FitAnswer,
}

impl FitPage<'_> {
    /// The contract's JSON.
    pub fn json(&self) -> Value {
        let answer = self.answer;
        let window = &answer.window;
        json!({
            "glaze": answer.glaze,
            "firing": answer.evidence.kiln.words(),
            "expansion": self.expansion_json(),
            "clay": {
                "name": answer.clay,
                "absorption": window.clay.absorption_percent,
                "dense": window.settings.is_dense(&window.clay),
                "expansion": window.clay.expansion_per_million_per_kelvin,
            },
            "stress_mpa": answer.stress.as_ref().map(stress_json),
            "window": {
                "craze_threshold": band_json(window.craze.band()),
                "shiver_floor": band_json(window.shiver.band()),
            },
            "p_craze": answer.craze.chance,
            "p_shiver": answer.shiver.chance,
            "zone_craze": answer.craze.zone.word(Edge::Craze),
            "zone_shiver": answer.shiver.zone.word(Edge::Shiver),
            "rests_on_counts_alone": answer.rests_on_counts(),
            "evidence": answer.evidence.lines.iter().map(|line| self.line_json(line)).collect::<Vec<_>>(),
            "look_again": answer.look_again.iter().map(|look| json!({
                "on": look.on.to_string(),
                "age_days": look.at_days,
                "line": look.line,
                "batch": look.batch,
                "overdue": look.overdue,
            })).collect::<Vec<_>>(),
            "next_tests": answer.next.iter().map(|candidate| self.candidate_json(candidate)).collect::<Vec<_>>(),
            "contradictions": answer.evidence.contradictions,
            "assumptions": answer.assumptions,
        })
    }

    fn expansion_json(&self) -> Value {
        let answer = self.answer;
        let believed = answer.belief.believed;
        let comparing = DEVIATIONS_FOR_90_PERCENT * answer.belief.shown_sd;
        match (&answer.expansion, believed.known) {
            (Some(expansion), Known::Computed) => json!({
                "model": expansion.model,
                "value": expansion.value_per_million_per_kelvin,
                "plus_minus": expansion.plus_minus_90,
                "plus_minus_fired_glaze": [FIRED_GLAZE_PLUS_MINUS_90.0, FIRED_GLAZE_PLUS_MINUS_90.1],
                "plus_minus_comparing_glazes": comparing,
                "unit": "1e-6/K",
                "range_c": [expansion.range_celsius.0, expansion.range_celsius.1],
                "inside_domain": expansion.inside_domain,
            }),
            (_, Known::Printed) => json!({
                "model": "printed on the bag",
                "value": believed.belief.mean,
                "plus_minus": comparing,
                "unit": "1e-6/K",
            }),
            _ => Value::Null,
        }
    }

    fn line_json(&self, line: &EvidenceLine) -> Value {
        let witness = line.witness.and_then(|index| self.answer.evidence.witnesses.get(index));
        json!({
            "line": line.line,
            "on": line.on.to_string(),
            "glaze": line.glaze,
            "version": line.version,
            "firing": line.kiln.words(),
            "batch": line.batch,
            "age_days": line.age_days,
            "pieces": line.pieces,
            "crazed": line.crazed,
            "shivered": line.shivered,
            "expansion": witness.and_then(|witness| witness.believed.expansion()),
            "counted": line.why_not.is_none(),
            "why_not": line.why_not,
        })
    }

    fn candidate_json(&self, candidate: &Candidate) -> Value {
        let mut add = Map::new();
        if candidate.silica_percent > 0.0 {
            add.insert("silica".to_owned(), json!(candidate.silica_percent));
        }
        json!({
            "glaze": self.answer.glaze,
            "add": add,
            "expansion": candidate.expansion,
            "p_craze": candidate.p_craze,
            "reduces_variance_by": candidate.reduces_variance_by,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
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
            text.push_str(&crate::layout::indented("These disagree: ", sentence));
            text.push('\n');
        }
        text.push_str(&self.set_aside());
        text.push_str(&assumed(&self.answer.assumptions));
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
                .map(|batch| format!(", batch {batch}"))
                .unwrap_or_default();
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
        let aside: Vec<(&EvidenceLine, &String)> = self
            .answer
            .evidence
            .lines
            .iter()
            .filter_map(|line| Some((line, line.why_not.as_ref()?)))
            .collect();
        let mut text = String::new();
        for (line, why) in aside.iter().take(MOST_SET_ASIDE) {
            let lead = if text.is_empty() {
                "Not counted: "
            } else {
                "             "
            };
            let sentence = format!("line {} ({}, {}): {why}", line.line, line.glaze, line.on);
            text.push_str(&crate::layout::indented(lead, &sentence));
        }
        if aside.len() > MOST_SET_ASIDE {
            text.push_str(&format!("             and {} more\n", aside.len() - MOST_SET_ASIDE));
        }
        if !text.is_empty() {
            text.push('\n');
        }
        text
    }
}

fn band_json(band: Band90) -> Value {
    json!({"median": band.median, "low": band.low, "high": band.high})
}

/// A text no longer than `most` characters.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}
