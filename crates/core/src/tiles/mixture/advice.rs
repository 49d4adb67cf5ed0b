//! Advice from graded tiles: the best blend, how surely it beats the best made, and the
//! tiles to make next.
//!
//! A tile is worth making for how far it is expected to come out better than the best one
//! made, that one's own doubt included (expected improvement: D. R. Jones, M. Schonlau,
//! W. J. Welch, J. Global Optim. 13 (1998) 455). Several tiles are advised one after the
//! other, as if the earlier ones came out as believed (kriging believer).

use super::bell::{NORMAL_90, cumulative, density};
use super::best::Goal;
use super::gradient::widest_lesson;
use super::outlook::{Against, Outlook};
use super::places::{Lattice, Made, apart, candidates, greatest};
use super::surfaces::Surfaces;

/// A band is this much wider than the models say: set on simulated studios.
const BAND: f64 = 1.1;
/// A blend so near to a tile stands for it.
const BESIDE: f64 = 0.0201;
/// A blend so near to a tile is that tile.
const SAME: f64 = 0.0051;
/// Measured worse by this many scatters, or this share of the range: low.
const LOW_SCATTERS: f64 = 2.0;
const LOW_RANGE: f64 = 0.1;
/// Gains below this share of the range are none: the best tile is made again.
const NO_GAIN: f64 = 0.004;
/// From this scatter on, over the range, a batch's last tile is the one that teaches most.
const SCATTERED: f64 = 0.06;
/// Steps of the way uphill, and moves at most with each.
const STEPS: [f64; 3] = [0.05, 0.02, 0.01];
const MOVES: usize = 20;
/// A wanted value counts as missed by this much at least, over the range.
const LEAST_MISS: f64 = 0.02;
/// Below this variance a difference is none.
const NO_DIFFERENCE: f64 = 1e-10;

/// Why a tile is advised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// A new blend that may come out better than the best made, or teach most about it.
    New,
    /// The best made, again: nothing new promises more.
    Again,
    /// On a ladder: less of the addition may hold as well.
    Lowers,
    /// On a ladder: it settles which addition holds.
    Settles,
    /// On a ladder: beyond it, for nothing on it is likely to hold.
    Further,
}

/// A blend within the region, and what is believed of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Believed {
    pub(super) shares: Vec<f64>,
    pub(super) value: f64,
    pub(super) deviation: f64,
}

/// A tile to make next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Advised {
    pub(super) tile: Believed,
    /// Expected gain, in the grade's unit.
    pub(super) gain: f64,
    pub(super) why: Why,
}

/// What graded tiles advise.
#[derive(Debug, Clone)]
pub(super) struct Advice {
    pub(super) best: Believed,
    /// The chance that it is better than the best made; `None` for a wanted value.
    pub(super) beats_made: Option<f64>,
    /// The best blend made by belief, by its place among the different blends.
    pub(super) best_made: usize,
    pub(super) best_made_value: f64,
    pub(super) next: Vec<Advised>,
}

impl Believed {
    fn at(outlook: &Outlook<'_>, place: usize) -> Believed {
        Believed {
            shares: outlook.places.shares[place].clone(),
            value: outlook.value(place),
            deviation: outlook.value_deviation(place),
        }
    }
}

/// Half the width of a 90 % band of so large a deviation.
pub(super) fn half_band(deviation: f64) -> f64 {
    BAND * NORMAL_90 * deviation
}

/// What is asked, with what was made.
struct Asking<'a> {
    surfaces: &'a Surfaces,
    made: &'a Made,
    /// Which of the blends made were measured low.
    low: Vec<bool>,
    goal: Goal,
}

/// Advises from surfaces over the blends made and their grades.
pub(super) fn advise(surfaces: &Surfaces, made: &Made, grades: &[f64], goal: Goal, count: usize) -> Option<Advice> {
    let ends = made.shares.first()?.len();
    let asking = Asking {
        surfaces,
        made,
        low: measured_low(surfaces, made, grades, goal),
        goal,
    };
    let mut blends = candidates(ends, Lattice::Fine);
    let lattice = blends.len();
    blends.extend(made.shares.iter().cloned());
    let outlook = surfaces.outlook(blends);
    let scores = (0..outlook.places.len()).map(|place| {
        let score = asking.score(&outlook, place) / surfaces.range;
        if asking.barred(&outlook.places.shares[place]) {
            f64::NEG_INFINITY
        } else {
            -score
        }
    });
    let start = outlook.places.shares[greatest(scores)?].clone();
    let best = asking.uphill(start);
    let mut compared = vec![best];
    compared.extend(made.shares.iter().cloned());
    let compared = surfaces.outlook(compared);
    let best_made = asking.best_made(&compared)?;
    let best = Believed::at(&compared, 0);
    Some(Advice {
        beats_made: asking.beats(&compared, 1 + best_made),
        best_made,
        best_made_value: compared.value(1 + best_made),
        next: asking.next(outlook, lattice, best_made, &best, count),
        best,
    })
}

/// The blends measured worse than the best measured one, beyond scatter.
fn measured_low(surfaces: &Surfaces, made: &Made, grades: &[f64], goal: Goal) -> Vec<bool> {
    let of = |tiles: &Vec<usize>| {
        let mean = tiles.iter().map(|tile| grades[*tile]).sum::<f64>() / tiles.len() as f64;
        (goal.loss(mean), tiles.len() as f64)
    };
    let losses: Vec<(f64, f64)> = made.tiles.iter().map(of).collect();
    let mut best = (f64::INFINITY, 1.0);
    for loss in &losses {
        if loss.0 < best.0 {
            best = *loss;
        }
    }
    let low = |(loss, count): &(f64, f64)| {
        let bar = LOW_SCATTERS * surfaces.scatter * (1.0 / count + 1.0 / best.1).sqrt();
        loss - best.0 > bar.max(LOW_RANGE * surfaces.range)
    };
    losses.iter().map(low).collect()
}

impl Asking<'_> {
    /// What is made least, in the grade's unit.
    fn score(&self, outlook: &Outlook<'_>, place: usize) -> f64 {
        match self.goal {
            Goal::Most | Goal::Least => self.goal.loss(outlook.value(place)),
            Goal::Value(wanted) => (outlook.value(place) - wanted).hypot(outlook.value_deviation(place)),
        }
    }

    /// Whether a blend lies beside a tile measured low.
    fn barred(&self, blend: &[f64]) -> bool {
        let made = self.made.shares.iter().zip(&self.low);
        made.into_iter().any(|(tile, low)| *low && apart(tile, blend) <= BESIDE)
    }

    fn scored(&self, blends: &[Vec<f64>]) -> Vec<f64> {
        let scores: Vec<f64> = match self.goal {
            Goal::Most | Goal::Least => blends
                .iter()
                .map(|blend| self.goal.loss(self.surfaces.value(blend)))
                .collect(),
            Goal::Value(_) => {
                let outlook = self.surfaces.outlook(blends.to_vec());
                (0..blends.len()).map(|place| self.score(&outlook, place)).collect()
            }
        };
        let pairs = blends.iter().zip(scores);
        pairs
            .map(|(blend, score)| if self.barred(blend) { f64::INFINITY } else { score })
            .collect()
    }

    /// From a blend by moves of share from one end to another to where none is better.
    fn uphill(&self, start: Vec<f64>) -> Vec<f64> {
        let mut here = start;
        let mut least = self.scored(std::slice::from_ref(&here))[0];
        for step in STEPS {
            for _ in 0..MOVES {
                let moves = moves(&here, step);
                let scores = self.scored(&moves);
                let mut found: Option<usize> = None;
                for (place, score) in scores.iter().enumerate() {
                    if found.is_none_or(|known| *score < scores[known]) {
                        found = Some(place);
                    }
                }
                match found {
                    Some(place) if scores[place] < least - 1e-9 * self.surfaces.range => {
                        (here, least) = (moves[place].clone(), scores[place]);
                    }
                    _ => break,
                }
            }
        }
        here
    }

    /// The best of the blends made by belief, never one measured low. `compared` holds them
    /// from its second place on.
    fn best_made(&self, compared: &Outlook<'_>) -> Option<usize> {
        let mut found: Option<(usize, f64)> = None;
        for (place, low) in self.low.iter().enumerate() {
            let score = self.score(compared, 1 + place);
            if !low && found.is_none_or(|(_, least)| score < least) {
                found = Some((place, score));
            }
        }
        found.map(|(place, _)| place)
    }

    /// Towards the goal: 1 upwards, -1 downwards; `None` for a wanted value.
    fn sign(&self) -> Option<f64> {
        match self.goal {
            Goal::Most => Some(1.0),
            Goal::Least => Some(-1.0),
            Goal::Value(_) => None,
        }
    }

    /// The chance that the first place is better than another.
    fn beats(&self, compared: &Outlook<'_>, made: usize) -> Option<f64> {
        let sign = self.sign()?;
        let against = compared.against(made);
        let chance = |model: &Vec<Against>| {
            let of = &model[0];
            let beats = if of.of_difference > NO_DIFFERENCE {
                cumulative(sign * (of.mean - of.other) / of.of_difference.sqrt())
            } else {
                0.5
            };
            of.weight * beats
        };
        Some(against.iter().map(chance).sum())
    }

    fn next(
        &self,
        mut outlook: Outlook<'_>,
        lattice: usize,
        best_made: usize,
        best: &Believed,
        count: usize,
    ) -> Vec<Advised> {
        let range = self.surfaces.range;
        let mut out: Vec<bool> = outlook
            .places
            .shares
            .iter()
            .map(|blend| self.made.holds(blend, SAME))
            .collect();
        let mut rivals = vec![lattice + best_made];
        let mut advised: Vec<Advised> = Vec::new();
        let mut again = false;
        for turn in 0..count {
            let last = count >= 2 && turn + 1 == count;
            if last && self.sign().is_some() && self.surfaces.scatter >= SCATTERED * range {
                let before: Vec<Vec<f64>> = advised.iter().map(|tile| tile.tile.shares.clone()).collect();
                advised.extend(widest_lesson(self.surfaces, self.made, &before, best, self.goal));
                break;
            }
            let gains = self.gains(&outlook, self.incumbent(&outlook, &rivals));
            let free = |place: usize| if out[place] { -1.0 } else { gains[place] };
            let Some(mut place) = greatest((0..gains.len()).map(free)) else {
                break;
            };
            let gain = free(place).max(0.0);
            let mut why = Why::New;
            if gain < NO_GAIN && !again {
                (place, why, again) = (lattice + best_made, Why::Again, true);
            } else if out[place] {
                break;
            }
            advised.push(Advised {
                tile: Believed::at(&outlook, place),
                gain: gain * range,
                why,
            });
            outlook.believe(place);
            for (out, blend) in out.iter_mut().zip(&outlook.places.shares) {
                *out |= apart(blend, &outlook.places.shares[place]) <= SAME;
            }
            rivals.push(place);
        }
        advised
    }

    /// Of the best made and the tiles advised so far, the one believed best.
    fn incumbent(&self, outlook: &Outlook<'_>, rivals: &[usize]) -> usize {
        let mut found = rivals[0];
        let loss = |place: usize| self.goal.loss(outlook.value(place));
        for rival in rivals {
            if loss(*rival) < loss(found) {
                found = *rival;
            }
        }
        found
    }

    /// The expected gain of a tile at every place, over the range.
    fn gains(&self, outlook: &Outlook<'_>, incumbent: usize) -> Vec<f64> {
        let against = outlook.against(incumbent);
        let gain = |of: &Against| match (self.goal, self.sign()) {
            (_, Some(sign)) => improvement(sign * (of.mean - of.other), of.of_difference.max(1e-14).sqrt()),
            (Goal::Value(wanted), _) => {
                let wanted = self.surfaces.off(wanted);
                let miss = (of.other - wanted).abs().max(LEAST_MISS);
                nearer(of.mean - wanted, of.variance.sqrt(), miss)
            }
            (_, None) => 0.0,
        };
        let mut gains = vec![0.0; outlook.places.len()];
        for model in &against {
            for (sum, of) in gains.iter_mut().zip(model) {
                *sum += of.weight * gain(of);
            }
        }
        gains
    }
}

/// `E max(X, 0)` for `X ~ Normal(mean, deviation)`.
pub(super) fn improvement(mean: f64, deviation: f64) -> f64 {
    let z = mean / deviation;
    mean * cumulative(z) + deviation * density(z)
}

/// `E max(miss - |X|, 0)` for `X ~ Normal(mean, deviation)`.
pub(super) fn nearer(mean: f64, deviation: f64, miss: f64) -> f64 {
    let [a, b, c] = [-miss - mean, -mean, miss - mean].map(|edge| edge / deviation);
    let below = (miss + mean) * (cumulative(b) - cumulative(a)) - deviation * (density(b) - density(a));
    let above = (miss - mean) * (cumulative(c) - cumulative(b)) + deviation * (density(c) - density(b));
    (below + above).max(0.0)
}

/// Every blend that one move of so much share from one end to another leads to.
fn moves(from: &[f64], step: f64) -> Vec<Vec<f64>> {
    let mut moves = Vec::new();
    for taken in 0..from.len() {
        for given in 0..from.len() {
            if taken == given || from[taken] <= 1e-9 {
                continue;
            }
            let mut there = from.to_vec();
            let amount = step.min(there[taken]);
            there[taken] -= amount;
            there[given] += amount;
            for share in &mut there {
                if share.abs() < 1e-9 {
                    *share = 0.0;
                }
            }
            moves.push(there);
        }
    }
    moves
}
