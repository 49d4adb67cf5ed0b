//! Simulated studios: a known surface over a triangle, tiles with scatter, a seeded draw.

use glost_core::tiles::mixture::{Goal, Graded, MixtureModel, Outcomes, Question, Term, learn};

/// How far the true surface ranges.
pub const RANGE: f64 = 10.0;
/// Standard deviation of one tile's grade.
pub const SCATTER: f64 = 0.5;
/// Tiles of the first plan, and in all.
pub const TILES: (usize, usize) = (7, 10);
/// A called best that is truly within this of the true best is a hit.
pub const CLOSE: f64 = 0.3;
/// The parts of the whole in which the true surface is looked over.
const PARTS: usize = 60;

/// A seeded draw (SplitMix64), the same on every machine.
pub struct Draw(pub u64);

impl Draw {
    /// Between 0 and 1.
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Normal, by Box and Muller.
    pub fn normal(&mut self) -> f64 {
        let (one, other) = (1.0 - self.even(), self.even());
        (-2.0 * one.ln()).sqrt() * (std::f64::consts::TAU * other).cos()
    }

    /// A blend, evenly over the triangle.
    pub fn blend(&mut self) -> Vec<f64> {
        let parts: Vec<f64> = (0..3).map(|_| -(1.0 - self.even()).ln()).collect();
        let sum: f64 = parts.iter().sum();
        parts.into_iter().map(|part| part / sum).collect()
    }
}

/// How the true surfaces are drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surfaces {
    /// Coefficients normal, the products' so many times as wide.
    Drawn(f64),
    /// Ends even in 0 to 10, products even in -20 to 20.
    Even,
    /// A hill with its top inside.
    Hill,
}

/// A quadratic surface over a triangle.
pub struct Studio {
    terms: Vec<Term>,
    coefficients: Vec<f64>,
    top: f64,
}

fn look() -> Vec<Vec<f64>> {
    let mut blends = Vec::new();
    for a in 0..=PARTS {
        for b in 0..=PARTS - a {
            let part = |count: usize| count as f64 / PARTS as f64;
            blends.push(vec![part(a), part(b), part(PARTS - a - b)]);
        }
    }
    blends
}

impl Studio {
    /// A surface drawn and stretched to the range.
    pub fn drawn(surfaces: Surfaces, draw: &mut Draw) -> Studio {
        let coefficients = match surfaces {
            Surfaces::Drawn(width) => (0..6)
                .map(|term| draw.normal() * if term < 3 { 1.0 } else { width })
                .collect(),
            Surfaces::Even => (0..6)
                .map(|term| {
                    if term < 3 {
                        10.0 * draw.even()
                    } else {
                        40.0 * draw.even() - 20.0
                    }
                })
                .collect(),
            Surfaces::Hill => hill(draw),
        };
        let mut studio = Studio {
            terms: MixtureModel::Quadratic.terms(3),
            coefficients,
            top: 0.0,
        };
        let heights: Vec<f64> = look().iter().map(|blend| studio.truth(blend)).collect();
        let highest = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
        for coefficient in &mut studio.coefficients {
            *coefficient *= RANGE / (highest - lowest);
        }
        studio.top = highest * RANGE / (highest - lowest);
        studio
    }

    /// The true height at a blend.
    pub fn truth(&self, shares: &[f64]) -> f64 {
        let terms = self.terms.iter().zip(&self.coefficients);
        terms.map(|(term, coefficient)| coefficient * term.value(shares)).sum()
    }

    /// How far below the true best a blend lies.
    pub fn short_by(&self, shares: &[f64]) -> f64 {
        self.top - self.truth(shares)
    }

    /// A tile made.
    pub fn tile(&self, shares: Vec<f64>, draw: &mut Draw) -> Graded {
        Graded {
            value: self.truth(&shares) + SCATTER * draw.normal(),
            shares,
        }
    }
}

/// `-(x - p)' A (x - p)` in the first two shares, as a quadratic of the three.
fn hill(draw: &mut Draw) -> Vec<f64> {
    let top = draw.blend();
    let spread = [draw.normal(), draw.normal(), draw.normal()];
    let height = |shares: &[f64]| {
        let (x, y) = (shares[0] - top[0], shares[1] - top[1]);
        let (u, v) = (spread[0] * x + spread[1] * y, spread[2] * y);
        -(u * u + v * v + 0.1 * (x * x + y * y))
    };
    let ends = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|end| height(&end));
    let bend = |shares: [f64; 3], one: usize, other: usize| 4.0 * height(&shares) - 2.0 * (ends[one] + ends[other]);
    vec![
        ends[0],
        ends[1],
        ends[2],
        bend([0.5, 0.5, 0.0], 0, 1),
        bend([0.5, 0.0, 0.5], 0, 2),
        bend([0.0, 0.5, 0.5], 1, 2),
    ]
}

/// Which tiles follow the first plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Follow {
    /// Those advised.
    Advice,
    /// Any.
    Chance,
}

/// How far below the true best a studio ends.
#[derive(Debug, Clone, Copy, Default)]
pub struct Short {
    /// The blend called best.
    pub called: f64,
    /// The best tile made.
    pub made: f64,
}

/// One studio: a first plan, then one batch.
pub fn studio_run(surfaces: Surfaces, seed: u64, follow: Follow) -> Short {
    let mut draw = Draw(seed);
    let studio = Studio::drawn(surfaces, &mut draw);
    let half = 0.5;
    let third = 1.0 / 3.0;
    let plan = [
        [1.0, 0.0, 0.0],
        [0.0, 1.0, 0.0],
        [0.0, 0.0, 1.0],
        [half, half, 0.0],
        [half, 0.0, half],
        [0.0, half, half],
        [third, third, third],
    ];
    assert_eq!(plan.len(), TILES.0);
    let mut tiles: Vec<Graded> = plan
        .iter()
        .map(|blend| studio.tile(blend.to_vec(), &mut draw))
        .collect();
    // The same surface and first plan for both ways; their later tiles are drawn apart.
    let mut later = Draw(seed ^ 0xA5A5_A5A5);
    let more = TILES.1 - TILES.0;
    let batch = match follow {
        Follow::Chance => (0..more).map(|_| later.blend()).collect(),
        Follow::Advice => asked(&tiles, more).1,
    };
    for shares in batch {
        tiles.push(studio.tile(shares, &mut later));
    }
    let made = tiles.iter().map(|tile| studio.short_by(&tile.shares));
    Short {
        called: studio.short_by(&asked(&tiles, 0).0),
        made: made.fold(f64::INFINITY, f64::min),
    }
}

/// The blend called best and the tiles advised.
fn asked(tiles: &[Graded], next: usize) -> (Vec<f64>, Vec<Vec<f64>>) {
    let question = Question {
        ends: 3,
        model: None,
        goal: Goal::Most,
        next,
        ladder: None,
    };
    let lesson = learn(&Outcomes::Grades(tiles.to_vec()), &question).unwrap_or_else(|why| panic!("{why:?}"));
    let next = lesson.next.into_iter().map(|tile| tile.shares).collect();
    (lesson.best.shares, next)
}

/// Many studios: the share of blends called best that are close, and mean distances.
pub fn many(surfaces: Surfaces, runs: u64, follow: Follow) -> (f64, Short) {
    let runs: Vec<Short> = (0..runs)
        .map(|run| studio_run(surfaces, 1000 + 7919 * run, follow))
        .collect();
    let hits = runs.iter().filter(|short| short.called <= CLOSE).count();
    let count = runs.len() as f64;
    let mean = |part: fn(&Short) -> f64| runs.iter().map(part).sum::<f64>() / count;
    let short = Short {
        called: mean(|short| short.called),
        made: mean(|short| short.made),
    };
    (hits as f64 / count, short)
}
