//! The edge of a clay's window, as its pieces teach it.
//!
//! Everything is a sum over grids: the edge every 0.01 over +/- 6 standard deviations of its
//! prior, each glaze's true expansion every 0.02 over +/- 6 of its own, by the trapezoid
//! rule. Gauss-Hermite is not good enough here: 0.04 off with 40 points. No sampling, so the
//! same notebook gives the same bits.

use glost_solve::lattice::{ln_mixtures, table_length};
use glost_solve::normal::{cumulative, ln_cumulative, ln_density};

use super::ageing::Ageing;
use super::look::{Edge, Look, Witness};
use super::settings::Belief;

/// Distance of two points of the edge's grid, 1e-6/K.
const EDGE_STEP: f64 = 0.01;
/// Distance of two points of a true expansion's grid; twice the edge's, so that differences
/// of the two lie on one lattice.
const TRUE_STEP: f64 = 2.0 * EDGE_STEP;
/// How far grids reach, in standard deviations.
const REACH: f64 = 6.0;

/// How pieces fail past an edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Failing {
    /// Which edge.
    pub(super) edge: Edge,
    /// How much pieces of one glaze differ, 1e-6/K, one standard deviation.
    pub(super) between_pieces: f64,
    /// By when they have failed; `None`: at once.
    pub(super) ageing: Option<Ageing>,
}

impl Failing {
    fn share_by(&self, age_days: f64) -> f64 {
        self.ageing.as_ref().map_or(1.0, |ageing| ageing.share_by(age_days))
    }

    /// ln of the chance that of `pieces` at an age `failed` have failed, for a glaze so far
    /// past the edge; the number of orders left out.
    fn ln_chance(&self, past: f64, share: f64, pieces: u32, failed: u32) -> f64 {
        let z = past / self.between_pieces;
        let mut sum = 0.0;
        if failed > 0 {
            sum += f64::from(failed) * (share.ln() + ln_cumulative(z));
        }
        if failed < pieces {
            let ln_held = if share >= 1.0 {
                ln_cumulative(-z)
            } else {
                ((1.0 - share) + share * cumulative(-z)).ln()
            };
            sum += f64::from(pieces - failed) * ln_held;
        }
        sum
    }
}

/// A grid of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Grid {
    low: f64,
    step: f64,
    count: usize,
}

impl Grid {
    fn around(belief: Belief, step: f64) -> Grid {
        let intervals = (2.0 * REACH * belief.sd / step - 1e-9).ceil().max(1.0);
        Grid {
            low: belief.mean - REACH * belief.sd,
            step,
            count: intervals as usize + 1,
        }
    }

    fn at(&self, index: usize) -> f64 {
        self.low + self.step * index as f64
    }

    fn points(self) -> impl Iterator<Item = f64> {
        (0..self.count).map(move |index| self.at(index))
    }

    /// Trapezoid weights times a normal density.
    fn normal_weights(&self, belief: Belief) -> Vec<f64> {
        let last = self.count - 1;
        let weight = |(index, value): (usize, f64)| {
            let end = if index == 0 || index == last { 0.5 } else { 1.0 };
            end * self.step * ln_density((value - belief.mean) / belief.sd).exp() / belief.sd
        };
        self.points().enumerate().map(weight).collect()
    }
}

/// One edge of the window on one clay, learnt.
#[derive(Debug, Clone, PartialEq)]
pub struct LearntEdge {
    failing: Failing,
    prior: Belief,
    grid: Grid,
    /// Share of each grid point; they sum to 1.
    shares: Vec<f64>,
}

/// Median and the ends of the 90 % band, 1e-6/K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band90 {
    /// Half lies below it.
    pub median: f64,
    /// 5 % lie below it.
    pub low: f64,
    /// 95 % lie below it.
    pub high: f64,
}

impl LearntEdge {
    /// What these pieces say about an edge of which this was believed before.
    pub(super) fn learn(failing: Failing, prior: Belief, witnesses: &[Witness]) -> LearntEdge {
        let grid = Grid::around(prior, EDGE_STEP);
        let last = grid.count - 1;
        let mut ln_shares: Vec<f64> = grid
            .points()
            .enumerate()
            .map(|(index, edge)| {
                let end: f64 = if index == 0 || index == last { 0.5 } else { 1.0 };
                end.ln() + ln_density((edge - prior.mean) / prior.sd)
            })
            .collect();
        let mut learnt = LearntEdge {
            failing,
            prior,
            grid,
            shares: Vec::new(),
        };
        for witness in witnesses {
            let looks = witness.latest(learnt.failing.edge);
            if looks.is_empty() {
                continue;
            }
            let lattice = learnt.lattice(witness.believed.belief);
            let table = learnt.ln_looks(&lattice, &looks);
            for (sum, more) in ln_shares.iter_mut().zip(lattice.mix(&table, grid.count)) {
                *sum += more;
            }
        }
        learnt.shares = normalised(&ln_shares);
        learnt
    }

    /// What was believed before any piece was looked at.
    pub fn prior(&self) -> Belief {
        self.prior
    }

    /// The edge's value below which this share of the belief lies, 1e-6/K.
    pub fn quantile(&self, share: f64) -> f64 {
        let mut below = 0.0;
        // Each point's share spreads evenly over the step around it.
        for (index, own) in self.shares.iter().enumerate() {
            if below + own >= share && *own > 0.0 {
                let along = (share - below) / own;
                return self.grid.at(index) + self.grid.step * (along - 0.5);
            }
            below += own;
        }
        self.grid.at(self.grid.count - 1)
    }

    /// Median and 90 % band.
    pub fn band(&self) -> Band90 {
        Band90 {
            median: self.quantile(0.5),
            low: self.quantile(0.05),
            high: self.quantile(0.95),
        }
    }

    /// Mean, 1e-6/K.
    pub fn mean(&self) -> f64 {
        self.grid
            .points()
            .zip(&self.shares)
            .map(|(edge, share)| edge * share)
            .sum()
    }

    /// Variance, (1e-6/K)^2.
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        let squares = self.grid.points().zip(&self.shares);
        squares.map(|(edge, share)| (edge - mean).powi(2) * share).sum()
    }

    /// The chance, 0 to 1, that a piece fails sooner or later, of a glaze whose pieces
    /// nobody looked at: the mean over the edge of Phi(past / root(sd^2 + w^2)).
    pub fn chance(&self, expansion: Belief) -> f64 {
        let spread = expansion.sd.hypot(self.failing.between_pieces);
        self.mean_of(|edge| cumulative(self.failing.edge.past(expansion.mean, edge) / spread))
    }

    /// The expansion at which that chance is `chance`; its sd may be given as 0. `None`
    /// where the chance is not between 0 and 1.
    pub fn expansion_at(&self, chance: f64, sd: f64) -> Option<f64> {
        if !(chance > 0.0 && chance < 1.0) {
            return None;
        }
        let reach = 12.0 * (self.prior.sd + sd + self.failing.between_pieces);
        let (mut low, mut high) = (self.prior.mean - reach, self.prior.mean + reach);
        let rising = self.failing.edge == Edge::Craze;
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let above = self.chance(Belief::new(middle, sd)) > chance;
            if above == rising {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(0.5 * (low + high))
    }

    /// The same chance for a glaze whose own pieces were looked at: its true expansion as
    /// these teach it, together with the edge.
    pub fn chance_of(&self, witness: &Witness) -> f64 {
        self.chance_shifted(witness, 0.0)
    }

    /// The same for a glaze whose true expansion lies `shift` from the witness's, 1e-6/K.
    pub(super) fn chance_shifted(&self, witness: &Witness, shift: f64) -> f64 {
        let looks = witness.latest(self.failing.edge);
        if looks.is_empty() {
            let Belief { mean, sd } = witness.believed.belief;
            return self.chance(Belief::new(mean + shift, sd));
        }
        let moved = self.failing.edge.past(shift, 0.0);
        let lattice = self.lattice(witness.believed.belief);
        let seen = self.ln_looks(&lattice, &looks);
        let with_one_more: Vec<f64> = seen
            .iter()
            .zip(self.pasts(&lattice))
            .map(|(ln, past)| ln + ln_cumulative((past + moved) / self.failing.between_pieces))
            .collect();
        let before = lattice.mix(&seen, self.grid.count);
        let after = lattice.mix(&with_one_more, self.grid.count);
        let chances = after.iter().zip(&before).map(|(after, before)| (after - before).exp());
        chances.zip(&self.shares).map(|(chance, share)| chance * share).sum()
    }

    /// The variance to expect once `pieces` of a further glaze were looked at, at an age,
    /// its true expansion lying `shift` from that of the witness (whose own looks count).
    pub(super) fn expected_variance(&self, witness: &Witness, shift: f64, pieces: u32, age_days: f64) -> f64 {
        let lattice = self.lattice(witness.believed.belief);
        let seen = self.ln_looks(&lattice, &witness.latest(self.failing.edge));
        let before = lattice.mix(&seen, self.grid.count);
        let share = self.failing.share_by(age_days);
        let moved = self.failing.edge.past(shift, 0.0);
        let mut expected = 0.0;
        let mut ln_orders = 0.0;
        for failed in 0..=pieces {
            if failed > 0 {
                ln_orders += (f64::from(pieces - failed + 1) / f64::from(failed)).ln();
            }
            let table: Vec<f64> = seen
                .iter()
                .zip(self.pasts(&lattice))
                .map(|(ln, past)| ln + self.failing.ln_chance(past + moved, share, pieces, failed))
                .collect();
            let after = lattice.mix(&table, self.grid.count);
            let joint: Vec<f64> = after
                .iter()
                .zip(&before)
                .zip(&self.shares)
                .map(|((after, before), share)| {
                    let chance = (after - before + ln_orders).exp();
                    if chance.is_finite() { chance * share } else { 0.0 }
                })
                .collect();
            expected += self.spread_of(&joint);
        }
        expected
    }

    /// Variance times weight of unnormalised shares.
    fn spread_of(&self, joint: &[f64]) -> f64 {
        let weight: f64 = joint.iter().sum();
        if weight <= 0.0 {
            return 0.0;
        }
        let pairs = || self.grid.points().zip(joint);
        let mean = pairs().map(|(edge, share)| edge * share).sum::<f64>() / weight;
        pairs().map(|(edge, share)| (edge - mean).powi(2) * share).sum()
    }

    fn mean_of(&self, value: impl Fn(f64) -> f64) -> f64 {
        let weighed = self.grid.points().zip(&self.shares).filter(|(_, share)| **share > 0.0);
        weighed.map(|(edge, share)| value(edge) * share).sum()
    }

    fn lattice(&self, expansion: Belief) -> Lattice {
        let grid = Grid::around(expansion, TRUE_STEP);
        Lattice {
            weights: grid.normal_weights(expansion),
            grid,
        }
    }

    /// How far past the edge each difference of the lattice lies.
    fn pasts(&self, lattice: &Lattice) -> impl Iterator<Item = f64> {
        let length = table_length(lattice.grid.count, self.grid.count);
        let lowest = lattice.grid.low - self.grid.at(self.grid.count - 1);
        let edge = self.failing.edge;
        (0..length).map(move |index| edge.past(lowest + EDGE_STEP * index as f64, 0.0))
    }

    /// ln of the chance of these looks at each difference of the lattice.
    fn ln_looks(&self, lattice: &Lattice, looks: &[&Look]) -> Vec<f64> {
        let shares: Vec<f64> = looks.iter().map(|look| self.failing.share_by(look.age_days)).collect();
        self.pasts(lattice)
            .map(|past| {
                let each = looks.iter().zip(&shares).map(|(look, share)| {
                    let failed = look.failed(self.failing.edge).unwrap_or(0);
                    self.failing.ln_chance(past, *share, look.pieces, failed)
                });
                each.sum()
            })
            .collect()
    }
}

/// A true expansion's grid with its weights.
struct Lattice {
    grid: Grid,
    weights: Vec<f64>,
}

impl Lattice {
    fn mix(&self, table: &[f64], count: usize) -> Vec<f64> {
        ln_mixtures(&self.weights, table, count)
    }
}

fn normalised(ln_shares: &[f64]) -> Vec<f64> {
    let most = ln_shares.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shares: Vec<f64> = ln_shares.iter().map(|ln| (ln - most).exp()).collect();
    let total: f64 = shares.iter().sum();
    shares.into_iter().map(|share| share / total).collect()
}
