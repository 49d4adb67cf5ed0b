//! A laboratory's report in a few lines.

use glost_core::evidence::laboratory::NoLonger;
use glost_desk::lab::{Brief, BriefResult};

use crate::words::notes::changes_words;

/// Why a report no longer speaks of the glaze, without a full stop.
pub(crate) fn no_longer(why: &NoLonger) -> String {
    match why {
        NoLonger::Changed(changes) => format!("since then {}", changes_words(changes)),
        NoLonger::Unrecorded(version) => format!("nobody recorded what {version} was"),
        NoLonger::Clay { tested, now } => format!("tested on {tested}, and it goes on {now}"),
        NoLonger::Firing { tested, now } => format!("tested as fired to {tested}, and it is fired to {now}"),
    }
}

/// Several reasons.
pub(crate) fn reasons(why: &[NoLonger]) -> String {
    why.iter().map(no_longer).collect::<Vec<_>>().join("; ")
}

/// `report 12 of 2026-05-01, on v2, batch 14`.
pub(crate) fn named(brief: &Brief) -> String {
    let of: Vec<String> = brief
        .version
        .iter()
        .cloned()
        .chain(brief.batch.iter().map(|batch| format!("batch {batch}")))
        .collect();
    let of = if of.is_empty() {
        String::new()
    } else {
        format!(", on {}", of.join(", "))
    };
    format!("report {} of {}{of}", brief.report, brief.on)
}

/// What it says, or that it says nothing any more.
pub(crate) fn sentence(brief: &Brief) -> String {
    let name = named(brief);
    if !brief.no_longer.is_empty() {
        return format!(
            "{name} no longer belongs to this glaze: {}. As it is made now nobody tested it.",
            reasons(&brief.no_longer)
        );
    }
    let results: Vec<String> = brief.results.iter().map(result).collect();
    let mut text = match results.as_slice() {
        [] => format!("{name}: its results aren't typed in (`glost lab GLAZE --sheet lab.csv`)."),
        some => format!("{name}: {}.", some.join(", ")),
    };
    if let Some(said) = &brief.said {
        text.push(' ');
        text.push_str(said);
    }
    text.push_str(" It is of the pieces that were tested, and clears no other.");
    text
}

/// `Pb <0.01 mg/l (US 0.5 mg/l; EU 4 mg/l)`.
fn result(one: &BriefResult) -> String {
    let beside: Vec<String> = one
        .beside
        .iter()
        .map(|beside| format!("{} {}", beside.whose, beside.limit))
        .collect();
    let beside = if beside.is_empty() {
        "no limit for ware".to_owned()
    } else {
        beside.join("; ")
    };
    format!("{} {} ({beside})", one.metal, one.result)
}

/// In a few words, for a small label; none where it says nothing any more.
pub(crate) fn short(brief: &Brief) -> Option<String> {
    brief
        .no_longer
        .is_empty()
        .then(|| format!("Lab {}: ask for it.", named(brief)))
}
