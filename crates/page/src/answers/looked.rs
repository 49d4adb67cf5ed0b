//! What a look at a proposal found, in the fewest lines.

use glost_core::rules::{Finding, Level};
use glost_desk::Said;
use glost_desk::looked::ProposalSaid;
use glost_desk::wire::Offer;

use crate::layout::indented;
use crate::words::finding::told_in_one as told_by;
use crate::words::say;
use crate::words::signed::signed;

/// Levels that are told where the old recipe hadn't the finding, the gravest first.
const TOLD: [Level; 3] = [Level::Fail, Level::NotChecked, Level::Caution];

/// Under a proposal: what is new to the checks, and what else is to be said.
pub(super) fn text(offer: &Offer) -> String {
    let mut text = String::new();
    if let Some(why) = &offer.why {
        text.push_str(&indented("Why: ", &format!("{}.", why.trim_end_matches('.'))));
    }
    if let Some(by) = &offer.signed {
        text.push_str(&indented("Proposed by: ", &format!("{}.", signed(by))));
    }
    for level in TOLD {
        for finding in offer.look.new_at(level) {
            text.push_str(&indented(&format!("New {}: ", level.words()), &told(finding)));
        }
    }
    for said in offer.said() {
        text.push_str(&indented(lead(&said), &format!("{}.", say(&said))));
    }
    text
}

/// The subjects that are new to the checks, for a proposal told in one line.
pub(super) fn in_a_line(offer: &Offer) -> String {
    let told = TOLD.map(|level| {
        let mut subjects: Vec<&str> = Vec::new();
        for finding in offer.look.new_at(level) {
            // Several lists may say the same of one oxide.
            if !subjects.contains(&&*finding.subject) {
                subjects.push(&finding.subject);
            }
        }
        match subjects.as_slice() {
            [] => String::new(),
            subjects => format!("; new {}: {}", level.words(), subjects.join(", ")),
        }
    });
    let short: Vec<&str> = offer.look.short.iter().map(|short| short.material.as_str()).collect();
    match short.as_slice() {
        [] => told.concat(),
        short => format!("{}; too little {} in stock", told.concat(), short.join(" and ")),
    }
}

fn told(finding: &Finding) -> String {
    let message = told_by(finding);
    let message = message.trim_end_matches('.');
    if message.starts_with(&*finding.subject) {
        format!("{message} ({}).", finding.script)
    } else {
        format!("{}: {message} ({}).", finding.subject, finding.script)
    }
}

fn lead(said: &Said) -> &'static str {
    match said {
        Said::Hazard(_) => "Kiln: ",
        Said::Proposal(ProposalSaid::Company(_)) => "Colour: ",
        Said::Proposal(ProposalSaid::Short(_)) => "Stock: ",
        _ => "Bucket: ",
    }
}
