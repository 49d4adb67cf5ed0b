//! What a clay's bars and bag say, and what no number promises.

mod json;
mod said;

pub use said::ClayWords;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Additions, Analysis, Use};
use glost_core::evidence::ware::{
    Clay, ClayReport, GlazeStress, Standing, Suitability, Weighings, read_dilatometer_table, stress_on,
};
use glost_core::workshop::scales::{Scales, parse_scales};
use serde::Serialize;

use crate::{Desk, Failure, Words, trouble};

/// The uses that a clay says something about.
const USES: [Use; 4] = [Use::Tableware, Use::WallTile, Use::Floor, Use::Outdoor];

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The clay's name or file; without one, all of them.
    pub clay: Option<String>,
    /// Bars weighed just now, in place of its own.
    pub bars: Option<Vec<Weighings>>,
    /// The file of a dilatometer's table, in place of its own.
    pub dilatometer: Option<String>,
    /// A glaze to set on it.
    pub glaze: Option<String>,
    /// What it is for.
    pub usage: Option<Use>,
    /// Other scales than the studio's.
    pub scales: Option<Scales>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            usage: words.text("use").map(usage).transpose()?,
            scales: words.read("scales", parse_scales)?,
            bars: words.text("weigh").map(Weighings::parse_several).transpose()?,
            clay: words.owned("clay"),
            dilatometer: words.owned("dilatometer"),
            glaze: words.owned("glaze"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let scales = self.scales.unwrap_or(desk.workplace().settings().scales);
        let step = scales.reads_to.grams();
        let Some(clay) = self.one_clay(desk)? else {
            if self.usage.is_some() {
                let error = Diagnostic::error("bad-call", "--use goes with a clay, or with bars weighed just now");
                return Err(error
                    .help("name one: `glost clay \"buff stoneware\" --use outdoor`; `glost clay` alone lists them")
                    .into());
            }
            return Ok(Answer::All(all(desk, step)));
        };
        let on_it = self.glaze.as_deref().map(|name| on_it(name, &clay, desk)).transpose()?;
        let mut one = OneClay::of(ClayReport::of(&clay, step), self.usage);
        one.glaze = on_it;
        Ok(Answer::One(Box::new(one)))
    }
}

impl Question {
    /// The clay that is asked about, the bars of the call in place of its own.
    fn one_clay(&self, desk: &Desk) -> Result<Option<Clay>, Failure> {
        let mut clay = match (&self.clay, &self.bars) {
            (Some(name), _) => {
                desk.tell_where();
                desk.workplace().clay(name)?.clay
            }
            (None, Some(_)) => Clay::unnamed(),
            (None, None) => return Ok(None),
        };
        if let Some(bars) = &self.bars {
            clay.bars.clone_from(bars);
        }
        if let Some(file) = &self.dilatometer {
            clay.dilatometer = Some(read_dilatometer_table(&desk.workplace().text(file)?)?);
        }
        Ok(Some(clay))
    }
}

/// A glaze set on a clay.
fn on_it(name: &str, clay: &Clay, desk: &Desk) -> Result<GlazeOnIt, Failure> {
    let found = desk.workplace().glaze(name)?;
    let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, Additions::In)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?;
    Ok(GlazeOnIt {
        stress: stress_on(&analysis.moles, clay),
        glaze: found.glaze.name,
    })
}

fn all(desk: &Desk, step: f64) -> AllClays {
    desk.tell_where();
    let (found, complaints) = desk.workplace().all_clays();
    desk.tell(complaints);
    let clays = found.iter();
    AllClays {
        clays: clays
            .map(|found| OneClay::of(ClayReport::of(&found.clay, step), None))
            .collect(),
    }
}

fn usage(word: &str) -> Result<Use, Diagnostic> {
    USES.into_iter().find(|known| known.word() == word).ok_or_else(|| {
        let words = USES.map(Use::word);
        Diagnostic::error(
            "bad-option",
            format!("--use: a clay's numbers say nothing for `{word}`"),
        )
        .help(format!("it is one of: {}", words.join(", ")))
        .maybe_help(suggestion(word, words))
    })
}

/// What is known of a clay, or of all.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Answer {
    /// Of one.
    One(Box<OneClay>),
    /// Of all.
    All(AllClays),
}

impl crate::Answer for Answer {
    /// The use that was asked for is at high risk.
    fn says_no(&self) -> bool {
        match self {
            Answer::One(one) => {
                let mut shown = one.suitability.iter();
                one.for_one_use && shown.any(|found| found.standing == Standing::HighRisk)
            }
            Answer::All(_) => false,
        }
    }
}

/// All clays, in order of their files.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct AllClays {
    /// Each for all uses.
    pub clays: Vec<OneClay>,
}

/// One clay, for all uses or for one.
#[derive(Debug, Clone)]
pub struct OneClay {
    /// What is known of it.
    pub report: ClayReport,
    /// The uses that are asked for.
    pub suitability: Vec<Suitability>,
    /// Whether one use is asked for.
    pub for_one_use: bool,
    /// Whether it is to be set outdoors, so that a frost test of one's own is told of.
    pub goes_outdoors: bool,
    /// Its bars, each with what that comes to.
    pub bars: Vec<Bar>,
    /// One step of the scales on what was taken up cold, per cent, where C/B is told.
    pub step_on_uptake_percent: Option<f64>,
    /// A glaze to set on it.
    pub glaze: Option<GlazeOnIt>,
}

/// A glaze set on a clay.
#[derive(Debug, Clone, PartialEq)]
pub struct GlazeOnIt {
    /// Its name.
    pub glaze: String,
    /// Its stress, where the clay's expansion was measured.
    pub stress: Option<GlazeStress>,
}

/// One bar on the scales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Its weights.
    pub weighed: Weighings,
    /// Taken up cold, per cent of its dry weight.
    pub cold_percent: Option<f64>,
    /// Taken up boiling, per cent of its dry weight.
    pub boiled_percent: Option<f64>,
    /// Cold over boiled.
    pub saturation: Option<f64>,
}

impl Bar {
    fn of(bar: &Weighings) -> Bar {
        let (cold, boiled) = (bar.cold_uptake_grams(), bar.boiled_uptake_grams());
        let percent = |uptake: f64| 100.0 * uptake / bar.dry.grams();
        Bar {
            weighed: *bar,
            cold_percent: cold.map(percent),
            boiled_percent: boiled.map(percent),
            saturation: cold
                .zip(boiled)
                .filter(|(_, boiled)| *boiled > 0.0)
                .map(|(cold, boiled)| cold / boiled),
        }
    }
}

impl OneClay {
    fn of(report: ClayReport, usage: Option<Use>) -> OneClay {
        let suitability = report.suitability.iter();
        let weighed = report.weighed.as_ref();
        let ratio = weighed.filter(|weighed| weighed.saturation.is_some());
        OneClay {
            suitability: suitability
                .filter(|found| usage.is_none_or(|only| only == found.usage))
                .cloned()
                .collect(),
            for_one_use: usage.is_some(),
            goes_outdoors: usage.or(report.clay.usage) == Some(Use::Outdoor),
            bars: weighed.map_or_else(Vec::new, |weighed| weighed.bars.iter().map(Bar::of).collect()),
            step_on_uptake_percent: ratio.and_then(|weighed| {
                let uptake = weighed.least_cold_uptake_grams().filter(|uptake| *uptake > 0.0)?;
                Some(100.0 * weighed.step_grams / uptake)
            }),
            glaze: None,
            report,
        }
    }
}
