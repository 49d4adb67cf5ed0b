//! What is flagged on tiles beyond the checks: chosen limits, the bounds of the
//! expansion model, and the metals for the laboratory's list.

use crate::rules::{Finding, Level, LimitSet, Message, Range};
use crate::workshop::hazards::{LOCKED, METALS, TRACE};
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::oxides::{Oxide, OxideMoles};

/// A tile for the laboratory: no metal in it is tested for food contact.
#[derive(Debug, Clone, PartialEq)]
pub struct LabTile {
    /// The tile's code.
    pub code: String,
    /// Its metals: oxide, name, and wt % of the oxide, the most first.
    pub metals: Vec<(Oxide, &'static str, f64)>,
    /// What they are a share of.
    pub share_of: ShareOf,
}

/// What a metal in a tile is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShareOf {
    /// The fired glaze.
    Fired,
    /// The whole dry batch: nobody tells what some of it is once fired.
    Batch,
}

impl LabTile {
    /// Wt % of all of them together.
    pub fn total(&self) -> f64 {
        self.metals.iter().map(|metal| metal.2).sum()
    }
}

/// A range of the chosen limits that a row of tiles goes out of or into.
#[derive(Debug, Clone, PartialEq)]
pub struct Crossing {
    /// Code of the last tile before.
    pub before: String,
    /// Code of the first tile after.
    pub after: String,
    /// What the range is about.
    pub subject: String,
    /// Whether the tile after lies outside.
    pub goes_out: bool,
    /// The least that the range allows.
    pub low: Option<f64>,
    /// The most.
    pub high: Option<f64>,
}

/// The ranges that a unity formula lies outside of.
pub fn outside<'a>(unity: &OxideMoles, fluxes: &FluxList, limits: &'a LimitSet) -> Vec<(&'a Range, f64)> {
    limits
        .ranges
        .iter()
        .filter_map(|range| {
            let value = range.subject.value(unity, fluxes)?;
            (!range.holds(value)).then_some((range, value))
        })
        .collect()
}

/// A finding for each range that a tile lies outside of.
pub(super) fn limit_findings(unity: &OxideMoles, fluxes: &FluxList, limits: &LimitSet) -> Vec<Finding> {
    outside(unity, fluxes, limits)
        .into_iter()
        .map(|(range, value)| Finding {
            script: limits.name.as_str().into(),
            level: Level::Caution,
            subject: range.subject.name().into(),
            value: Some(value),
            low: range.low,
            high: range.high,
            message: Message::OutsideLimits(limits.title.as_str().into()),
            source: limits.source.as_str().into(),
            line: None,
            signed: limits.signed.clone(),
            accepted: None,
            broke: None,
        })
        .collect()
}

/// What the expansion model says of a tile outside its bounds: nothing inside.
pub(super) fn expansion_finding(moles: &OxideMoles) -> Option<Finding> {
    let model = ExpansionModel::default();
    let predicted = model.predict(moles)?;
    (!predicted.inside_domain).then(|| Finding {
        script: "expansion".into(),
        level: Level::Caution,
        subject: "expansion".into(),
        value: None,
        low: None,
        high: None,
        message: Message::OutsideModel(predicted.reasons),
        source: predicted.source.into(),
        line: None,
        signed: None,
        accepted: None,
        broke: None,
    })
}

/// The metals of concern in a tile, from what is known of it; `None` where there
/// is none beyond a trace.
pub(super) fn lab_tile(code: &str, glaze: &Glaze) -> Option<LabTile> {
    let fired = |oxide: Option<Oxide>| -> f64 {
        glaze
            .portions()
            .filter_map(|portion| Some((portion.percent, portion.material.fired.as_ref()?)))
            .map(|(percent, fired)| {
                let grams = oxide.map_or(fired.oxides.total(), |oxide| fired.oxides.get(oxide));
                percent * grams / 100.0
            })
            .sum()
    };
    // What nobody tells the analysis of weighs something all the same.
    let there = |portion: &&glost_chemistry::glaze::Portion| portion.percent > 0.0;
    let untold = glaze
        .portions()
        .filter(there)
        .any(|portion| portion.material.fired.is_none());
    let (total, share_of) = if untold {
        let batch = glaze.portions().map(|portion| portion.percent).sum();
        (batch, ShareOf::Batch)
    } else {
        (fired(None), ShareOf::Fired)
    };
    let mut metals: Vec<(Oxide, &'static str, f64)> = LOCKED
        .iter()
        .chain(&METALS)
        .map(|(oxide, name)| (*oxide, *name, fired(Some(*oxide)) / total))
        .filter(|metal| metal.2 > TRACE)
        .map(|(oxide, name, share)| (oxide, name, 100.0 * share))
        .collect();
    metals.sort_by(|a, b| b.2.total_cmp(&a.2));
    (!metals.is_empty()).then(|| LabTile {
        code: code.to_owned(),
        metals,
        share_of,
    })
}

/// Where neighbours in a row lie on two sides of a bound.
pub(super) fn crossings(
    rows: &[usize],
    tiles: &[(String, Option<OxideMoles>)],
    fluxes: &FluxList,
    limits: &LimitSet,
) -> Vec<Crossing> {
    let mut found = Vec::new();
    let mut start = 0;
    for &length in rows {
        let row = &tiles[start.min(tiles.len())..(start + length).min(tiles.len())];
        start += length;
        for range in &limits.ranges {
            for pair in row.windows(2) {
                let holds = |tile: &(String, Option<OxideMoles>)| -> Option<bool> {
                    Some(range.holds(range.subject.value(tile.1.as_ref()?, fluxes)?))
                };
                if let (Some(before), Some(after)) = (holds(&pair[0]), holds(&pair[1]))
                    && before != after
                {
                    found.push(Crossing {
                        before: pair[0].0.clone(),
                        after: pair[1].0.clone(),
                        subject: range.subject.name().to_owned(),
                        goes_out: before,
                        low: range.low,
                        high: range.high,
                    });
                }
            }
        }
    }
    found
}
