//! What the tiles teach: a model, the best blend, the next tiles.

use super::best::Goal;
use super::by_belief::{Beliefs, learn_by_belief};
use super::by_model::learn_by;
use super::choose::Tried;
use super::fit::{Graded, MixtureFit, NoFit};
use super::ladder::{FailingShare, Ladder};
use super::logistic::{Counted, LogisticFit, chance};
use super::model::MixtureModel;
use super::next::NextTile;

/// What came out of the kiln.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcomes {
    /// A grade a tile.
    Grades(Vec<Graded>),
    /// Yes or no a tile.
    Counts(Vec<Counted>),
}

/// What is asked of the tiles.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// How many ends there are.
    pub ends: usize,
    /// One model for everything; `None` to weigh several.
    pub model: Option<MixtureModel>,
    /// What is wanted.
    pub goal: Goal,
    /// How many tiles to advise.
    pub next: usize,
    /// The end whose rise lessens the fault that was counted, where it is known.
    pub ladder: Option<LadderQuestion>,
}

/// A ladder of an addition known to lower a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct LadderQuestion {
    /// The end whose rise lessens the fault, by place; the other is the ladder's foot.
    pub lowering: usize,
    /// How much of the addition the foot alone holds, per cent.
    pub percent_at_foot: f64,
    /// How much of it a share of 1 is, per cent.
    pub percent_at_whole: f64,
    /// The largest addition there can be, per cent.
    pub most_percent: f64,
    /// Which firing each tile was in, by number.
    pub firings: Vec<usize>,
}

/// The model behind a lesson.
#[derive(Debug, Clone)]
pub enum Fitted {
    /// Least squares on grades.
    Grades(MixtureFit),
    /// Logistic on yes and no.
    Chances(LogisticFit),
}

/// The best blend.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// Shares of the ends.
    pub shares: Vec<f64>,
    /// Its grade as believed, or the share of yes.
    pub value: f64,
    /// Its 90 % band; `None` where no tile is to spare.
    pub band: Option<(f64, f64)>,
    /// The model it was looked for with, where it was one.
    pub model: Option<MixtureModel>,
    /// Whether the tiles span it: it could be mixed from them.
    pub spanned: bool,
    /// Whether what is wanted is reached there.
    pub reached: bool,
}

/// How the advice came about.
#[derive(Debug, Clone)]
pub enum Learned {
    /// By one model alone.
    OneModel,
    /// By several surfaces, weighed.
    Surfaces(Box<SurfaceLesson>),
    /// By the ladder's law.
    Ladder(Box<LadderLesson>),
}

/// What several surfaces say together.
#[derive(Debug, Clone)]
pub struct SurfaceLesson {
    /// The chance that the best blend is better than the best tile made; `None` for a
    /// wanted value.
    pub beats_made: Option<f64>,
    /// What is believed of the best blend made: a grade, or the share of yes.
    pub made_value: f64,
    /// How many times as likely the tiles make it that the blend doesn't matter.
    pub flat_odds: f64,
    /// How far one tile lies from the surface, in the grade's unit, one standard deviation;
    /// `None` for yes and no.
    pub scatter: Option<f64>,
    /// For yes and no: the chance that fewer than one piece in ten says yes at the best.
    pub under_tenth: Option<f64>,
    /// Whether all tiles came out alike.
    pub alike: bool,
    /// Whether all grades are whole or halves between 0 and 5.
    pub on_scale: bool,
    pub(super) beliefs: Beliefs,
}

/// What a ladder says.
#[derive(Debug, Clone)]
pub struct LadderLesson {
    /// The least addition that holds; `None` where none is shown to.
    pub least: Option<Holding>,
    /// The highest addition made, and the chance that it holds.
    pub top: Holding,
    /// Every tile, by place.
    pub rungs: Vec<RungSeen>,
    /// The next tile's addition, per cent, where one is advised.
    pub next_percent: Option<f64>,
    /// The step of the additions, per cent.
    pub step_percent: f64,
    /// Whether all pieces failed, or none.
    pub alike: Option<bool>,
    /// What was asked.
    pub question: LadderQuestion,
    pub(super) ladder: Ladder,
}

/// A tile of a ladder, and what is believed of its addition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RungSeen {
    /// Per cent added.
    pub percent: f64,
    /// The share of pieces that fail there, over many firings.
    pub failing: FailingShare,
    /// The chance that it holds.
    pub chance: f64,
}

/// An addition and the chance that it holds: that fewer than one piece in ten fails over
/// many firings.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// Per cent.
    pub percent: f64,
    /// Shares of the ends.
    pub shares: Vec<f64>,
    /// The chance.
    pub chance: f64,
}

/// All that the tiles say.
#[derive(Debug, Clone)]
pub struct Lesson {
    /// The model, or why these tiles can't be fitted by any.
    pub fitted: Result<Fitted, NoLesson>,
    /// The models that were tried, where it was chosen.
    pub tried: Vec<Tried>,
    /// The best blend.
    pub best: Best,
    /// Where that lies beyond the tiles: the best among what they span.
    pub nearer: Option<Best>,
    /// The tiles to make next, the one that says most first.
    pub next: Vec<NextTile>,
    /// The best of the tiles made, by its place.
    pub best_made: usize,
    /// How the advice came about.
    pub learned: Learned,
}

/// Why the tiles teach nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum NoLesson {
    /// There are none.
    NoTiles,
    /// The model can't be fitted.
    NoFit(MixtureModel, NoFit),
    /// All tiles came out alike.
    AllAlike(f64),
    /// All said yes, or all no.
    AllSaid(bool),
    /// A wanted chance of yes that isn't between 0 and 1.
    NoChance(f64),
    /// A special cubic model over yes and no, or over two ends.
    NoSuchModel(MixtureModel),
}

impl Lesson {
    /// What is believed of a blend: a grade or a share of yes, and its 90 % band.
    pub fn value_at(&self, shares: &[f64]) -> (f64, Option<(f64, f64)>) {
        match (&self.learned, &self.fitted) {
            (Learned::Surfaces(lesson), _) => {
                let (value, band) = lesson.beliefs.at(shares);
                (value, Some(band))
            }
            (Learned::Ladder(lesson), _) => {
                let failing = lesson.ladder.failing(lesson.question.percent(shares));
                (failing.mean, Some((failing.low, failing.high)))
            }
            (Learned::OneModel, Ok(Fitted::Grades(fit))) => {
                let value = fit.value(shares);
                let band = fit.half_width(shares).map(|half| (value - half, value + half));
                (value, band)
            }
            (Learned::OneModel, Ok(Fitted::Chances(fit))) => {
                let (middle, low, high) = fit.log_odds(shares);
                (chance(middle), Some((chance(low), chance(high))))
            }
            // One model alone always comes with its fit.
            (Learned::OneModel, Err(_)) => (self.best.value, None),
        }
    }

    /// The tiles that a call of a fault's absence rests on, by place: on a ladder those with
    /// the addition called or more, else the best made.
    pub fn tiles_borne_on(&self) -> Vec<usize> {
        match &self.learned {
            Learned::Ladder(lesson) => {
                let called = lesson.least.as_ref().unwrap_or(&lesson.top).percent;
                let rungs = lesson.rungs.iter().enumerate();
                let above = rungs.filter(|(_, rung)| rung.percent >= called - 1e-9);
                above.map(|(place, _)| place).collect()
            }
            Learned::Surfaces(_) | Learned::OneModel => vec![self.best_made],
        }
    }

    /// What is believed of a blend, without a band.
    pub fn height_at(&self, shares: &[f64]) -> f64 {
        match &self.learned {
            Learned::Surfaces(lesson) => lesson.beliefs.height(shares),
            Learned::OneModel | Learned::Ladder(_) => self.value_at(shares).0,
        }
    }
}

impl LadderQuestion {
    /// The addition of a blend, per cent.
    pub(super) fn percent(&self, shares: &[f64]) -> f64 {
        let percent = self.percent_at_foot + (self.percent_at_whole - self.percent_at_foot) * shares[self.lowering];
        (1e9 * percent).round() / 1e9
    }

    /// The blend of an addition, per cent.
    pub(super) fn shares(&self, percent: f64) -> Vec<f64> {
        let share = (percent - self.percent_at_foot) / (self.percent_at_whole - self.percent_at_foot);
        let mut shares = vec![1.0 - share; 2];
        shares[self.lowering] = share;
        shares
    }
}

/// Learns from tiles.
///
/// # Errors
/// Why they teach nothing.
pub fn learn(outcomes: &Outcomes, question: &Question) -> Result<Lesson, NoLesson> {
    if let Some(model) = question.model {
        let counted = matches!(outcomes, Outcomes::Counts(_));
        if model.order() > question.ends || (counted && model == MixtureModel::SpecialCubic) {
            return Err(NoLesson::NoSuchModel(model));
        }
    }
    if let (Outcomes::Counts(_), Goal::Value(wanted)) = (outcomes, question.goal)
        && !(0.0..=1.0).contains(&wanted)
    {
        return Err(NoLesson::NoChance(wanted));
    }
    match question.model {
        Some(model) => learn_by(model, outcomes, question),
        None => learn_by_belief(outcomes, question),
    }
}
