//! All that can be said of one clay.

use glost_chemistry::quantity::FiringPeak;
use serde::Serialize;

use super::absorption::{Absorption, AbsorptionGroup};
use super::bar::step_seen;
use super::clay::Clay;
use super::expansion::ClayExpansion;
use super::next_firing::{NextFiring, next_firing};
use super::said::ExpansionSaid;
use super::suitability::{Suitability, suitability};

/// Bars lighter than this, g, tell absorption badly (common practice, no source).
const LIGHT_BAR_GRAMS: f64 = 50.0;
/// So many bars are weighed to see their spread (common practice, no source).
const USUAL_BARS: usize = 3;

/// How the absorption that is used was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AbsorptionFrom {
    /// From boiled bars.
    Boiled,
    /// From bars soaked cold: boiling would find more.
    Soaked,
    /// As printed on the bag, at the maker's firing.
    Printed,
}

impl AbsorptionFrom {
    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            AbsorptionFrom::Boiled => "boiled",
            AbsorptionFrom::Soaked => "soaked",
            AbsorptionFrom::Printed => "printed",
        }
    }
}

/// What is taken for granted when a clay's numbers are read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ClaySaid {
    /// Weights are written finer than the studio's scales read.
    WrittenFiner {
        /// The step they are written to.
        step_grams: f64,
    },
    /// A bar is so light that it tells little.
    LightBar {
        /// The least that a bar should weigh.
        least_grams: f64,
    },
    /// Too few bars to show how they differ.
    FewBars {
        /// How many were weighed.
        bars: usize,
    },
    /// Soaked cold only, not boiled.
    SoakedCold,
    /// The absorption is the printed one, of the maker's firing.
    AsPrinted,
    /// A dilatometer's table counts rather than the printed expansion.
    TableCounts,
    /// How the expansion was come by.
    Expansion(ExpansionSaid),
    /// The clay's cone is no cone.
    UnknownCone {
        /// As written.
        cone: String,
    },
}

/// What a clay's file and bars say.
#[derive(Debug, Clone)]
pub struct ClayReport {
    /// The clay.
    pub clay: Clay,
    /// What its bars say.
    pub weighed: Option<Absorption>,
    /// The absorption that is used, wt %, and how it was come by.
    pub absorption: Option<(f64, AbsorptionFrom)>,
    /// The tile standard's group, where it was boiled or printed; a comparison only.
    pub group: Option<AbsorptionGroup>,
    /// A second group that the absorption's error reaches into.
    pub group_beside: Option<AbsorptionGroup>,
    /// The expansion to set beside a glaze's.
    pub expansion: Option<ClayExpansion>,
    /// What is said for each use.
    pub suitability: Vec<Suitability>,
    /// Which firing to try.
    pub next: NextFiring,
    /// What is taken for granted.
    pub assumptions: Vec<ClaySaid>,
}

impl ClayReport {
    /// Works it out for scales that read to `step_grams`, or finer where the weights are
    /// written finer.
    pub fn of(clay: &Clay, step_grams: f64) -> ClayReport {
        let step_seen = step_seen(&clay.bars, step_grams);
        let weighed = clay.weighed(step_seen);
        let from = match &weighed {
            Some(weighed) if weighed.boiled.is_some() => AbsorptionFrom::Boiled,
            Some(_) => AbsorptionFrom::Soaked,
            None => AbsorptionFrom::Printed,
        };
        let absorption = clay.absorption().map(|percent| (percent, from));
        let told = absorption.filter(|(_, from)| *from != AbsorptionFrom::Soaked);
        let group = told.and_then(|(percent, _)| AbsorptionGroup::of(percent));
        let off = weighed
            .as_ref()
            .and_then(|weighed| weighed.boiled)
            .map(|boiled| boiled.plus_minus());
        let beside = |percent: f64, off: f64| {
            let reached = [percent - off, percent + off].map(|edge| AbsorptionGroup::of(edge.max(0.0)));
            reached.into_iter().flatten().find(|reached| Some(*reached) != group)
        };
        ClayReport {
            group,
            group_beside: told.zip(off).and_then(|((percent, _), off)| beside(percent, off)),
            suitability: suitability(clay, weighed.as_ref()),
            expansion: clay.expansion_20_400(),
            next: next_firing(clay),
            assumptions: assumptions(clay, weighed.as_ref(), from, step_grams),
            absorption,
            weighed,
            clay: clay.clone(),
        }
    }
}

fn assumptions(clay: &Clay, weighed: Option<&Absorption>, from: AbsorptionFrom, step_grams: f64) -> Vec<ClaySaid> {
    let mut said = Vec::new();
    if let Some(weighed) = weighed {
        if weighed.step_grams < step_grams {
            said.push(ClaySaid::WrittenFiner {
                step_grams: weighed.step_grams,
            });
        }
        let light = weighed.bars.iter().any(|bar| bar.dry.grams() < LIGHT_BAR_GRAMS);
        if light {
            said.push(ClaySaid::LightBar {
                least_grams: LIGHT_BAR_GRAMS,
            });
        }
        if weighed.bars.len() < USUAL_BARS {
            said.push(ClaySaid::FewBars {
                bars: weighed.bars.len(),
            });
        }
        if from == AbsorptionFrom::Soaked {
            said.push(ClaySaid::SoakedCold);
        }
    } else if clay.absorption_percent.is_some() {
        said.push(ClaySaid::AsPrinted);
    }
    if clay.dilatometer.is_some() && clay.expansion.is_some() {
        said.push(ClaySaid::TableCounts);
    }
    if let Some(sentence) = clay.expansion_20_400().and_then(|expansion| expansion.assumption) {
        said.push(ClaySaid::Expansion(sentence));
    }
    if let Some(cone) = &clay.cone
        && FiringPeak::parse(cone).is_err()
    {
        said.push(ClaySaid::UnknownCone { cone: cone.clone() });
    }
    said
}
