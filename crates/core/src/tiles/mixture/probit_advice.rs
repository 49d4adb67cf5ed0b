//! Advice from counts of yes and no over blends of unknown direction.

use super::advice::{Why, improvement, nearer};
use super::bell::{NORMAL_90, NORMAL_TENTH, cumulative, density, quantile};
use super::best::Goal;
use super::places::{Lattice, Made, apart, candidates, greatest};
use super::probit::{ChanceOutlook, Chances, Count};

/// A blend so near to a tile stands for it.
const BESIDE: f64 = 0.0201;
/// A blend so near to a tile is that tile.
const SAME: f64 = 0.0051;
/// Tiles of one batch lie at least this far apart.
const SPREAD_OUT: f64 = 0.1001;
/// A share of pieces worse than the best tile's by this much is low.
const LOW_SHARE: f64 = 0.34;
/// Tiles of a share nearer to 0 or 1 than this are taken to scatter as one there.
const NEAREST_SURE: f64 = 0.02;
/// How much tiles of one blend differ, variance of `h`.
const BETWEEN_TILES: f64 = 0.25;

/// The share of pieces at a blend, as believed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BelievedChance {
    pub(super) shares: Vec<f64>,
    pub(super) value: f64,
    pub(super) low: f64,
    pub(super) high: f64,
    /// The chance that fewer than one piece in ten says yes.
    pub(super) under_tenth: f64,
}

/// What counts advise.
#[derive(Debug, Clone)]
pub(super) struct ChanceAdvice {
    pub(super) best: BelievedChance,
    pub(super) beats_made: Option<f64>,
    /// By its place among the different blends.
    pub(super) best_made: usize,
    pub(super) best_made_value: f64,
    /// Each with its expected gain, in standard deviations of a piece.
    pub(super) next: Vec<(BelievedChance, f64, Why)>,
}

impl BelievedChance {
    fn at(outlook: &ChanceOutlook<'_>, place: usize) -> BelievedChance {
        let (mean, deviation) = (outlook.means[place], outlook.deviation(place));
        BelievedChance {
            shares: outlook.places.shares[place].clone(),
            value: cumulative(mean),
            low: cumulative(mean - NORMAL_90 * deviation),
            high: cumulative(mean + NORMAL_90 * deviation),
            under_tenth: cumulative((-NORMAL_TENTH - mean) / deviation),
        }
    }
}

/// The share of pieces at a blend and its 90 % band.
pub(super) fn chance_at(chances: &Chances, shares: &[f64]) -> (f64, (f64, f64)) {
    let outlook = chances.outlook(vec![shares.to_vec()]);
    let at = BelievedChance::at(&outlook, 0);
    (at.value, (at.low, at.high))
}

struct Asking<'a> {
    goal: Goal,
    /// A wanted share as a height of `h`.
    wanted: f64,
    made: &'a Made,
    low: Vec<bool>,
}

/// Advises from the models over the blends made and their counts.
pub(super) fn advise(
    chances: &Chances,
    made: &Made,
    counts: &[Count],
    goal: Goal,
    next: usize,
) -> Option<ChanceAdvice> {
    let ends = made.shares.first()?.len();
    let asking = Asking {
        goal,
        wanted: match goal {
            Goal::Value(wanted) => quantile(wanted.clamp(1e-3, 1.0 - 1e-3)),
            Goal::Most | Goal::Least => 0.0,
        },
        made,
        low: measured_low(made, counts, goal),
    };
    let mut blends = candidates(ends, Lattice::Coarse);
    let lattice = blends.len();
    blends.extend(made.shares.iter().cloned());
    let outlook = chances.outlook(blends);
    let merit = |place: usize| -asking.loss(&outlook, place);
    let best = greatest((0..outlook.places.len()).map(|place| {
        if asking.barred(&outlook.places.shares[place]) {
            f64::NEG_INFINITY
        } else {
            merit(place)
        }
    }))?;
    let mut best_made: Option<usize> = None;
    for (place, low) in asking.low.iter().enumerate() {
        if !low && best_made.is_none_or(|known| merit(lattice + place) > merit(lattice + known)) {
            best_made = Some(place);
        }
    }
    let best_made = best_made?;
    Some(ChanceAdvice {
        best: BelievedChance::at(&outlook, best),
        beats_made: asking.beats(&outlook, best, lattice + best_made),
        best_made,
        best_made_value: cumulative(outlook.means[lattice + best_made]),
        next: asking.next(outlook, lattice + best_made, counts, next),
    })
}

fn measured_low(made: &Made, counts: &[Count], goal: Goal) -> Vec<bool> {
    let blends: Vec<(f64, f64)> = made
        .tiles
        .iter()
        .map(|tiles| {
            let of: f64 = tiles.iter().map(|tile| counts[*tile].of).sum();
            let yes: f64 = tiles.iter().map(|tile| counts[*tile].yes).sum();
            (goal.loss(yes / of), of)
        })
        .collect();
    let best = blends.iter().map(|blend| blend.0).fold(f64::INFINITY, f64::min);
    let low = |(loss, of): &(f64, f64)| loss - best > LOW_SHARE.max(1.0 / of);
    blends.iter().map(low).collect()
}

impl Asking<'_> {
    fn loss(&self, outlook: &ChanceOutlook<'_>, place: usize) -> f64 {
        match self.goal {
            Goal::Most => -outlook.means[place],
            Goal::Least => outlook.means[place],
            Goal::Value(_) => (outlook.means[place] - self.wanted).hypot(outlook.deviation(place)),
        }
    }

    fn barred(&self, blend: &[f64]) -> bool {
        let made = self.made.shares.iter().zip(&self.low);
        made.into_iter().any(|(tile, low)| *low && apart(tile, blend) <= BESIDE)
    }

    fn sign(&self) -> Option<f64> {
        match self.goal {
            Goal::Most => Some(1.0),
            Goal::Least => Some(-1.0),
            Goal::Value(_) => None,
        }
    }

    fn beats(&self, outlook: &ChanceOutlook<'_>, best: usize, made: usize) -> Option<f64> {
        let sign = self.sign()?;
        let together = outlook.covariances(made)[best];
        let variance = outlook.variances[best] + outlook.variances[made] - 2.0 * together;
        Some(if variance > 1e-10 {
            cumulative(sign * (outlook.means[best] - outlook.means[made]) / variance.sqrt())
        } else {
            0.5
        })
    }

    fn next(
        &self,
        mut outlook: ChanceOutlook<'_>,
        best_made: usize,
        counts: &[Count],
        count: usize,
    ) -> Vec<(BelievedChance, f64, Why)> {
        let pieces = counts.iter().map(|count| count.of).sum::<f64>() / counts.len() as f64;
        let pieces = pieces.round_ties_even().max(1.0);
        let mut out: Vec<bool> = outlook
            .places
            .shares
            .iter()
            .map(|blend| self.made.holds(blend, SAME))
            .collect();
        let mut rivals = vec![best_made];
        let mut advised = Vec::new();
        for _ in 0..count {
            let mut incumbent = rivals[0];
            for rival in &rivals {
                if self.reach(outlook.means[*rival]) > self.reach(outlook.means[incumbent]) {
                    incumbent = *rival;
                }
            }
            let gains = self.gains(&outlook, incumbent);
            let free = |place: usize| if out[place] { -1.0 } else { gains[place] };
            let Some(place) = greatest((0..gains.len()).map(free)) else {
                break;
            };
            if out[place] {
                break;
            }
            advised.push((BelievedChance::at(&outlook, place), gains[place].max(0.0), Why::New));
            let chance = cumulative(outlook.means[place]).clamp(NEAREST_SURE, 1.0 - NEAREST_SURE);
            let slope = density(quantile(chance));
            outlook.believe(
                place,
                chance * (1.0 - chance) / (pieces * slope * slope) + BETWEEN_TILES,
            );
            for (out, blend) in out.iter_mut().zip(&outlook.places.shares) {
                *out |= apart(blend, &outlook.places.shares[place]) <= SPREAD_OUT;
            }
            rivals.push(place);
        }
        advised
    }

    /// How far a mean goes towards the goal.
    fn reach(&self, mean: f64) -> f64 {
        match self.sign() {
            Some(sign) => sign * mean,
            None => -(mean - self.wanted).abs(),
        }
    }

    fn gains(&self, outlook: &ChanceOutlook<'_>, incumbent: usize) -> Vec<f64> {
        let along = outlook.covariances(incumbent);
        (0..outlook.places.len())
            .map(|place| match self.sign() {
                Some(sign) => {
                    let variance = outlook.variances[place] + outlook.variances[incumbent] - 2.0 * along[place];
                    let ahead = sign * (outlook.means[place] - outlook.means[incumbent]);
                    improvement(ahead, variance.max(1e-14).sqrt())
                }
                None => {
                    let miss = (outlook.means[incumbent] - self.wanted).abs().max(0.02);
                    nearer(outlook.means[place] - self.wanted, outlook.deviation(place), miss)
                }
            })
            .collect()
    }
}
