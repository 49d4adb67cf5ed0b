//! What the tiles taught, with what follows from it at once.

use glost_core::tiles::mixture::{
    Fitted, Goal, LadderLesson, Learned, Lesson, NextTile, Outcomes, SurfaceLesson, Term, WaitingTile,
};

use crate::Said;

use super::{AgeSeen, BestRecipe, LessensBy};

/// From this chance on, the blend believed best goes first; else the best tile made.
const SURELY_BETTER: f64 = 0.8;
/// Shares that differ by less are one blend.
const SAME_BLEND: f64 = 0.0051;
/// Shares of an advised tile that differ by less are a tile that was made.
const MADE: f64 = 0.01;
/// Shares that differ by less lie beside each other.
const BESIDE: f64 = 0.1;

/// What the tiles taught.
#[derive(Debug, Clone)]
pub struct Taught {
    /// Names of the ends.
    pub ends: Vec<String>,
    /// What was graded.
    pub value: String,
    /// What is wanted of it.
    pub goal: Goal,
    /// The tiles.
    pub outcomes: Outcomes,
    /// What each tile is called.
    pub names: Vec<String>,
    /// Tiles of the plans that nobody has looked at for it yet.
    pub waiting: Vec<WaitingTile>,
    /// How old the pieces were that a call of no crazing rests on; `None` for anything else.
    pub age: Option<AgeSeen>,
    /// The end whose rise lessens the fault, where it is known.
    pub lowering: Option<LessensBy>,
    /// Whether the fitted model is shown too.
    pub details: bool,
    /// What they say.
    pub lesson: Lesson,
    /// The recipe of the best blend, where the ends' recipes are known.
    pub recipe: Option<BestRecipe>,
    /// What was taken for granted.
    pub assumptions: Vec<Said>,
}

/// The fitted model's terms, coefficients and their standard errors.
#[derive(Debug, Clone, Copy)]
pub struct Coefficients<'a> {
    /// The terms.
    pub terms: &'a [Term],
    /// Their coefficients.
    pub values: &'a [f64],
    /// Their standard errors, where there are tiles to spare.
    pub errors: Option<&'a [f64]>,
}

/// Why one model advises a tile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ModelWhy {
    /// It is the best so far; made before or not.
    Best {
        /// Whether it was made.
        made: bool,
    },
    /// It may yet be best.
    MayBeBest {
        /// Whether it was made.
        made: bool,
    },
    /// It says most of the model.
    Steadies {
        /// Whether it was made.
        made: bool,
    },
}

impl ModelWhy {
    /// In a few words.
    pub fn word(self) -> &'static str {
        match self {
            ModelWhy::Best { made: true } => "the best so far: again",
            ModelWhy::Best { made: false } => "beside the best",
            ModelWhy::MayBeBest { made: true } => "may yet be best: again",
            ModelWhy::MayBeBest { made: false } => "may yet be best",
            ModelWhy::Steadies { made: true } => "steadies the model: again",
            ModelWhy::Steadies { made: false } => "steadies the model",
        }
    }
}

impl Taught {
    /// The fitted model's terms; without a fit there are none.
    pub fn coefficients(&self) -> Option<Coefficients<'_>> {
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

    /// What the fitted model is called.
    pub fn model_name(&self) -> Option<String> {
        match self.lesson.fitted.as_ref().ok()? {
            Fitted::Grades(fit) => Some(fit.model.name().to_owned()),
            Fitted::Chances(fit) => Some(fit.name()),
        }
    }

    /// What a ladder taught, where the tiles are one.
    pub fn ladder(&self) -> Option<&LadderLesson> {
        match &self.lesson.learned {
            Learned::Ladder(lesson) => Some(lesson),
            Learned::Surfaces(_) | Learned::OneModel => None,
        }
    }

    /// What several models say together, where they were asked.
    pub fn surfaces(&self) -> Option<&SurfaceLesson> {
        match &self.lesson.learned {
            Learned::Surfaces(lesson) => Some(lesson),
            Learned::Ladder(_) | Learned::OneModel => None,
        }
    }

    /// Whether pieces were counted: results are chances then.
    pub fn is_chance(&self) -> bool {
        matches!(&self.outcomes, Outcomes::Counts(_))
    }

    /// How many tiles there are.
    pub fn tile_count(&self) -> usize {
        match &self.outcomes {
            Outcomes::Grades(tiles) => tiles.len(),
            Outcomes::Counts(tiles) => tiles.len(),
        }
    }

    /// How far the results range; a chance from 0 to 1.
    pub fn range(&self) -> f64 {
        match &self.outcomes {
            Outcomes::Grades(tiles) => {
                let values = || tiles.iter().map(|tile| tile.value);
                values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
            }
            Outcomes::Counts(_) => 0.6,
        }
    }

    /// Whether the blend believed best is so sure to beat the best tile made, or is wanted
    /// for a value, that it goes first.
    pub fn may_be_better(&self) -> bool {
        let beats = self.surfaces().and_then(|lesson| lesson.beats_made);
        beats.is_none_or(|chance| chance >= SURELY_BETTER)
    }

    /// A tile's shares of the ends.
    pub fn shares(&self, place: usize) -> &[f64] {
        match &self.outcomes {
            Outcomes::Grades(tiles) => &tiles[place].shares,
            Outcomes::Counts(tiles) => &tiles[place].shares,
        }
    }

    /// Whether a tile of this blend was made.
    pub fn is_made(&self, blend: &[f64]) -> bool {
        self.is_made_within(blend, SAME_BLEND)
    }

    fn is_made_within(&self, blend: &[f64], most: f64) -> bool {
        (0..self.tile_count()).any(|place| near(self.shares(place), blend, most))
    }

    /// The planned tile of this blend, where one waits for a look.
    pub fn waits(&self, blend: &[f64]) -> Option<&WaitingTile> {
        self.waiting.iter().find(|tile| near(&tile.shares, blend, SAME_BLEND))
    }

    /// Why one model advises a tile.
    pub fn model_why(&self, tile: &NextTile) -> ModelWhy {
        let made = self.is_made_within(&tile.shares, MADE);
        let best = &self.lesson.best;
        let rival = match self.goal {
            Goal::Most => tile.high >= best.value,
            Goal::Least => tile.low <= best.value,
            Goal::Value(wanted) => (tile.low..=tile.high).contains(&wanted),
        };
        match (near(&best.shares, &tile.shares, BESIDE), rival) {
            (true, _) => ModelWhy::Best { made },
            (false, true) => ModelWhy::MayBeBest { made },
            (false, false) => ModelWhy::Steadies { made },
        }
    }
}

/// One lesson is itself: it is never compared by what it holds.
impl PartialEq for Taught {
    fn eq(&self, other: &Taught) -> bool {
        std::ptr::eq(self, other)
    }
}

fn near(one: &[f64], other: &[f64], most: f64) -> bool {
    one.iter().zip(other).all(|(one, other)| (one - other).abs() <= most)
}
