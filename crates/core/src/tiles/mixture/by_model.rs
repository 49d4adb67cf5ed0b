//! The lesson of one model, as the call names it.

use super::belief::Belief;
use super::best::{Goal, Surface, best_among, best_blend};
use super::fit::{Graded, MixtureFit};
use super::lesson::{Best, Fitted, Learned, Lesson, NoLesson, Outcomes, Question};
use super::logistic::{Counted, LogisticFit, chance};
use super::model::MixtureModel;
use super::next::next_tiles;
use super::region::spanned;

/// Learns from tiles by one model alone: its best blend, its next tiles.
pub(super) fn learn_by(model: MixtureModel, outcomes: &Outcomes, question: &Question) -> Result<Lesson, NoLesson> {
    match outcomes {
        Outcomes::Grades(tiles) => from_grades(model, tiles, question),
        Outcomes::Counts(tiles) => from_counts(model, tiles, question),
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

fn from_grades(model: MixtureModel, tiles: &[Graded], question: &Question) -> Result<Lesson, NoLesson> {
    let ends = question.ends;
    if let Some(first) = tiles.first()
        && tiles.len() > 1
        && tiles.iter().all(|tile| tile.value == first.value)
    {
        return Err(NoLesson::AllAlike(first.value));
    }
    let fit = MixtureFit::of(model, ends, tiles).map_err(|why| NoLesson::NoFit(model, why))?;
    let among = |shares: &[f64]| spanned(shares, tiles.iter().map(|tile| tile.shares.as_slice()));
    let best = graded_best(&fit, best_blend(&fit, ends, question.goal), question.goal, &among);
    let nearer = (!best.spanned).then(|| {
        let made: Vec<&[f64]> = tiles.iter().map(|tile| tile.shares.as_slice()).collect();
        let shares = best_among(&fit, &made, question.goal);
        graded_best(&fit, shares, question.goal, &|_: &[f64]| true)
    });
    let next = Belief::of(model.terms(ends), tiles).map_or_else(Vec::new, |belief| {
        next_tiles(&belief, ends, question.goal, &best.shares, question.next)
    });
    let loss = |tile: &Graded| question.goal.loss(tile.value);
    Ok(Lesson {
        best_made: least_place(tiles.iter().map(loss)),
        fitted: Ok(Fitted::Grades(fit)),
        tried: Vec::new(),
        best,
        nearer,
        next,
        learned: Learned::OneModel,
    })
}

fn graded_best(fit: &MixtureFit, shares: Vec<f64>, goal: Goal, among: &dyn Fn(&[f64]) -> bool) -> Best {
    let value = fit.value(&shares);
    Best {
        value,
        band: fit.half_width(&shares).map(|half| (value - half, value + half)),
        model: Some(fit.model),
        spanned: among(&shares),
        reached: reached(goal, value),
        shares,
    }
}

fn from_counts(model: MixtureModel, tiles: &[Counted], question: &Question) -> Result<Lesson, NoLesson> {
    let ends = question.ends;
    let Some(fit) = LogisticFit::of(model, ends, tiles) else {
        return Err(NoLesson::AllSaid(tiles.iter().any(|tile| tile.yes > 0.0)));
    };
    let goal = match question.goal {
        Goal::Value(wanted) => Goal::Value(log_odds(wanted)),
        goal => goal,
    };
    let made: Vec<&[f64]> = tiles.iter().map(|tile| tile.shares.as_slice()).collect();
    let told = |shares: Vec<f64>| {
        let (middle, low, high) = fit.log_odds(&shares);
        Best {
            value: chance(middle),
            band: Some((chance(low), chance(high))),
            model: Some(fit.model),
            spanned: spanned(&shares, made.iter().copied()),
            reached: reached(question.goal, chance(middle)),
            shares,
        }
    };
    let best = told(best_blend(&fit.belief, ends, goal));
    let nearer = (!best.spanned).then(|| told(best_among(&fit.belief, &made, goal)));
    let mut next = next_tiles(&fit.belief, ends, goal, &best.shares, question.next);
    for tile in &mut next {
        (tile.value, tile.low, tile.high) = (chance(tile.value), chance(tile.low), chance(tile.high));
    }
    let loss = |tile: &Counted| question.goal.loss(tile.yes / tile.of);
    Ok(Lesson {
        best_made: least_place(tiles.iter().map(loss)),
        fitted: Ok(Fitted::Chances(fit)),
        tried: Vec::new(),
        best,
        nearer,
        next,
        learned: Learned::OneModel,
    })
}

/// Log-odds of a chance, short of certainty.
fn log_odds(chance: f64) -> f64 {
    let inside = chance.clamp(1e-3, 1.0 - 1e-3);
    (inside / (1.0 - inside)).ln()
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
