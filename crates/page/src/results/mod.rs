//! `glost results`.

mod json;
mod map;
mod tables;
mod text;

use glost_chemistry::glaze::Glaze;
use glost_core::tiles::mixture::{Fitted, Goal, Lesson, Outcomes, Term};
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
    /// What they say.
    pub lesson: &'a Lesson,
    /// The recipe of the best blend, where the ends' recipes are known.
    pub recipe: Option<&'a BestRecipe>,
    /// What was said about the reading.
    pub assumptions: &'a [String],
}

impl ResultsPage<'_> {
    fn coefficients(&self) -> (&[f64], Option<&[f64]>) {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => (&fit.coefficients, fit.standard_errors.as_deref()),
            Fitted::Chances(fit) => (&fit.coefficients, Some(&fit.standard_errors)),
        }
    }

    fn terms(&self) -> &[Term] {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => &fit.terms,
            Fitted::Chances(fit) => &fit.terms,
        }
    }

    fn model_name(&self) -> String {
        match &self.lesson.fitted {
            Fitted::Grades(fit) => fit.model.name().to_owned(),
            Fitted::Chances(fit) => fit.name(),
        }
    }

    fn is_chance(&self) -> bool {
        matches!(self.lesson.fitted, Fitted::Chances(_))
    }

    fn unit(&self) -> &'static str {
        if self.is_chance() { " % of tiles" } else { "" }
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
        let decimals = (30.0 / self.range()).log10().ceil().clamp(0.0, 8.0);
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
            .map(|(share, end)| format!("{:.0} % {end}", 100.0 * share))
            .collect();
        held.join(", ")
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
