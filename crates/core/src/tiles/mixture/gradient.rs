//! The tile that teaches most: expected to raise the grade of the blend called best most
//! (the knowledge gradient: P. Frazier, W. Powell, S. Dayanik, INFORMS J. Computing 21
//! (2009) 599), weighed over every blend that may be called best.

use super::advice::{Advised, Believed, Why};
use super::bell::density;
use super::best::Goal;
use super::places::{Lattice, Made, apart, candidates, greatest};
use super::surfaces::Surfaces;

/// Outcomes of a tile, in halves of a standard deviation.
const OUTCOMES: std::ops::RangeInclusive<i32> = -8..=8;
/// A blend so near to a tile is that tile.
const SAME: f64 = 0.0051;
/// Variances are at least this, over the range squared.
const LEAST_VARIANCE: f64 = 1e-12;

/// The new blend whose tile teaches most after those advised already; `None` where every
/// blend was made.
pub(super) fn widest_lesson(
    surfaces: &Surfaces,
    made: &Made,
    advised: &[Vec<f64>],
    best: &Believed,
    goal: Goal,
) -> Option<Advised> {
    let mut blends = candidates(best.shares.len(), Lattice::Coarse);
    blends.push(best.shares.clone());
    blends.extend(advised.iter().cloned());
    let count = blends.len();
    let outlook = surfaces.outlook(blends);
    let noise = surfaces.noise_variance();
    let mut covariance = outlook.covariance();
    for tile in count - advised.len()..count {
        let along: Vec<f64> = (0..count).map(|place| covariance[place * count + tile]).collect();
        let total = along[tile].max(LEAST_VARIANCE) + noise;
        for (row, one) in covariance.chunks_mut(count).zip(&along) {
            for (entry, other) in row.iter_mut().zip(&along) {
                *entry -= one * other / total;
            }
        }
    }
    let sign = if goal == Goal::Most { 1.0 } else { -1.0 };
    let means: Vec<f64> = (0..count).map(|place| sign * outlook.mean(place)).collect();
    let now = means.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let outcomes = outcomes();
    let variance = |place: usize| covariance[place * count + place].max(LEAST_VARIANCE);
    let gains: Vec<f64> = (0..count)
        .map(|tile| {
            let blend = &outlook.places.shares[tile];
            if made.holds(blend, SAME) || advised.iter().any(|other| apart(other, blend) <= SAME) {
                return -1.0;
            }
            let spread = (variance(tile) + noise).sqrt();
            let shifts: Vec<f64> = covariance[tile * count..(tile + 1) * count]
                .iter()
                .map(|entry| entry / spread)
                .collect();
            let expected: f64 = outcomes
                .iter()
                .map(|(outcome, weight)| weight * highest(&means, &shifts, *outcome))
                .sum();
            expected - now
        })
        .collect();
    let place = greatest(gains.iter().copied()).filter(|place| gains[*place] > -0.5)?;
    Some(Advised {
        tile: Believed {
            shares: outlook.places.shares[place].clone(),
            value: outlook.value(place),
            deviation: surfaces.range * variance(place).sqrt(),
        },
        gain: gains[place].max(0.0) * surfaces.range,
        why: Why::New,
    })
}

fn highest(means: &[f64], shifts: &[f64], outcome: f64) -> f64 {
    let mut strands = [f64::NEG_INFINITY; 4];
    let (means, means_left) = means.as_chunks::<4>();
    let (shifts, shifts_left) = shifts.as_chunks::<4>();
    for (mean, shift) in means.iter().zip(shifts) {
        for strand in 0..4 {
            let value = mean[strand] + shift[strand] * outcome;
            if value > strands[strand] {
                strands[strand] = value;
            }
        }
    }
    let left = means_left.iter().zip(shifts_left);
    let left = left.map(|(mean, shift)| mean + shift * outcome);
    left.chain(strands).fold(f64::NEG_INFINITY, f64::max)
}

/// Outcomes in standard deviations, with weights that sum to 1.
fn outcomes() -> Vec<(f64, f64)> {
    let all = OUTCOMES.map(|step| 0.5 * f64::from(step));
    let mut outcomes: Vec<(f64, f64)> = all.map(|outcome| (outcome, density(outcome))).collect();
    let total: f64 = outcomes.iter().map(|(_, weight)| weight).sum();
    for outcome in &mut outcomes {
        outcome.1 /= total;
    }
    outcomes
}
