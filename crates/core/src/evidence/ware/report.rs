//! All that can be said of one clay.

use glost_chemistry::quantity::FiringPeak;

use super::absorption::{Absorption, AbsorptionGroup};
use super::bar::step_seen;
use super::clay::Clay;
use super::expansion::{ClayExpansion, QUARTZ_INVERSION_CELSIUS};
use super::next_firing::{NextFiring, next_firing};
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

/// What a clay's file and bars say.
#[derive(Debug, Clone)]
pub struct ClayReport<'a> {
    /// The clay.
    pub clay: &'a Clay,
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
    /// What is taken for granted, as sentences.
    pub assumptions: Vec<String>,
}

impl<'a> ClayReport<'a> {
    /// Works it out for scales that read to `step_grams`, or finer where the weights are
    /// written finer.
    pub fn of(clay: &'a Clay, step_grams: f64) -> ClayReport<'a> {
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
            clay,
        }
    }
}

fn assumptions(clay: &Clay, weighed: Option<&Absorption>, from: AbsorptionFrom, step_grams: f64) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(weighed) = weighed {
        if weighed.step_grams < step_grams {
            said.push(format!(
                "weights are written to {} g, so scales of that step are taken to have weighed them",
                weighed.step_grams
            ));
        }
        let light = weighed.bars.iter().any(|bar| bar.dry.grams() < LIGHT_BAR_GRAMS);
        if light {
            said.push(format!(
                "a bar under {LIGHT_BAR_GRAMS:.0} g tells little: use heavier ones"
            ));
        }
        if weighed.bars.len() < USUAL_BARS {
            said.push(format!(
                "{} stands for all the clay: how bars differ isn't in the error; three would show it",
                if weighed.bars.len() == 1 { "one bar" } else { "two bars" }
            ));
        }
        if from == AbsorptionFrom::Soaked {
            said.push("only soaked cold: boiling finds more, and the standards boil".to_owned());
        }
    } else if clay.absorption_percent.is_some() {
        said.push("absorption as printed, at the maker's firing: yours may differ by a point or more".to_owned());
    }
    if clay.dilatometer.is_some() && clay.expansion.is_some() {
        said.push("the dilatometer's table counts, not the printed expansion".to_owned());
    }
    if let Some(sentence) = clay.expansion_20_400().and_then(|expansion| expansion.assumption) {
        said.push(sentence);
    }
    if let Some(cone) = &clay.cone
        && FiringPeak::parse(cone).is_err()
    {
        said.push(format!(
            "`cone: {cone}` is no cone that Glost knows, so no hotter one is named"
        ));
    }
    said
}

/// What a range of temperatures leaves out of a clay's expansion, in words.
pub fn what_expansion_misses(expansion: &ClayExpansion) -> String {
    let quartz = format!(
        "{QUARTZ_INVERSION_CELSIUS:.0} C, where quartz in the clay shrinks by about 0.45 % of its own length on cooling"
    );
    let range = match expansion.given_over_celsius {
        Some(_) if expansion.misses_quartz() => format!("what happens at {quartz}"),
        Some(_) => format!("how much of it happens at {quartz}"),
        None => format!("what happens at {quartz}, for its temperatures aren't given"),
    };
    let whose = if expansion.measured {
        "It holds for the firing of the piece that was measured"
    } else {
        "It is of the maker's firing, not of yours: cristobalite and glass grow with every firing"
    };
    format!("{range}. {whose}.")
}
