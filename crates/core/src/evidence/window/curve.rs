//! How likely a batch is to show what it showed, by how far its glaze lies past the edge.
//!
//! The age of the pieces only moves where a curve stands, so one serves all batches of the
//! same count, number of pieces and way of looking.

use std::collections::HashMap;

use glost_solve::lattice::ln_shifted;
use glost_solve::normal::cumulative;

use super::grid::{STEP, shift_weights};
use super::look::Edge;

/// Chances of one piece are kept in this far from 0 and from 1.
const LEAST_CHANCE: f64 = 1e-12;
/// Beyond so many standard deviations a piece's chance has met its bounds.
const FLAT_BEYOND: f64 = 7.2;

/// ln of a chance along how far a glaze lies past the edge; level outside of its points.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    /// Where the first point lies, 1e-6/K.
    pub(super) low: f64,
    /// Every [`STEP`].
    pub(super) ln: Vec<f64>,
}

impl Curve {
    /// With its left and right sides exchanged: along how far a glaze lies *inside*.
    fn reversed(mut self) -> Curve {
        self.low = -(self.low + STEP * (self.ln.len() - 1) as f64);
        self.ln.reverse();
        self
    }

    /// ln Phi(past / spread), a piece of a batch that isn't made yet.
    pub(super) fn of_a_piece(spread: f64, edge: Edge) -> Curve {
        let steps = (FLAT_BEYOND * spread / STEP).ceil() as i64;
        let ln = |index: i64| {
            cumulative(STEP * index as f64 / spread)
                .clamp(LEAST_CHANCE, 1.0 - LEAST_CHANCE)
                .ln()
        };
        Curve {
            low: -STEP * steps as f64,
            ln: (-steps..=steps).map(ln).collect(),
        }
        .along_expansion(edge)
    }

    fn along_expansion(self, edge: Edge) -> Curve {
        match edge {
            Edge::Craze => self,
            Edge::Shiver => self.reversed(),
        }
    }
}

/// What a later look at pieces of which none had failed may show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SinceThen {
    /// So many have failed since.
    Exactly(u32),
    /// More than so many.
    MoreThan(u32),
}

/// What was counted on a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Counted {
    pub(super) pieces: u32,
    pub(super) failed: u32,
    /// The share of failed pieces that this way of looking finds.
    pub(super) found: f64,
}

/// The curves of an edge, each worked once.
#[derive(Debug, Clone)]
pub(super) struct Curves {
    edge: Edge,
    between_pieces: f64,
    batch: Vec<f64>,
    known: HashMap<(u32, u32, u64), usize>,
    all: Vec<Curve>,
    /// What each of them was counted of, by its bits.
    told: Vec<[u64; 3]>,
    /// ln of a piece's chance and of its contrary at each point, by the share found.
    pieces: HashMap<u64, Vec<(f64, f64)>>,
}

impl Curves {
    pub(super) fn new(edge: Edge, between_pieces: f64, between_batches: f64) -> Curves {
        Curves {
            edge,
            between_pieces,
            batch: shift_weights(between_batches),
            known: HashMap::new(),
            all: Vec::new(),
            told: Vec::new(),
            pieces: HashMap::new(),
        }
    }

    pub(super) fn get(&self, index: usize) -> &Curve {
        &self.all[index]
    }

    /// What a curve was counted of: pieces, failed, the share found, by their bits.
    pub(super) fn told(&self, index: usize) -> [u64; 3] {
        self.told[index]
    }

    /// The place of the curve of a count; the number of orders is left out.
    pub(super) fn of(&mut self, counted: Counted) -> usize {
        let key = (counted.pieces, counted.failed, counted.found.to_bits());
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let curve = self.work_out(counted);
        self.all.push(curve);
        self.told.push([u64::from(key.0), u64::from(key.1), key.2]);
        self.known.insert(key, self.all.len() - 1);
        self.all.len() - 1
    }

    /// ln of the chance that none of so many pieces had failed at an earlier look and that a
    /// later one shows `since`, along how far they lie past the edge at the later; `further` is
    /// by how much less far they lay at the earlier.
    pub(super) fn again(&self, counted: Counted, since: SinceThen, further: f64) -> Curve {
        let reach = (FLAT_BEYOND * self.between_pieces / STEP).ceil() as i64 + self.batch.len() as i64 - 1;
        let top = reach + (further / STEP).ceil() as i64;
        let failing = |past: f64| {
            let chance = counted.found * cumulative(past / self.between_pieces);
            chance.clamp(LEAST_CHANCE, 1.0 - LEAST_CHANCE)
        };
        let pieces = f64::from(counted.pieces);
        let alone = (-reach..=top).map(|index| {
            let past = STEP * index as f64;
            let (before, now) = (failing(past - further), failing(past));
            let fresh = (now - before).max(LEAST_CHANCE * LEAST_CHANCE);
            let held = 1.0 - now;
            let exactly = |failed: u32| {
                let orders: f64 = (1..=failed)
                    .map(|one| f64::from(counted.pieces - failed + one) / f64::from(one))
                    .product();
                let rest = f64::from(counted.pieces - failed);
                orders * fresh.powi(failed.cast_signed()) * held.powf(rest)
            };
            let chance = match since {
                SinceThen::Exactly(failed) => exactly(failed),
                SinceThen::MoreThan(most) => (1.0 - before).powf(pieces) - (0..=most).map(exactly).sum::<f64>(),
            };
            chance.max(f64::MIN_POSITIVE).ln()
        });
        let alone: Vec<f64> = alone.collect();
        let half = (self.batch.len() / 2) as i64;
        Curve {
            low: STEP * (half - reach) as f64,
            ln: ln_shifted(&self.batch, &alone),
        }
    }

    fn work_out(&mut self, counted: Counted) -> Curve {
        let reach = (FLAT_BEYOND * self.between_pieces / STEP).ceil() as i64 + self.batch.len() as i64 - 1;
        let spread = self.between_pieces;
        let piece = self.pieces.entry(counted.found.to_bits()).or_insert_with(|| {
            let points = (-reach..=reach).map(|index| STEP * index as f64);
            points
                .map(|past| {
                    let chance = counted.found * cumulative(past / spread);
                    let chance = chance.clamp(LEAST_CHANCE, 1.0 - LEAST_CHANCE);
                    (chance.ln(), (-chance).ln_1p())
                })
                .collect()
        });
        let (failed, held) = (
            f64::from(counted.failed),
            f64::from(counted.pieces.saturating_sub(counted.failed)),
        );
        let alone: Vec<f64> = piece.iter().map(|(ln, ln_not)| failed * ln + held * ln_not).collect();
        let half = (self.batch.len() / 2) as i64;
        Curve {
            low: STEP * (half - reach) as f64,
            ln: ln_shifted(&self.batch, &alone),
        }
        .along_expansion(self.edge)
    }
}

/// Many curves, each moved, summed over a lattice.
pub(super) struct CurveSum {
    low: f64,
    /// ln at each point, without what the level sides give.
    ln: Vec<f64>,
    /// By how much the level sides change at each point.
    level: Vec<f64>,
    touched: bool,
}

impl CurveSum {
    pub(super) fn new(low: f64, length: usize) -> CurveSum {
        CurveSum {
            low,
            ln: vec![0.0; length],
            level: vec![0.0; length + 1],
            touched: false,
        }
    }

    /// Adds a curve at each of `moves` (the curve's argument is the lattice's value plus the
    /// move), so many times each.
    pub(super) fn add(&mut self, curve: &Curve, moves: &[(f64, f64)]) {
        // Moves between two points of the lattice are shared out between them, which is the
        // straight line between the curve's own points.
        let offset = |moved: f64| (self.low + moved - curve.low) / STEP;
        let first = moves
            .iter()
            .map(|(moved, _)| offset(*moved))
            .fold(f64::INFINITY, f64::min);
        if !first.is_finite() {
            return;
        }
        let first = first.floor();
        let mut times: Vec<f64> = Vec::new();
        for (moved, count) in moves {
            let along = offset(*moved) - first;
            let bin = along.floor();
            let rest = along - bin;
            let bin = bin as usize;
            if times.len() < bin + 2 {
                times.resize(bin + 2, 0.0);
            }
            times[bin] += count * (1.0 - rest);
            times[bin + 1] += count * rest;
        }
        for (bin, times) in times.into_iter().enumerate().filter(|(_, times)| *times > 0.0) {
            self.add_at(curve, first as i64 + bin as i64, times);
        }
    }

    /// Point `i` of the lattice meets point `i + offset` of the curve.
    fn add_at(&mut self, curve: &Curve, offset: i64, times: f64) {
        self.touched = true;
        let length = self.ln.len() as i64;
        let count = curve.ln.len() as i64;
        let start = (-offset).clamp(0, length);
        let end = (count - offset).clamp(start, length);
        let (Some(left), Some(right)) = (curve.ln.first(), curve.ln.last()) else {
            return;
        };
        self.level[0] += times * left;
        self.level[start as usize] -= times * left;
        self.level[end as usize] += times * right;
        let values = curve.ln.iter().skip((start + offset).max(0) as usize);
        for (sum, value) in self.ln[start as usize..end as usize].iter_mut().zip(values) {
            *sum += times * value;
        }
    }

    /// The sum, or `None` where nothing was added.
    pub(super) fn finish(self) -> Option<Vec<f64>> {
        if !self.touched {
            return None;
        }
        let mut level = 0.0;
        let with_level = self.ln.into_iter().zip(self.level).map(|(ln, change)| {
            level += change;
            ln + level
        });
        Some(with_level.collect())
    }
}
