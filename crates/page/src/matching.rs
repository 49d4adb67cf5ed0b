//! `glost match`.

use glost_chemistry::distance::{NOTICEABLE, Nearness};
use glost_chemistry::oxides::OxideMoles;
use glost_core::recipes::swap::Proposal;
use serde_json::{Value, json};

use crate::answers::proposal_json;
use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;

/// Recipes for a target.
#[derive(Debug, Clone)]
pub struct MatchPage<'a> {
    /// What is to be met.
    pub target: &'a str,
    /// Its unity formula.
    pub target_unity: &'a OxideMoles,
    /// Proposals, best first.
    pub proposals: Vec<Proposal>,
    /// Materials that can't be counted.
    pub left_out: Vec<String>,
    /// Grams of base in the weighed column.
    pub dry_grams: f64,
    /// The step of the scales in grams.
    pub step_grams: f64,
}

impl MatchPage<'_> {
    /// Whether even the best is far.
    pub fn says_no(&self) -> bool {
        self.proposals.first().is_none_or(|best| best.distance > NOTICEABLE)
    }

    /// The contract's JSON.
    pub fn json(&self) -> Value {
        json!({
            "target": crate::amounts::moles(self.target_unity),
            "proposals": self.proposals.iter().map(|proposal| proposal_json(proposal, self.dry_grams)).collect::<Vec<_>>(),
            "left_out": self.left_out,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let Some(best) = self.proposals.first() else {
            return "No recipe was found.\n".to_owned();
        };
        let words = Nearness::of(best.distance).word();
        let distance = number::distance(best.distance);
        let headline = if self.says_no() {
            format!(
                "These materials can't make {}: the nearest recipe is {words} ({distance} tolerances).",
                self.target
            )
        } else {
            format!(
                "A recipe for {}: {words} ({distance} tolerances). Test before you trust it.",
                self.target
            )
        };
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right]);
        table.row([
            "".to_owned(),
            "parts".to_owned(),
            format!("{} g batch", number::grams(self.dry_grams, 1.0)),
        ]);
        for portion in &best.glaze.base {
            let line = best
                .weighed
                .base
                .iter()
                .find(|line| line.material == portion.material.name && line.grams > 0.0);
            let grams = line.map_or_else(
                || "-".to_owned(),
                |line| format!("{} g", number::grams(line.grams, self.step_grams)),
            );
            table.row([portion.material.name.clone(), number::parts(portion.percent), grams]);
        }
        text.push_str(&table.text());
        text.push('\n');
        let missed: Vec<String> = best
            .cannot_match
            .iter()
            .map(|oxide| {
                format!(
                    "{oxide} {} for {}",
                    number::unity(best.unity.get(*oxide)),
                    number::unity(self.target_unity.get(*oxide))
                )
            })
            .collect();
        let missed = if missed.is_empty() {
            "nothing beyond its tolerance".to_owned()
        } else {
            missed.join(", ")
        };
        text.push_str(&indented("Off: ", &format!("{missed}.")));
        for (index, next) in self.proposals.iter().skip(1).enumerate() {
            let lead = if index == 0 { "Next: " } else { "      " };
            let parts: Vec<String> = next
                .glaze
                .base
                .iter()
                .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
                .collect();
            text.push_str(&indented(
                lead,
                &format!(
                    "{}: {} ({}).",
                    parts.join(", "),
                    Nearness::of(next.distance).word(),
                    number::distance(next.distance)
                ),
            ));
        }
        if !self.left_out.is_empty() {
            text.push_str(&indented(
                "Left out: ",
                &format!(
                    "{}: nothing is known to stay of them after firing.",
                    self.left_out.join(", ")
                ),
            ));
        }
        let clay = best.glaze.raw_clay_percent();
        if clay < 5.0 {
            text.push_str(&indented(
                "In the bucket: ",
                &format!("raw clay {clay:.0} %: it will settle hard; most glazes want 10 % (common practice)."),
            ));
        }
        text.push_str(&assumed(&best.analysis.assumptions));
        text.push_str(&indented(
            "Test: ",
            "a tile on your own clay in your own firing; the chemistry says nothing of grain, melt and colour.",
        ));
        text
    }
}
