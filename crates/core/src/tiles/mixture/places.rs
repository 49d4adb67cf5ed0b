//! Where tiles lie: the region that a plan spans, and how alike two blends are.

use super::region::{lattice, lattice_within};

/// A share that every tile has at least this much of is the plan's own floor, not chance.
const FLOOR_FROM: f64 = 0.30;
/// Less room than this above the floors is no plan but one blend.
const LEAST_ROOM: f64 = 0.02;
/// How far two blends' likeness reaches beyond ends and pairs, in shares.
const REACH: f64 = 0.3;
/// The most blends that may be advised where ends are many.
const MOST_CANDIDATES: usize = 1001;

/// The part of all blends that the tiles are about.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Region {
    floors: Vec<f64>,
    room: f64,
}

impl Region {
    /// The region of tiles whose shares sum to 1.
    pub(super) fn of<'a>(tiles: impl Iterator<Item = &'a [f64]> + Clone, ends: usize) -> Region {
        let floors: Vec<f64> = (0..ends)
            .map(|end| tiles.clone().map(|shares| shares[end]).fold(1.0, f64::min))
            .map(|least| if least >= FLOOR_FROM { least } else { 0.0 })
            .collect();
        let room = 1.0 - floors.iter().sum::<f64>();
        if room < LEAST_ROOM {
            return Region {
                floors: vec![0.0; ends],
                room: 1.0,
            };
        }
        Region { floors, room }
    }

    /// Shares within the region, from 0 at its floors.
    pub(super) fn inward(&self, shares: &[f64]) -> Vec<f64> {
        let pairs = shares.iter().zip(&self.floors);
        pairs.map(|(share, floor)| (share - floor) / self.room).collect()
    }

    /// Shares of the ends, to 9 decimals.
    pub(super) fn outward(&self, inner: &[f64]) -> Vec<f64> {
        let pairs = inner.iter().zip(&self.floors);
        pairs
            .map(|(inner, floor)| (1e9 * (floor + self.room * inner)).round() / 1e9)
            .collect()
    }
}

/// Blends with what their likeness is worked from.
#[derive(Debug, Clone, Default)]
pub(super) struct Places {
    pub(super) shares: Vec<Vec<f64>>,
    pairs: Vec<Vec<f64>>,
}

/// How alike two blends are by ends, by pairs of ends, and as neighbours.
#[derive(Debug, Clone, Copy)]
pub(super) struct Likeness {
    pub(super) ends: f64,
    pub(super) pairs: f64,
    pub(super) near: f64,
}

impl Places {
    pub(super) fn of(shares: Vec<Vec<f64>>) -> Places {
        let pairs = shares.iter().map(|shares| pairs(shares)).collect();
        Places { shares, pairs }
    }

    pub(super) fn len(&self) -> usize {
        self.shares.len()
    }

    /// How alike one of these is to one of the others.
    pub(super) fn likeness(&self, place: usize, others: &Places, other: usize) -> Likeness {
        let (one, two) = (&self.shares[place], &others.shares[other]);
        let (mut ends, mut squares) = (0.0, 0.0);
        for (a, b) in one.iter().zip(two) {
            ends += a * b;
            squares += (a - b) * (a - b);
        }
        let pairs = self.pairs[place].iter().zip(&others.pairs[other]);
        Likeness {
            ends,
            pairs: pairs.map(|(a, b)| a * b).sum(),
            near: near(squares.sqrt()),
        }
    }

    /// How alike a blend is to itself.
    pub(super) fn own(&self, place: usize) -> Likeness {
        self.likeness(place, self, place)
    }
}

/// Matern's 5/2 likeness at a distance.
fn near(distance: f64) -> f64 {
    let s = 5.0_f64.sqrt() * distance / REACH;
    (1.0 + s + s * s / 3.0) * (-s).exp()
}

fn pairs(shares: &[f64]) -> Vec<f64> {
    let mut pairs = Vec::with_capacity(shares.len() * shares.len().saturating_sub(1) / 2);
    for (place, one) in shares.iter().enumerate() {
        pairs.extend(shares[place + 1..].iter().map(|other| 4.0 * one * other));
    }
    pairs
}

/// Which lattice of blends is looked over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lattice {
    /// Those that may be called best or advised.
    Fine,
    /// Coarser over five ends: every blend is weighed against every other.
    Coarse,
}

/// Blends in easy steps, and all ends in equal parts.
pub(super) fn candidates(ends: usize, which: Lattice) -> Vec<Vec<f64>> {
    let mut blends = match (ends, which) {
        (2, _) => lattice(2, 40),
        (3, _) => lattice(3, 20),
        (4, _) => lattice(4, 10),
        (5, Lattice::Fine) => lattice(5, 10),
        (5, Lattice::Coarse) => lattice(5, 8),
        (_, Lattice::Fine) => lattice_within(ends, MOST_CANDIDATES, &[2, 3, 4, 5, 6, 8]),
        (_, Lattice::Coarse) => lattice_within(ends, MOST_CANDIDATES / 2, &[2, 3, 4, 5, 6, 8]),
    };
    blends.push(vec![1.0 / ends as f64; ends]);
    blends
}

/// The largest difference of two blends' shares.
pub(super) fn apart(one: &[f64], other: &[f64]) -> f64 {
    one.iter()
        .zip(other)
        .fold(0.0, |most, (a, b)| f64::max(most, (a - b).abs()))
}

/// A number to the 9 decimals that places are compared on.
fn nine(value: f64) -> f64 {
    (value * 1e9).round_ties_even() / 1e9
}

/// The place of the greatest value, compared on 9 decimals; the first of equals.
pub(super) fn greatest(values: impl Iterator<Item = f64>) -> Option<usize> {
    let mut found: Option<(usize, f64)> = None;
    for (place, value) in values.map(nine).enumerate() {
        if found.is_none_or(|(_, most)| value > most) {
            found = Some((place, value));
        }
    }
    found.map(|(place, _)| place)
}

/// Different blends made, in the order they were made.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Made {
    /// Shares, to 6 decimals.
    pub(super) shares: Vec<Vec<f64>>,
    /// The tiles of each, by place.
    pub(super) tiles: Vec<Vec<usize>>,
}

impl Made {
    pub(super) fn of(tiles: &[Vec<f64>]) -> Made {
        let mut made = Made::default();
        for (place, shares) in tiles.iter().enumerate() {
            let key: Vec<f64> = shares
                .iter()
                .map(|share| (1e6 * share).round_ties_even() / 1e6)
                .collect();
            match made.shares.iter().position(|known| *known == key) {
                Some(known) => made.tiles[known].push(place),
                None => {
                    made.shares.push(key);
                    made.tiles.push(vec![place]);
                }
            }
        }
        made
    }

    /// Whether a blend was made, to so many of share.
    pub(super) fn holds(&self, blend: &[f64], within: f64) -> bool {
        self.shares.iter().any(|made| apart(made, blend) <= within)
    }
}
