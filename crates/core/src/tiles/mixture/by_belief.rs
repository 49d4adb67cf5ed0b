//! The lesson of several surfaces weighed, or of a ladder's law. What least squares says of
//! the tiles goes beside it, unchanged.

use super::advice::{self, Why, half_band};
use super::best::Goal;
use super::choose::{Tried, choose};
use super::fit::{Graded, groups};
use super::ladder::{Ladder, Rung};
use super::ladder_next::next_rung;
use super::lesson::{
    Best, Fitted, Holding, LadderLesson, LadderQuestion, Learned, Lesson, NoLesson, Outcomes, Question, RungSeen,
    SurfaceLesson,
};
use super::logistic::{Counted, LogisticFit};
use super::model::MixtureModel;
use super::next::NextTile;
use super::places::{Made, Region};
use super::probit::{self, Chances, Count};
use super::probit_advice::{self, BelievedChance};
use super::region::spanned;
use super::surfaces::{self, Surfaces, step_of};

/// Additions are called in steps of so many per cent; of short ladders in finer ones.
const STEP_PERCENT: f64 = 0.5;
const FINE_STEP_PERCENT: f64 = 0.1;
const SHORT_LADDER_PERCENT: f64 = 2.5;

/// What is believed over all blends.
#[derive(Debug, Clone)]
pub(super) struct Beliefs {
    region: Region,
    surface: Surface,
}

#[derive(Debug, Clone)]
enum Surface {
    Grades(Surfaces),
    Chances(Chances),
}

impl Beliefs {
    /// The grade or share of yes at a blend, and its 90 % band.
    pub(super) fn at(&self, shares: &[f64]) -> (f64, (f64, f64)) {
        let inner = self.region.inward(shares);
        match &self.surface {
            Surface::Grades(surfaces) => {
                let outlook = surfaces.outlook(vec![inner]);
                let (value, half) = (outlook.value(0), half_band(outlook.value_deviation(0)));
                (value, (value - half, value + half))
            }
            Surface::Chances(chances) => probit_advice::chance_at(chances, &inner),
        }
    }

    /// The grade or share of yes at a blend.
    pub(super) fn height(&self, shares: &[f64]) -> f64 {
        match &self.surface {
            Surface::Grades(surfaces) => surfaces.value(&self.region.inward(shares)),
            Surface::Chances(_) => self.at(shares).0,
        }
    }
}

/// Learns from tiles by every model there is.
pub(super) fn learn_by_belief(outcomes: &Outcomes, question: &Question) -> Result<Lesson, NoLesson> {
    match (outcomes, &question.ladder) {
        (Outcomes::Counts(tiles), Some(ladder)) => from_ladder(tiles, question, ladder),
        (Outcomes::Counts(tiles), None) => from_counts(tiles, question),
        (Outcomes::Grades(tiles), _) => from_grades(tiles, question),
    }
}

/// Where tiles lie: the region, their blends within it, and the different ones.
fn within<'a>(tiles: impl Iterator<Item = &'a Vec<f64>> + Clone, ends: usize) -> (Region, Vec<Vec<f64>>, Made) {
    let scaled: Vec<Vec<f64>> = tiles
        .map(|shares| {
            let sum: f64 = shares.iter().sum();
            shares.iter().map(|share| share / sum).collect()
        })
        .collect();
    let region = Region::of(scaled.iter().map(Vec::as_slice), ends);
    let inner: Vec<Vec<f64>> = scaled.iter().map(|shares| region.inward(shares)).collect();
    let made = Made::of(&inner);
    (region, inner, made)
}

fn odds(weight: f64, before: f64) -> f64 {
    weight / (1.0 - weight).max(f64::MIN_POSITIVE) / (before / (1.0 - before))
}

fn from_grades(tiles: &[Graded], question: &Question) -> Result<Lesson, NoLesson> {
    let (region, inner, made) = within(tiles.iter().map(|tile| &tile.shares), question.ends);
    let grades: Vec<f64> = tiles.iter().map(|tile| tile.value).collect();
    let surfaces = Surfaces::of(inner, &grades).ok_or(NoLesson::NoTiles)?;
    let advice = advice::advise(&surfaces, &made, &grades, question.goal, question.next).ok_or(NoLesson::NoTiles)?;
    let (fitted, tried) = least_squares(tiles, question.ends, surfaces.alike);
    let half = half_band(advice.best.deviation);
    let band = (advice.best.value - half, advice.best.value + half);
    let shares = region.outward(&advice.best.shares);
    let next = advice.next.iter().map(|advised| {
        let half = half_band(advised.tile.deviation);
        NextTile {
            shares: region.outward(&advised.tile.shares),
            value: advised.tile.value,
            low: advised.tile.value - half,
            high: advised.tile.value + half,
            gain: advised.gain,
            why: Some(advised.why),
        }
    });
    Ok(Lesson {
        best: Best {
            value: advice.best.value,
            band: Some(band),
            model: None,
            spanned: spanned(&shares, tiles.iter().map(|tile| tile.shares.as_slice())),
            reached: match question.goal {
                Goal::Value(wanted) => (band.0..=band.1).contains(&wanted),
                Goal::Most | Goal::Least => true,
            },
            shares,
        },
        nearer: None,
        next: next.collect(),
        best_made: first_tile(&made, advice.best_made),
        fitted,
        tried,
        learned: Learned::Surfaces(Box::new(SurfaceLesson {
            beats_made: advice.beats_made,
            made_value: advice.best_made_value,
            flat_odds: odds(surfaces.flat, surfaces::FLAT_BEFORE),
            scatter: Some(surfaces.scatter),
            under_tenth: None,
            alike: surfaces.alike,
            on_scale: step_of(&grades).is_some() && grades.iter().all(|grade| (0.0..=5.0).contains(grade)),
            beliefs: Beliefs {
                region,
                surface: Surface::Grades(surfaces),
            },
        })),
    })
}

fn first_tile(made: &Made, blend: usize) -> usize {
    made.tiles[blend].first().copied().unwrap_or(0)
}

/// Plain least squares beside the advice, by the model that foretells left-out tiles best.
fn least_squares(tiles: &[Graded], ends: usize, alike: bool) -> (Result<Fitted, NoLesson>, Vec<Tried>) {
    if alike {
        return (Err(NoLesson::AllAlike(tiles[0].value)), Vec::new());
    }
    match choose(ends, tiles) {
        Ok(choice) => (Ok(Fitted::Grades(choice.fit)), choice.tried),
        Err(why) => (Err(NoLesson::NoFit(MixtureModel::Linear, why)), Vec::new()),
    }
}

/// The logistic model beside the advice: straight or bent, as it foretells left-out tiles.
fn logistic(tiles: &[Counted], ends: usize) -> Result<Fitted, NoLesson> {
    let blends = groups(&tiles.iter().map(|tile| tile.shares.as_slice()).collect::<Vec<_>>()).len();
    let fit = [MixtureModel::Linear, MixtureModel::Quadratic]
        .into_iter()
        .filter(|model| *model == MixtureModel::Linear || model.size(ends) <= blends)
        .filter_map(|model| LogisticFit::of(model, ends, tiles))
        .reduce(|simpler, other| {
            if other.leave_one_out < simpler.leave_one_out * (1.0 - 1e-9) {
                other
            } else {
                simpler
            }
        });
    fit.map(Fitted::Chances)
        .ok_or_else(|| NoLesson::AllSaid(tiles.iter().any(|tile| tile.yes > 0.0)))
}

/// Whether all pieces say yes, or all no.
fn all_said(tiles: &[Counted]) -> Option<bool> {
    if tiles.iter().all(|tile| tile.yes >= tile.of) {
        Some(true)
    } else if tiles.iter().all(|tile| tile.yes <= 0.0) {
        Some(false)
    } else {
        None
    }
}

fn from_counts(tiles: &[Counted], question: &Question) -> Result<Lesson, NoLesson> {
    let (region, inner, made) = within(tiles.iter().map(|tile| &tile.shares), question.ends);
    let counts: Vec<Count> = tiles
        .iter()
        .map(|tile| Count {
            yes: tile.yes,
            of: tile.of,
        })
        .collect();
    let chances = Chances::of(inner, &counts).ok_or(NoLesson::NoTiles)?;
    let advice =
        probit_advice::advise(&chances, &made, &counts, question.goal, question.next).ok_or(NoLesson::NoTiles)?;
    let shares = region.outward(&advice.best.shares);
    let next = advice
        .next
        .iter()
        .map(|(tile, gain, why)| believed_tile(&region, tile, *gain, *why));
    Ok(Lesson {
        fitted: logistic(tiles, question.ends),
        tried: Vec::new(),
        best: Best {
            value: advice.best.value,
            band: Some((advice.best.low, advice.best.high)),
            model: None,
            spanned: spanned(&shares, tiles.iter().map(|tile| tile.shares.as_slice())),
            reached: match question.goal {
                Goal::Value(wanted) => (advice.best.low..=advice.best.high).contains(&wanted),
                Goal::Most | Goal::Least => true,
            },
            shares,
        },
        nearer: None,
        next: next.collect(),
        best_made: first_tile(&made, advice.best_made),
        learned: Learned::Surfaces(Box::new(SurfaceLesson {
            beats_made: advice.beats_made,
            made_value: advice.best_made_value,
            flat_odds: odds(chances.flat, probit::FLAT_BEFORE),
            scatter: None,
            under_tenth: Some(advice.best.under_tenth),
            alike: all_said(tiles).is_some(),
            on_scale: false,
            beliefs: Beliefs {
                region,
                surface: Surface::Chances(chances),
            },
        })),
    })
}

fn believed_tile(region: &Region, tile: &BelievedChance, gain: f64, why: Why) -> NextTile {
    NextTile {
        shares: region.outward(&tile.shares),
        value: tile.value,
        low: tile.low,
        high: tile.high,
        gain,
        why: Some(why),
    }
}

fn from_ladder(tiles: &[Counted], question: &Question, asked: &LadderQuestion) -> Result<Lesson, NoLesson> {
    if tiles.is_empty() {
        return Err(NoLesson::NoTiles);
    }
    let rung = |(place, tile): (usize, &Counted)| Rung {
        addition: asked.percent(&tile.shares),
        failed: tile.yes,
        of: tile.of,
        firing: asked.firings.get(place).copied().unwrap_or(0),
    };
    let rungs = tiles.iter().enumerate().map(rung).collect();
    let ladder = Ladder::of(rungs, asked.percent_at_whole);
    let step = if ladder.top < SHORT_LADDER_PERCENT {
        FINE_STEP_PERCENT
    } else {
        STEP_PERCENT
    };
    let holding = |percent: f64, chance: f64| Holding {
        percent,
        shares: asked.shares(percent),
        chance,
    };
    let made_top = tiles.iter().map(|tile| asked.percent(&tile.shares)).fold(0.0, f64::max);
    let top = holding(made_top, ladder.holding(made_top));
    let least = ladder.least(step).map(|(percent, chance)| holding(percent, chance));
    let at = least.as_ref().unwrap_or(&top);
    let failing = ladder.failing(at.percent);
    let pieces = tiles.iter().map(|tile| tile.of).sum::<f64>() / tiles.len() as f64;
    // One tile is advised at a time: the next is worth choosing only once it is seen.
    let next =
        (question.next > 0).then(|| next_rung(&ladder, pieces.round_ties_even() as usize, step, asked.most_percent));
    let next_tile = next.map(|rung| {
        let failing = ladder.failing(rung.addition);
        NextTile {
            shares: asked.shares(rung.addition),
            value: failing.mean,
            low: failing.low,
            high: failing.high,
            gain: rung.gain,
            why: Some(rung.why),
        }
    });
    Ok(Lesson {
        fitted: logistic(tiles, question.ends),
        tried: Vec::new(),
        best: Best {
            shares: at.shares.clone(),
            value: failing.mean,
            band: Some((failing.low, failing.high)),
            model: None,
            spanned: true,
            reached: least.is_some(),
        },
        nearer: None,
        next: next_tile.into_iter().collect(),
        best_made: nearest_rung(tiles, asked, at.percent),
        learned: Learned::Ladder(Box::new(LadderLesson {
            least,
            top,
            rungs: tiles
                .iter()
                .map(|tile| seen(&ladder, asked.percent(&tile.shares)))
                .collect(),
            next_percent: next.map(|rung| rung.addition),
            step_percent: step,
            alike: all_said(tiles),
            question: asked.clone(),
            ladder,
        })),
    })
}

fn seen(ladder: &Ladder, percent: f64) -> RungSeen {
    RungSeen {
        percent,
        failing: ladder.failing(percent),
        chance: ladder.holding(percent),
    }
}

/// The tile to go by: of those made with an addition or more, the one with the fewest
/// failures and the least addition; with none so high, the highest.
fn nearest_rung(tiles: &[Counted], asked: &LadderQuestion, percent: f64) -> usize {
    let mut found: Option<(usize, (f64, f64))> = None;
    for (place, tile) in tiles.iter().enumerate() {
        let addition = asked.percent(&tile.shares);
        if addition < percent - 1e-9 {
            continue;
        }
        let key = (tile.yes / tile.of, addition);
        if found.is_none_or(|(_, known)| key < known) {
            found = Some((place, key));
        }
    }
    found.map_or(0, |(place, _)| place)
}
