//! What the tiles teach: a model, the best blend, the next tiles.

use super::belief::Belief;
use super::best::{Goal, Surface, best_among, best_blend};
use super::choose::{Choice, Tried, choose};
use super::fit::{Graded, MixtureFit, NoFit, groups};
use super::logistic::{Counted, LogisticFit, chance};
use super::model::MixtureModel;
use super::next::{NextTile, next_tiles};
use super::region::spanned;

/// What came out of the kiln.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcomes {
    /// A grade a tile.
    Grades(Vec<Graded>),
    /// Yes or no a tile.
    Counts(Vec<Counted>),
}

/// What is asked of the tiles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// How many ends there are.
    pub ends: usize,
    /// The model; `None` to choose by leave-one-out error.
    pub model: Option<MixtureModel>,
    /// What is wanted.
    pub goal: Goal,
    /// How many tiles to advise.
    pub next: usize,
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
    /// Its fitted grade, or the chance of yes.
    pub value: f64,
    /// The 90 % band of the mean there; `None` where no tile is to spare.
    pub band: Option<(f64, f64)>,
    /// The model it was looked for with.
    pub model: MixtureModel,
    /// Whether the tiles span it: it could be mixed from them.
    pub spanned: bool,
    /// Whether the surface reaches the wanted value at all.
    pub reached: bool,
}

/// All that the tiles say.
#[derive(Debug, Clone)]
pub struct Lesson {
    /// The model.
    pub fitted: Fitted,
    /// Another model that the best blend was looked for with, where the chosen one is too
    /// simple to be sure of.
    pub bent: Option<MixtureFit>,
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
}

/// Why the tiles teach nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum NoLesson {
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
    /// What is fitted at a blend, by the model that the best one was looked for with: a
    /// grade or a chance of yes, and its 90 % band.
    pub fn value_at(&self, shares: &[f64]) -> (f64, Option<(f64, f64)>) {
        let fit = match (&self.bent, &self.fitted) {
            (Some(fit), _) | (None, Fitted::Grades(fit)) => fit,
            (None, Fitted::Chances(fit)) => {
                let (middle, low, high) = fit.log_odds(shares);
                return (chance(middle), Some((chance(low), chance(high))));
            }
        };
        let value = fit.value(shares);
        let band = fit.half_width(shares).map(|half| (value - half, value + half));
        (value, band)
    }
}

impl Surface for MixtureFit {
    fn value(&self, shares: &[f64]) -> f64 {
        MixtureFit::value(self, shares)
    }
    fn variance(&self, shares: &[f64]) -> f64 {
        self.leverage(shares)
    }
}

impl Surface for Belief {
    fn value(&self, shares: &[f64]) -> f64 {
        Belief::value(self, shares)
    }
    fn variance(&self, shares: &[f64]) -> f64 {
        Belief::variance(self, shares)
    }
}

/// Learns from tiles.
///
/// # Errors
/// Why they teach nothing.
pub fn learn(outcomes: &Outcomes, question: &Question) -> Result<Lesson, NoLesson> {
    if let Some(model) = question.model
        && model.order() > question.ends
    {
        return Err(NoLesson::NoSuchModel(model));
    }
    match outcomes {
        Outcomes::Grades(tiles) => from_grades(tiles, question),
        Outcomes::Counts(tiles) => from_counts(tiles, question),
    }
}

fn from_grades(tiles: &[Graded], question: &Question) -> Result<Lesson, NoLesson> {
    let ends = question.ends;
    if let Some(first) = tiles.first()
        && tiles.len() > 1
        && tiles.iter().all(|tile| tile.value == first.value)
    {
        return Err(NoLesson::AllAlike(first.value));
    }
    let Choice { fit, bent, tried } = match question.model {
        Some(model) => MixtureFit::of(model, ends, tiles)
            .map(|fit| Choice {
                fit,
                bent: None,
                tried: Vec::new(),
            })
            .map_err(|why| NoLesson::NoFit(model, why))?,
        None => choose(ends, tiles).map_err(|why| NoLesson::NoFit(MixtureModel::Linear, why))?,
    };
    let among = |shares: &[f64]| spanned(shares, tiles.iter().map(|tile| tile.shares.as_slice()));
    let looked = |fit: &MixtureFit| best_blend(fit, ends, question.goal);
    // A bend that is hardly known is no guide beyond the tiles.
    let bent = bent
        .map(|bent| (looked(&bent), bent))
        .filter(|(shares, _)| among(shares));
    let (shares, searched) = match &bent {
        Some((shares, bent)) => (shares.clone(), bent),
        None => (looked(&fit), &fit),
    };
    let best = graded_best(searched, shares, question.goal, &among);
    let nearer = (!best.spanned).then(|| {
        let made: Vec<&[f64]> = tiles.iter().map(|tile| tile.shares.as_slice()).collect();
        let shares = best_among(searched, &made, question.goal);
        graded_best(searched, shares, question.goal, &|_: &[f64]| true)
    });
    // Whether anything bends is part of the doubt, unless the call says otherwise.
    let advising = match question.model {
        Some(model) => model,
        None => searched.model.max(MixtureModel::Quadratic),
    };
    let bent = bent.map(|(_, bent)| bent);
    let next = Belief::of(advising.terms(ends), tiles)
        .map(|belief| next_tiles(&belief, ends, question.goal, &best.shares, question.next))
        .unwrap_or_default();
    let loss = |tile: &Graded| loss(question.goal, tile.value);
    Ok(Lesson {
        best_made: least_place(tiles.iter().map(loss)),
        fitted: Fitted::Grades(fit),
        bent,
        tried,
        best,
        nearer,
        next,
    })
}

fn graded_best(fit: &MixtureFit, shares: Vec<f64>, goal: Goal, among: &dyn Fn(&[f64]) -> bool) -> Best {
    let value = fit.value(&shares);
    Best {
        value,
        band: fit.half_width(&shares).map(|half| (value - half, value + half)),
        model: fit.model,
        spanned: among(&shares),
        reached: reached(goal, value),
        shares,
    }
}

fn from_counts(tiles: &[Counted], question: &Question) -> Result<Lesson, NoLesson> {
    let ends = question.ends;
    let blends = groups(&tiles.iter().map(|tile| tile.shares.as_slice()).collect::<Vec<_>>()).len();
    let fit = match question.model {
        Some(MixtureModel::SpecialCubic) => return Err(NoLesson::NoSuchModel(MixtureModel::SpecialCubic)),
        Some(model) => LogisticFit::of(model, ends, tiles),
        None => [MixtureModel::Linear, MixtureModel::Quadratic]
            .into_iter()
            .filter(|model| *model == MixtureModel::Linear || model.size(ends) <= blends)
            .filter_map(|model| LogisticFit::of(model, ends, tiles))
            .reduce(|simpler, other| {
                if other.leave_one_out < simpler.leave_one_out * (1.0 - 1e-9) {
                    other
                } else {
                    simpler
                }
            }),
    };
    let Some(fit) = fit else {
        return Err(NoLesson::AllSaid(tiles.iter().any(|tile| tile.yes > 0.0)));
    };
    let goal = match question.goal {
        Goal::Value(wanted) if !(0.0..=1.0).contains(&wanted) => return Err(NoLesson::NoChance(wanted)),
        Goal::Value(wanted) => Goal::Value(log_odds(wanted)),
        goal => goal,
    };
    let made: Vec<&[f64]> = tiles.iter().map(|tile| tile.shares.as_slice()).collect();
    let told = |shares: Vec<f64>| {
        let (middle, low, high) = fit.log_odds(&shares);
        Best {
            value: chance(middle),
            band: Some((chance(low), chance(high))),
            model: fit.model,
            spanned: spanned(&shares, made.iter().copied()),
            reached: reached(question.goal, chance(middle)),
            shares,
        }
    };
    let best = told(best_blend(&fit.belief, ends, goal));
    let nearer = (!best.spanned).then(|| told(best_among(&fit.belief, &made, goal)));
    // Whether anything bends is part of the doubt, unless the call says otherwise.
    let bent = LogisticFit::of(question.model.unwrap_or(MixtureModel::Quadratic), ends, tiles);
    let advising = bent.as_ref().map_or(&fit.belief, |bent| &bent.belief);
    let mut next = next_tiles(advising, ends, goal, &best.shares, question.next);
    for tile in &mut next {
        (tile.value, tile.low, tile.high) = (chance(tile.value), chance(tile.low), chance(tile.high));
    }
    let loss = |tile: &Counted| loss(question.goal, tile.yes / tile.of);
    Ok(Lesson {
        best_made: least_place(tiles.iter().map(loss)),
        fitted: Fitted::Chances(fit),
        bent: None,
        tried: Vec::new(),
        best,
        nearer,
        next,
    })
}

/// Log-odds of a chance, short of certainty.
fn log_odds(chance: f64) -> f64 {
    let inside = chance.clamp(1e-3, 1.0 - 1e-3);
    (inside / (1.0 - inside)).ln()
}

fn loss(goal: Goal, value: f64) -> f64 {
    match goal {
        Goal::Most => -value,
        Goal::Least => value,
        Goal::Value(wanted) => (value - wanted).abs(),
    }
}

fn reached(goal: Goal, value: f64) -> bool {
    match goal {
        Goal::Most | Goal::Least => true,
        Goal::Value(wanted) => (value - wanted).abs() <= 1e-6 * wanted.abs().max(1.0),
    }
}

fn least_place(losses: impl Iterator<Item = f64>) -> usize {
    let mut least = (0, f64::INFINITY);
    for (place, loss) in losses.enumerate() {
        if loss < least.1 {
            least = (place, loss);
        }
    }
    least.0
}
