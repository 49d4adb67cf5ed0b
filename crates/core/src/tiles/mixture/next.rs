//! The next tiles to make: those expected to move the call of the best blend most.
//!
//! For each blend that could be made next: how its tile may turn out is spread by what is
//! left open; each outcome would change the surface, and with it the blend called best and
//! its grade. The blend whose tile is expected to raise that grade most is made next. Since
//! the height of the true best does not depend on what is made, this is the same as to
//! leave the least expected loss by calling the wrong blend best (the knowledge gradient:
//! P. Frazier, W. Powell, S. Dayanik, INFORMS J. Computing 21 (2009) 599). It repeats tiles
//! by itself where that says more than a new blend.

use super::advice::Why;
use super::belief::Belief;
use super::bell::NORMAL_90;
use super::best::Goal;
use super::least_squares::dot;
use super::model::row;
use super::region::lattice_within;

/// The most blends that may be advised: of three ends, all in steps of 10 %.
const MOST_ADVISED: usize = 130;
/// The most blends that may be called best: of three ends, all in steps of 5 %.
const MOST_JUDGED: usize = 1100;
/// Steps of the blends, parts of the whole: easy to measure out.
const STEPS: [usize; 4] = [2, 5, 10, 20];
/// Outcomes of a tile, in standard deviations: -4 to 4 in halves.
const OUTCOMES: std::ops::RangeInclusive<i32> = -8..=8;

/// Gains smaller than this share of the best blend's standard deviation are none.
const NO_GAIN: f64 = 1e-4;

/// A tile to make.
#[derive(Debug, Clone, PartialEq)]
pub struct NextTile {
    /// Shares of the ends.
    pub shares: Vec<f64>,
    /// The grade (or the chance of yes) that is believed of it.
    pub value: f64,
    /// The lower end of the 90 % band of the surface there.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// How much nearer to the goal the blend called best is expected to come by it, in
    /// the grade's unit (for yes or no in standard deviations of a piece, by one model in
    /// log-odds; on a ladder in per cent of the addition).
    pub gain: f64,
    /// Why it is advised; `None` from one model alone.
    pub why: Option<Why>,
}

/// Advises `count` tiles, one after the other as if the earlier ones turned out as believed.
pub(super) fn next_tiles(belief: &Belief, ends: usize, goal: Goal, best: &[f64], count: usize) -> Vec<NextTile> {
    let mut made = lattice_within(ends, MOST_ADVISED, &STEPS);
    made.push(vec![1.0 / ends as f64; ends]);
    let mut judged = lattice_within(ends, MOST_JUDGED, &STEPS);
    judged.push(best.to_vec());
    // What narrows the best blend's band may be that blend itself, in steps to measure out.
    made.push(rounded(best));
    let mut belief = belief.clone();
    let mut advised = Vec::new();
    for _ in 0..count {
        let gains = gains(&belief, &made, &judged, goal);
        let Some(place) = greatest(&gains) else { break };
        // Where hardly any tile could change the call, the doubt that is left is how good
        // the best is.
        let doubt = belief.variance(best).max(0.0).sqrt();
        let place = if gains[place] > NO_GAIN * doubt {
            place
        } else {
            steadies(&belief, &made, best)
        };
        let shares = made[place].clone();
        let value = belief.value(&shares);
        let half = NORMAL_90 * belief.variance(&shares).max(0.0).sqrt();
        belief = belief.after_a_tile(&shares);
        advised.push(NextTile {
            value,
            low: value - half,
            high: value + half,
            gain: gains[place].max(0.0),
            why: None,
            shares,
        });
    }
    advised
}

/// A blend in steps of 5 %: every share down to its step, the largest remainders up.
fn rounded(blend: &[f64]) -> Vec<f64> {
    const PARTS: f64 = 20.0;
    let mut steps: Vec<f64> = blend.iter().map(|share| (PARTS * share + 1e-9).floor()).collect();
    let mut order: Vec<usize> = (0..blend.len()).collect();
    let remainder = |place: usize| PARTS * blend[place] - steps[place];
    order.sort_by(|one, other| remainder(*other).total_cmp(&remainder(*one)));
    let missing = (PARTS - steps.iter().sum::<f64>()).max(0.0) as usize;
    for place in order.into_iter().take(missing) {
        steps[place] += 1.0;
    }
    steps.into_iter().map(|count| count / PARTS).collect()
}

/// A blend that may be called best, as believed now.
#[derive(Debug, Clone, Copy)]
struct Judged {
    mean: f64,
    variance: f64,
    /// How far its mean moves by an outcome one standard deviation high.
    shift: f64,
}

/// How much one tile at each blend is expected to lessen the loss at the blend called best.
fn gains(belief: &Belief, made: &[Vec<f64>], judged: &[Vec<f64>], goal: Goal) -> Vec<f64> {
    let terms: Vec<Vec<f64>> = judged.iter().map(|blend| row(&belief.terms, blend)).collect();
    let mut judged: Vec<Judged> = judged
        .iter()
        .map(|blend| Judged {
            mean: belief.value(blend),
            variance: belief.variance(blend).max(0.0),
            shift: 0.0,
        })
        .collect();
    let now = least_loss(&judged, goal, 0.0);
    let outcomes: Vec<(f64, f64)> = OUTCOMES
        .map(|step| {
            let outcome = 0.5 * f64::from(step);
            (outcome, (-0.5 * outcome * outcome).exp())
        })
        .collect();
    let weight: f64 = outcomes.iter().map(|(_, weight)| weight).sum();
    made.iter()
        .map(|blend| {
            let spread = (belief.variance(blend) + belief.scatter_at(belief.value(blend))).sqrt();
            if spread <= 0.0 {
                return 0.0;
            }
            let along = belief.along(blend);
            for (judged, terms) in judged.iter_mut().zip(&terms) {
                judged.shift = dot(terms, &along) / spread;
            }
            let expected: f64 = outcomes
                .iter()
                .map(|(outcome, weight)| weight * least_loss(&judged, goal, *outcome))
                .sum();
            now - expected / weight
        })
        .collect()
}

/// The loss at the blend called best once a tile has turned out so.
fn least_loss(judged: &[Judged], goal: Goal, outcome: f64) -> f64 {
    let mut least = f64::INFINITY;
    for blend in judged {
        let value = blend.mean + blend.shift * outcome;
        let loss = match goal {
            Goal::Most => -value,
            Goal::Least => value,
            // Root mean square distance from the wanted value.
            Goal::Value(wanted) => {
                ((value - wanted).powi(2) + (blend.variance - blend.shift * blend.shift).max(0.0)).sqrt()
            }
        };
        if loss < least {
            least = loss;
        }
    }
    least
}

fn greatest(values: &[f64]) -> Option<usize> {
    let mut found: Option<usize> = None;
    for (place, value) in values.iter().enumerate() {
        // A gain larger by rounding alone is no reason.
        if found.is_none_or(|known| *value > values[known] + 1e-12) {
            found = Some(place);
        }
    }
    found
}

/// The blend whose tile narrows the band at the best blend most.
fn steadies(belief: &Belief, made: &[Vec<f64>], best: &[f64]) -> usize {
    let best_terms = row(&belief.terms, best);
    let narrowed: Vec<f64> = made
        .iter()
        .map(|blend| {
            let together = dot(&best_terms, &belief.along(blend));
            together * together / (belief.variance(blend) + belief.scatter_at(belief.value(blend)))
        })
        .collect();
    greatest(&narrowed).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tiles::mixture::fit::Graded;
    use crate::tiles::mixture::model::MixtureModel;

    fn belief(tiles: &[([f64; 3], f64)]) -> Belief {
        let tiles: Vec<Graded> = tiles
            .iter()
            .map(|(shares, value)| Graded {
                shares: shares.to_vec(),
                value: *value,
            })
            .collect();
        let found = Belief::of(MixtureModel::Quadratic.terms(3), &tiles);
        found.unwrap_or_else(|| panic!("a belief"))
    }

    #[test]
    fn a_blend_in_steps_stays_a_blend() {
        assert!((rounded(&[0.125; 8]).iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(rounded(&[0.39, 0.385, 0.225]), [0.4, 0.4, 0.2]);
        assert_eq!(rounded(&[0.0, 1.0]), [0.0, 1.0]);
    }

    #[test]
    fn two_rivals_are_made_again_and_the_hopeless_end_is_not() {
        let ends = belief(&[
            ([1.0, 0.0, 0.0], 9.0),
            ([0.0, 1.0, 0.0], 8.8),
            ([0.0, 0.0, 1.0], 0.0),
            ([0.5, 0.5, 0.0], 6.0),
            ([0.5, 0.0, 0.5], 3.0),
            ([0.0, 0.5, 0.5], 3.0),
        ]);
        for tile in next_tiles(&ends, 3, Goal::Most, &[1.0, 0.0, 0.0], 2) {
            assert!(
                tile.shares[2] < 0.15 && tile.low < tile.value && tile.value < tile.high,
                "{tile:?}"
            );
        }
    }

    #[test]
    fn a_tile_more_leaves_less_open() {
        let before = belief(&[([1.0, 0.0, 0.0], 1.0), ([0.0, 1.0, 0.0], 2.0), ([0.0, 0.0, 1.0], 4.0)]);
        let after = before.after_a_tile(&[0.5, 0.5, 0.0]);
        for blend in [[0.5, 0.5, 0.0], [0.4, 0.4, 0.2], [1.0, 0.0, 0.0]] {
            assert!(after.variance(&blend) <= before.variance(&blend) + 1e-12);
        }
        assert!(after.variance(&[0.5, 0.5, 0.0]) < 0.1 * before.variance(&[0.5, 0.5, 0.0]));
    }
}
