//! Where a ladder's next tile goes: where it most lowers the addition that will be called.

use super::advice::Why;
use super::ladder::{Ladder, SURE, outcomes};
use super::places::greatest;

/// How far beyond the ladder a tile is advised, over its top.
const BEYOND: f64 = 1.5;
/// A top that holds with less than this chance: go beyond it.
const HOPELESS: f64 = 0.25;
/// Places looked at.
const PLACES: usize = 19;
/// No addition called costs this many tops.
const NONE_CALLED: f64 = 2.0;
/// Falls of the expected cost below this share of the top are none.
const NO_FALL: f64 = 0.005;
/// More pieces than this on one tile are worked as this many.
const MOST_PIECES: usize = 40;

/// A ladder's next tile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NextRung {
    /// Per cent.
    pub(super) addition: f64,
    /// How far the expected cost falls, per cent of addition.
    pub(super) gain: f64,
    pub(super) why: Why,
}

/// The next tile, in another firing. `most` is the largest addition there can be.
pub(super) fn next_rung(ladder: &Ladder, pieces: usize, step: f64, most: f64) -> NextRung {
    let pieces = pieces.clamp(1, MOST_PIECES);
    let top = ladder.top;
    let called = ladder.least(step);
    let reach = if called.is_some() { 1.0 } else { BEYOND };
    let steps = ladder.steps(step, (reach * top).min(most.max(top)));
    let last = ladder.steps(step, top).len();
    if called.is_none() && ladder.holding(steps[last - 1]) < HOPELESS && steps.len() > last {
        let even = steps[last..].iter().find(|step| ladder.holding(**step) >= 0.5);
        let addition = even.or(steps.last()).copied().unwrap_or(top);
        return NextRung {
            addition,
            gain: 0.0,
            why: Why::Further,
        };
    }
    let held: Vec<Vec<bool>> = steps
        .iter()
        .map(|step| ladder.nodes.iter().map(|node| node.holds(step / top)).collect())
        .collect();
    let cost = |weights: &[f64], within: f64| -> f64 {
        let chance = |held: &Vec<bool>| -> f64 {
            let pairs = held.iter().zip(weights).filter(|(held, _)| **held);
            pairs.map(|(_, weight)| weight).sum()
        };
        let mut open = steps.iter().zip(&held).take_while(|(step, _)| **step <= within + 1e-9);
        let first = open.find(|(_, held)| chance(held) >= SURE - 1e-12);
        first.map_or(NONE_CALLED * top, |(step, _)| *step)
    };
    let now = cost(&ladder.weights, top);
    let places = even_places(&steps, step);
    let falls: Vec<f64> = places
        .iter()
        .map(|place| {
            let by_node: Vec<Vec<f64>> = ladder
                .nodes
                .iter()
                .map(|node| outcomes(node, place / top, pieces))
                .collect();
            let expected: f64 = (0..=pieces)
                .map(|failed| {
                    let pairs = ladder.weights.iter().zip(&by_node);
                    let mut after: Vec<f64> = pairs.map(|(weight, chances)| weight * chances[failed]).collect();
                    let chance: f64 = after.iter().sum();
                    for weight in &mut after {
                        *weight /= chance.max(1e-300);
                    }
                    chance * cost(&after, place.max(top))
                })
                .sum();
            now - expected
        })
        .collect();
    let found = greatest(falls.iter().map(|fall| fall / top)).unwrap_or(0);
    let why = match called {
        _ if falls[found] < NO_FALL * top => Why::Again,
        Some(_) => Why::Lowers,
        None => Why::Settles,
    };
    let addition = match (why, called) {
        (Why::Again, Some((addition, _))) => addition,
        (Why::Again, None) => steps[last - 1],
        _ => places[found],
    };
    NextRung {
        addition,
        gain: falls[found],
        why,
    }
}

/// Places evenly over the steps, each on a step.
fn even_places(steps: &[f64], step: f64) -> Vec<f64> {
    let count = steps.len().min(PLACES);
    let most = steps.last().copied().unwrap_or(0.0);
    let mut places: Vec<f64> = (0..count)
        .map(|place| {
            let even = most * place as f64 / (count.max(2) - 1) as f64;
            (even / step).round_ties_even() * step
        })
        .collect();
    places.dedup();
    places
}
