//! Words of findings and of what else is flagged on tiles.

use std::borrow::Cow;

use glost_core::rules::{Finding, Message};
use glost_core::tiles::blend::{EndSays, EndUse, UnlikeEnds, Way};

use super::chemistry::outside_model;

/// What a finding says.
pub(crate) fn told(finding: &Finding) -> Cow<'_, str> {
    match &finding.message {
        Message::Text(text) => Cow::Borrowed(text),
        Message::OutsideLimits(title) => {
            let value = finding.value.map_or_else(String::new, |value| format!("{value:.2}, "));
            Cow::Owned(format!("{value}outside {} ({title})", range(finding.low, finding.high)))
        }
        Message::OutsideModel(ways) => {
            let ways: Vec<String> = ways.iter().map(outside_model).collect();
            Cow::Owned(format!(
                "outside what the expansion model was checked for: {}",
                ways.join("; ")
            ))
        }
    }
}

/// What a finding says in one sentence: with what to do, where its script broke off.
pub(crate) fn told_in_one(finding: &Finding) -> Cow<'_, str> {
    match finding.broke.as_deref().and_then(|broke| broke.help.as_ref()) {
        Some(help) => Cow::Owned(format!("{}; {help}", told(finding).trim_end_matches('.'))),
        None => told(finding),
    }
}

/// A range: `at most 4.5`.
pub(crate) fn range(low: Option<f64>, high: Option<f64>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{low} to {high}"),
        (Some(low), None) => format!("at least {low}"),
        (None, Some(high)) => format!("at most {high}"),
        (None, None) => "no bound".to_owned(),
    }
}

/// What to know where the ends of a blend are fired or used unlike.
pub(crate) fn unlike_ends(unlike: &UnlikeEnds) -> String {
    let (ends, what, then) = match unlike {
        UnlikeEnds::Heat(ends) => (
            ends,
            "are fired unlike",
            "one firing is too cool for some tiles and too hot for others, so settle which it is and expect it to show",
        ),
        UnlikeEnds::Atmospheres(ends) => (
            ends,
            "want unlike kilns",
            "colours and surfaces between them belong to the one that is fired",
        ),
        UnlikeEnds::Firings(ends) => (
            ends,
            "name unlike firings",
            "fire all tiles in one kiln, and note which",
        ),
        UnlikeEnds::Clays(ends) => (
            ends,
            "are for unlike clays",
            "make all tiles of one clay, and note which; fit on the other isn't told by them",
        ),
    };
    let each: Vec<String> = ends.iter().map(end_use).collect();
    format!("the ends {what}: {}; {then}", each.join(", "))
}

/// How the tiles of a blend are made.
pub(crate) fn way(way: Way) -> &'static str {
    match way {
        Way::Dry => "each tile weighed dry",
        Way::Ends => "ends weighed, tiles blended wet",
        Way::Split => "base mixed once and split by weighed slurry, tiles blended wet",
    }
}

fn end_use(told: &EndUse) -> String {
    let says = match &told.says {
        EndSays::Cone(cone) => format!("cone {cone}"),
        EndSays::PeakCelsius(celsius) => format!("{celsius:.0} C"),
        EndSays::Atmosphere(atmosphere) => atmosphere.to_string(),
        EndSays::Named(name) => name.clone(),
    };
    format!("{} {says}", told.end)
}
