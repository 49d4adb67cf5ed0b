//! `glost reach`.

use glost_chemistry::oxides::Oxide;
use glost_desk::Answer as _;
use glost_desk::reach::Answer;
use glost_desk::wire::Offer;

use crate::layout::{Align, Style, Table, assumed, indented, paragraph};
use crate::number;
use crate::words::chemistry::assumptions;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "proposals")
    }

    fn text(&self, style: Style) -> String {
        let Some(best) = self.proposals.first() else {
            return "No recipe was found.\n".to_owned();
        };
        let mut text = style.bold(paragraph(&headline(self, best), 0).trim_end());
        text.push_str("\n\n");
        text.push_str(&table(self, best));
        text.push('\n');
        text.push_str(&indented("Off: ", &format!("{}.", missed(self, best))));
        text.push_str(&not_asked(self, best));
        text.push_str(&super::looked::text(best));
        text.push_str(&others(self));
        if !self.left_out.is_empty() {
            text.push_str(&indented(
                "Left out: ",
                &format!(
                    "{}: nothing is known to stay of them after firing.",
                    self.left_out.join(", ")
                ),
            ));
        }
        if let Some(clay) = self.low_clay_percent {
            text.push_str(&indented(
                "In the bucket: ",
                &format!("raw clay {clay:.0} %: it will settle hard; most glazes want 10 % (common practice)."),
            ));
        }
        text.push_str(&assumed(&assumptions(&best.proposal.analysis.assumptions)));
        text.push_str(&indented(
            "Test: ",
            "a tile on your own clay in your own firing; the chemistry says nothing of grain, melt and colour.",
        ));
        text
    }
}

fn headline(answer: &Answer, best: &Offer) -> String {
    let words = best.proposal.nearness().word();
    let distance = number::distance(best.proposal.asked_distance);
    let target = answer.name.as_deref().unwrap_or("the unity formula");
    if answer.says_no() {
        let who = if answer.from_the_shelf {
            "What may come in by itself"
        } else {
            "These materials"
        };
        format!("{who} can't make {target}: the nearest recipe is {words} ({distance} tolerances).")
    } else {
        format!("A recipe for {target}: {words} ({distance} tolerances). Test before you trust it.")
    }
}

fn table(answer: &Answer, best: &Offer) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right]);
    table.row([
        "".to_owned(),
        "parts".to_owned(),
        format!("{} g batch", number::grams(answer.dry.grams(), 1.0)),
    ]);
    for portion in &best.proposal.glaze.base {
        let line = best
            .proposal
            .weighed
            .base
            .iter()
            .find(|line| line.material == portion.material.name && line.is_wanted());
        let grams = line.map_or_else(
            || "-".to_owned(),
            |line| format!("{} g", number::weighed(line, answer.step.grams())),
        );
        table.row([portion.material.name.clone(), number::parts(portion.percent), grams]);
    }
    table.text()
}

fn missed(answer: &Answer, best: &Offer) -> String {
    let one = |oxide: &Oxide| {
        format!(
            "{oxide} {} for {}",
            number::unity_of(*oxide, best.proposal.unity.get(*oxide)),
            number::unity_of(*oxide, answer.target.get(*oxide))
        )
    };
    let mut missed: Vec<String> = best.proposal.cannot_match.iter().map(one).collect();
    for missed_sum in answer.missed_sums(best) {
        missed.push(format!(
            "{} {} for {}",
            missed_sum.term,
            number::unity(missed_sum.reached_moles),
            number::unity(missed_sum.wanted_moles)
        ));
    }
    if missed.is_empty() {
        "nothing beyond its tolerance".to_owned()
    } else {
        missed.join(", ")
    }
}

/// What comes in though nobody asked about it.
fn not_asked(answer: &Answer, best: &Offer) -> String {
    let brought: Vec<String> = answer
        .brought_unasked(best)
        .iter()
        .map(|(oxide, moles)| format!("{oxide} {}", number::unity_of(*oxide, *moles)))
        .collect();
    if brought.is_empty() {
        return String::new();
    }
    indented(
        "Left free: ",
        &format!(
            "{}; the formula doesn't name them. Write them with 0 to keep them out.",
            brought.join(", ")
        ),
    )
}

/// The proposals after the first.
fn others(answer: &Answer) -> String {
    let mut text = String::new();
    for (index, next) in answer.proposals.iter().skip(1).enumerate() {
        let lead = if index == 0 { "Next: " } else { "      " };
        let (offer, next) = (next, &next.proposal);
        let parts: Vec<String> = next
            .glaze
            .base
            .iter()
            .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
            .collect();
        text.push_str(&indented(
            lead,
            &format!(
                "{}: {} ({}){}.",
                parts.join(", "),
                next.nearness().word(),
                number::distance(next.asked_distance),
                super::looked::in_a_line(offer)
            ),
        ));
    }
    text
}
