//! A laboratory's report in a few lines.

use glost_core::evidence::laboratory::NoLonger;
use glost_desk::lab::{Brief, BriefResult};

use crate::layout::capital;
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
        let above = above(brief).map_or_else(String::new, |above| format!("{above}. Don't sell those pieces. "));
        let name = if above.is_empty() { name } else { capital(&name) };
        return format!(
            "{above}{name} no longer belongs to this glaze: {}. As it is made now nobody tested it.",
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

/// `ABOVE a limit, of batch 2, an earlier firing: Pb 0.7 mg/l (US 0.5 mg/l)`; none where it is
/// above none.
pub(crate) fn above(brief: &Brief) -> Option<String> {
    if brief.above.is_empty() {
        return None;
    }
    let batch = brief.batch.as_ref().map(|batch| format!("of batch {batch}"));
    let earlier = brief.no_longer.first().map(|why| {
        let what = match why {
            NoLonger::Changed(_) | NoLonger::Unrecorded(_) => "an earlier recipe or lot",
            NoLonger::Clay { .. } => "on another clay",
            NoLonger::Firing { .. } => "an earlier firing",
        };
        what.to_owned()
    });
    let which: Vec<String> = batch.into_iter().chain(earlier).collect();
    let which = match which.as_slice() {
        [] => String::new(),
        which => format!(", {}", which.join(", ")),
    };
    let results: Vec<String> = brief.above.iter().map(result).collect();
    Some(format!("ABOVE a limit{which}: {}", results.join("; ")))
}

/// In a few words, for a small label; none where it says nothing any more.
pub(crate) fn short(brief: &Brief) -> Option<String> {
    if let Some(above) = above(brief) {
        return Some(format!("Lab: {above}. Don't sell it."));
    }
    brief
        .no_longer
        .is_empty()
        .then(|| format!("Lab {}: ask for it.", named(brief)))
}
