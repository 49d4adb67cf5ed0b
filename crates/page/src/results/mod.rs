//! `glost results`.

mod json;
mod ladder;
mod map;
mod tables;
mod text;
mod words;

use glost_chemistry::glaze::Glaze;
use glost_core::tiles::mixture::{
    Fitted, Goal, LadderLesson, Learned, Lesson, LowersCrazing, Outcomes, SurfaceLesson, Term,
};
use glost_core::workshop::scales::Weighed;

/// The recipe of the best blend, to the scales.
#[derive(Debug, Clone)]
pub struct BestRecipe {
    /// The glaze.
    pub glaze: Glaze,
    /// Grams of base that it is weighed for.
    pub dry_grams: f64,
    /// Grams of base and additions.
    pub weighed: Weighed,
    /// The step of the scales in grams.
    pub step_grams: f64,
}

/// The end whose rise lessens a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct LoweringWords {
    /// By its place.
    pub end: usize,
    /// What is added on top of the other end, where the plan is a ladder of it.
    pub addition: Option<String>,
    /// What it is, where it is known.
    pub material: Option<LowersCrazing>,
}

/// How old the pieces were that a call of no crazing rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgeSeen {
    /// Days; `None` where some age isn't told.
    pub youngest_days: Option<f64>,
    /// Whether the clay is known to be dense.
    pub dense: bool,
}

impl AgeSeen {
    /// From when on crazing that hasn't come is not expected any more, in days: sooner on
    /// dense clays than on porous ones, or those of which nobody knows (common practice,
    /// no source).
    pub fn enough_days(&self) -> f64 {
        if self.dense { 180.0 } else { 365.0 }
    }

    /// Whether they were old enough.
    pub fn enough(&self) -> bool {
        self.youngest_days.is_some_and(|days| days >= self.enough_days())
    }
}

/// What the tiles taught.
#[derive(Debug, Clone)]
pub struct ResultsPage<'a> {
    /// Names of the ends.
    pub ends: &'a [String],
    /// What was graded.
    pub value: &'a str,
    /// What is wanted of it.
    pub goal: Goal,
    /// The tiles.
    pub outcomes: &'a Outcomes,
    /// What each tile is called.
    pub names: &'a [String],
    /// How old the pieces were that a call of no crazing rests on; `None` for anything else.
    pub age: Option<AgeSeen>,
    /// The end whose rise lessens the fault, where it is known.
    pub lowering: Option<LoweringWords>,
    /// Whether the fitted model is shown too.
    pub details: bool,
    /// What they say.
    pub lesson: &'a Lesson,
    /// The recipe of the best blend, where the ends' recipes are known.
    pub recipe: Option<&'a BestRecipe>,
    /// What was said about the reading.
    pub assumptions: &'a [String],
}

/// The fitted model's terms, coefficients and their standard errors.
struct Coefficients<'a> {
    terms: &'a [Term],
    values: &'a [f64],
    errors: Option<&'a [f64]>,
}

impl ResultsPage<'_> {
    fn coefficients(&self) -> Option<Coefficients<'_>> {
        // Without a fit there are none.
        Some(match self.lesson.fitted.as_ref().ok()? {
            Fitted::Grades(fit) => Coefficients {
                terms: &fit.terms,
                values: &fit.coefficients,
                errors: fit.standard_errors.as_deref(),
            },
            Fitted::Chances(fit) => Coefficients {
                terms: &fit.terms,
                values: &fit.coefficients,
                errors: Some(&fit.standard_errors),
            },
        })
    }

    fn model_name(&self) -> Option<String> {
        match self.lesson.fitted.as_ref().ok()? {
            Fitted::Grades(fit) => Some(fit.model.name().to_owned()),
            Fitted::Chances(fit) => Some(fit.name()),
        }
    }

    fn ladder(&self) -> Option<&LadderLesson> {
        match &self.lesson.learned {
            Learned::Ladder(lesson) => Some(lesson),
            Learned::Surfaces(_) | Learned::OneModel => None,
        }
    }

    fn surfaces(&self) -> Option<&SurfaceLesson> {
        match &self.lesson.learned {
            Learned::Surfaces(lesson) => Some(lesson),
            Learned::Ladder(_) | Learned::OneModel => None,
        }
    }

    fn is_chance(&self) -> bool {
        matches!(self.outcomes, Outcomes::Counts(_))
    }

    fn unit(&self) -> &'static str {
        if self.is_chance() { " % of pieces" } else { "" }
    }

    fn tile_count(&self) -> usize {
        match self.outcomes {
            Outcomes::Grades(tiles) => tiles.len(),
            Outcomes::Counts(tiles) => tiles.len(),
        }
    }

    /// How far the results range; a chance from 0 to 1.
    fn range(&self) -> f64 {
        match self.outcomes {
            Outcomes::Grades(tiles) => {
                let values = || tiles.iter().map(|tile| tile.value);
                values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
            }
            Outcomes::Counts(_) => 0.6,
        }
    }

    /// Decimals that the results' range is worth: 1 for grades from 0 to 5.
    fn decimals(&self) -> usize {
        let range = if self.range() > 0.0 { self.range() } else { 1.0 };
        let decimals = (30.0 / range).log10().ceil().clamp(0.0, 8.0);
        decimals as usize
    }

    /// The ends as tables name them: by number where a name is long.
    fn short_names(&self) -> Vec<String> {
        const MOST: usize = 14;
        if self.ends.iter().all(|end| end.chars().count() <= MOST) {
            return self.ends.to_vec();
        }
        (1..=self.ends.len()).map(|place| format!("end {place}")).collect()
    }

    /// A believed result within the grades' own scale, where they have one.
    fn on_scale(&self, value: f64) -> f64 {
        if self.surfaces().is_some_and(|lesson| lesson.on_scale) {
            value.clamp(0.0, 5.0)
        } else {
            value
        }
    }

    /// A result; a chance in per cent.
    fn number(&self, value: f64) -> String {
        if self.is_chance() {
            return format!("{:.0}", 100.0 * value);
        }
        without_minus_zero(format!("{value:.*}", self.decimals()))
    }

    /// A result with one decimal more.
    fn fine(&self, value: f64) -> String {
        let decimals = if self.is_chance() { 2 } else { self.decimals() + 1 };
        without_minus_zero(format!("{value:.decimals$}"))
    }

    /// A blend in per cent of its ends, those that it holds.
    fn blend(&self, shares: &[f64]) -> String {
        let alone = shares.iter().zip(self.ends).find(|(share, _)| **share >= 0.995);
        if let Some((_, end)) = alone {
            return format!("{end}{ALONE}");
        }
        let held: Vec<String> = shares
            .iter()
            .zip(self.ends)
            .filter(|(share, _)| **share >= 0.005)
            .map(|(share, end)| format!("{} {end}", share_words(*share)))
            .collect();
        held.join(", ")
    }
}

/// A share in per cent, to the half.
fn share_words(share: f64) -> String {
    let halves = (200.0 * share).round() / 2.0;
    let whole = (100.0 * share).round();
    // A lattice of fortieths falls between whole per cents.
    if (200.0 * share - 2.0 * halves).abs() < 0.05 {
        format!("{} %", crate::number::plain(halves))
    } else {
        format!("{whole:.0} %")
    }
}

/// What is said after an end that nothing is mixed with.
const ALONE: &str = " alone";

fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

fn without_minus_zero(text: String) -> String {
    if text.starts_with('-') && text.chars().all(|sign| matches!(sign, '-' | '0' | '.')) {
        return text[1..].to_owned();
    }
    text
}
