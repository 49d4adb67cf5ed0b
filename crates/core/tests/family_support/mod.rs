//! Simulated surfaces of several shapes over three to five ends, 0 to 5, tiles with scatter:
//! how near the blend called best comes to the true best, and whether its band holds.

use glost_core::tiles::mixture::{Goal, Graded, Lesson, Outcomes, Question, learn};

use crate::mixture_support::Draw;

/// Standard deviation of one tile's grade.
pub const SCATTER: f64 = 0.5;
/// Batches after the first plan, and the tiles of each.
const ROUNDS: (usize, usize) = (3, 2);

/// The shape of a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Ends and products of two.
    Quadratic,
    /// With products of three.
    Cubic,
    /// One hill on a slope.
    Hill,
    /// A hill and a lower one apart from it.
    TwoHills,
    /// A long crest.
    Ridge,
    /// A slope that breaks off.
    Cliff,
}

/// All of them.
pub const SHAPES: [Shape; 6] = [
    Shape::Quadratic,
    Shape::Cubic,
    Shape::Hill,
    Shape::TwoHills,
    Shape::Ridge,
    Shape::Cliff,
];

struct Hill {
    at: Vec<f64>,
    height: f64,
    width: f64,
}

/// A surface drawn and stretched to 0 to 5.
pub struct Surface {
    ends: usize,
    linear: Vec<f64>,
    pairs: Vec<f64>,
    triples: Vec<f64>,
    hills: Vec<Hill>,
    /// Across a ridge, with its middle and width.
    crest: Option<(Vec<f64>, Vec<f64>, f64)>,
    /// Across a cliff, with its edge and its drop.
    cliff: Option<(Vec<f64>, f64, f64)>,
    low: f64,
    high: f64,
}

fn dirichlet(draw: &mut Draw, ends: usize, halves: usize) -> Vec<f64> {
    // A gamma of half a number: exponentials, and half a squared normal.
    let parts: Vec<f64> = (0..ends)
        .map(|_| {
            let whole: f64 = (0..halves / 2).map(|_| -(1.0 - draw.even()).ln()).sum();
            whole
                + if halves % 2 == 1 {
                    0.5 * draw.normal().powi(2)
                } else {
                    0.0
                }
        })
        .collect();
    let sum: f64 = parts.iter().sum();
    parts.into_iter().map(|part| part / sum).collect()
}

/// Every blend in steps of one of so many parts.
pub fn lattice(ends: usize, parts: usize) -> Vec<Vec<f64>> {
    fn fill(left: usize, ends: usize, so_far: &mut Vec<usize>, all: &mut Vec<Vec<usize>>) {
        if ends == 1 {
            all.push(so_far.iter().copied().chain([left]).collect());
            return;
        }
        for part in 0..=left {
            so_far.push(part);
            fill(left - part, ends - 1, so_far, all);
            so_far.pop();
        }
    }
    let mut all = Vec::new();
    fill(parts, ends, &mut Vec::new(), &mut all);
    let shares = |counts: Vec<usize>| counts.into_iter().map(|count| count as f64 / parts as f64).collect();
    all.into_iter().map(shares).collect()
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

/// A direction that leaves the sum of shares as it is, of length 1.
fn across(draw: &mut Draw, ends: usize) -> Vec<f64> {
    let raw: Vec<f64> = (0..ends).map(|_| draw.normal()).collect();
    let mean = raw.iter().sum::<f64>() / ends as f64;
    let level: Vec<f64> = raw.into_iter().map(|value| value - mean).collect();
    let length = dot(&level, &level).sqrt();
    level.into_iter().map(|value| value / length).collect()
}

fn between(draw: &mut Draw, low: f64, high: f64) -> f64 {
    low + (high - low) * draw.even()
}

fn hill(draw: &mut Draw, at: Vec<f64>, height: f64, widths: (f64, f64)) -> Hill {
    let width = between(draw, widths.0, widths.1);
    Hill { at, height, width }
}

fn parts_of(ends: usize) -> usize {
    match ends {
        2 => 100,
        3 => 40,
        4 => 20,
        _ => 12,
    }
}

impl Surface {
    /// Draws one.
    pub fn drawn(shape: Shape, ends: usize, draw: &mut Draw) -> Surface {
        let normals = |draw: &mut Draw, count: usize, width: f64| -> Vec<f64> {
            (0..count).map(|_| width * draw.normal()).collect()
        };
        let slope = match shape {
            Shape::Quadratic | Shape::Cubic => 1.0,
            Shape::Hill => 0.15,
            Shape::TwoHills => 0.1,
            Shape::Ridge => 0.2,
            Shape::Cliff => 0.4,
        };
        let mut surface = Surface {
            ends,
            linear: normals(draw, ends, slope),
            pairs: Vec::new(),
            triples: Vec::new(),
            hills: Vec::new(),
            crest: None,
            cliff: None,
            low: 0.0,
            high: 1.0,
        };
        match shape {
            Shape::Quadratic => surface.pairs = normals(draw, ends * (ends - 1) / 2, 4.0),
            Shape::Cubic => {
                surface.pairs = normals(draw, ends * (ends - 1) / 2, 4.0);
                surface.triples = normals(draw, ends * (ends - 1) * (ends - 2) / 6, 27.0);
            }
            Shape::Hill => {
                let at = dirichlet(draw, ends, 6);
                surface.hills = vec![hill(draw, at, 1.0, (0.18, 0.35))];
            }
            Shape::TwoHills => surface.hills = two_hills(draw, ends),
            Shape::Ridge => {
                let (direction, at) = (across(draw, ends), dirichlet(draw, ends, 4));
                surface.crest = Some((direction, at, between(draw, 0.1, 0.25)));
            }
            Shape::Cliff => surface.break_off(draw),
        }
        let heights: Vec<f64> = lattice(ends, parts_of(ends)).iter().map(|at| surface.raw(at)).collect();
        surface.low = heights.iter().copied().fold(f64::INFINITY, f64::min);
        surface.high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        surface
    }

    fn break_off(&mut self, draw: &mut Draw) {
        let direction = across(draw, self.ends);
        for (slope, along) in self.linear.iter_mut().zip(&direction) {
            *slope += along;
        }
        let mut places: Vec<f64> = lattice(self.ends, 20).iter().map(|at| dot(&direction, at)).collect();
        places.sort_by(f64::total_cmp);
        let edge = places[(places.len() as f64 * between(draw, 0.55, 0.85)) as usize];
        self.cliff = Some((direction, edge, between(draw, 1.0, 2.0)));
    }

    fn raw(&self, at: &[f64]) -> f64 {
        let mut height = dot(&self.linear, at);
        let (mut pairs, mut triples) = (self.pairs.iter(), self.triples.iter());
        for i in 0..self.ends {
            for j in i + 1..self.ends {
                height += pairs.next().map_or(0.0, |pair| pair * at[i] * at[j]);
                for k in j + 1..self.ends {
                    height += triples.next().map_or(0.0, |triple| triple * at[i] * at[j] * at[k]);
                }
            }
        }
        for hill in &self.hills {
            let away: f64 = at.iter().zip(&hill.at).map(|(a, b)| (a - b).powi(2)).sum();
            height += hill.height * (-away / (2.0 * hill.width.powi(2))).exp();
        }
        if let Some((direction, middle, width)) = &self.crest {
            let off = dot(direction, at) - dot(direction, middle);
            height += (-off * off / (2.0 * width * width)).exp();
        }
        match &self.cliff {
            Some((direction, edge, drop)) if dot(direction, at) >= *edge => height - drop,
            _ => height,
        }
    }

    /// The true height of a blend, 0 to 5.
    pub fn truth(&self, at: &[f64]) -> f64 {
        5.0 * (self.raw(at) - self.low) / (self.high - self.low)
    }

    fn tile(&self, shares: Vec<f64>, whole: bool, draw: &mut Draw) -> Graded {
        let value = self.truth(&shares) + SCATTER * draw.normal();
        let value = if whole { value.round().clamp(0.0, 5.0) } else { value };
        Graded { shares, value }
    }
}

fn two_hills(draw: &mut Draw, ends: usize) -> Vec<Hill> {
    loop {
        let (one, other) = (dirichlet(draw, ends, 3), dirichlet(draw, ends, 3));
        let apart: f64 = one.iter().zip(&other).map(|(a, b)| (a - b).powi(2)).sum();
        if apart.sqrt() > 0.45 {
            let lower = between(draw, 0.65, 0.9);
            return vec![hill(draw, one, 1.0, (0.15, 0.3)), hill(draw, other, lower, (0.15, 0.3))];
        }
    }
}

/// Ends, the middles of their edges, the middle of all.
fn plan(ends: usize) -> Vec<Vec<f64>> {
    let of = |some: &[usize]| {
        let share = 1.0 / some.len() as f64;
        (0..ends)
            .map(|end| if some.contains(&end) { share } else { 0.0 })
            .collect()
    };
    let singles = (0..ends).map(|end| of(&[end]));
    let edges = (0..ends).flat_map(|one| (one + 1..ends).map(move |other| [one, other]));
    let all: Vec<usize> = (0..ends).collect();
    singles.chain(edges.map(|edge| of(&edge))).chain([of(&all)]).collect()
}

/// What came of one studio.
#[derive(Debug, Clone, Copy)]
pub struct Called {
    /// How far below the true best the blend called best lies.
    pub short: f64,
    /// Whether its true grade lies in its 90 % band.
    pub held: bool,
    /// Tiles of the worse half advised again.
    pub again_bad: usize,
    /// Whether a tile was called best that lies far below the best measured one.
    pub low_called: bool,
}

/// A first plan, then three batches of two as advised.
pub fn called(shape: Shape, ends: usize, whole: bool, seed: u64) -> Called {
    let mut draw = Draw(seed);
    let surface = Surface::drawn(shape, ends, &mut draw);
    let mut tiles: Vec<Graded> = plan(ends)
        .into_iter()
        .map(|at| surface.tile(at, whole, &mut draw))
        .collect();
    let mut again_bad = 0;
    for _ in 0..ROUNDS.0 {
        let middle = crate::measured_support::median(tiles.iter().map(|tile| tile.value).collect());
        for next in learnt(&tiles, ends, ROUNDS.1).next {
            let (worth, count) = as_made(&tiles, &next.shares, 0.006);
            again_bad += usize::from(count > 0 && worth / (count as f64) < middle);
            tiles.push(surface.tile(next.shares, whole, &mut draw));
        }
    }
    let best = learnt(&tiles, ends, 0).best;
    let (low, high) = best.band.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    let truth = surface.truth(&best.shares);
    let highest = tiles.iter().map(|tile| tile.value).fold(f64::NEG_INFINITY, f64::max);
    let own = tiles.iter().filter(|tile| apart(&tile.shares, &best.shares) <= 0.0201);
    let own = own.map(|tile| tile.value).reduce(f64::max);
    Called {
        short: 5.0 - truth,
        held: (low..=high).contains(&truth),
        again_bad,
        low_called: own.is_some_and(|own| highest - own > 2.0 * SCATTER * std::f64::consts::SQRT_2),
    }
}

fn as_made(tiles: &[Graded], shares: &[f64], within: f64) -> (f64, usize) {
    let own = tiles.iter().filter(|tile| apart(&tile.shares, shares) < within);
    own.fold((0.0, 0), |(sum, count), tile| (sum + tile.value, count + 1))
}

fn apart(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

fn learnt(tiles: &[Graded], ends: usize, next: usize) -> Lesson {
    let question = Question {
        ends,
        model: None,
        goal: Goal::Most,
        next,
        ladder: None,
    };
    learn(&Outcomes::Grades(tiles.to_vec()), &question).unwrap_or_else(|why| panic!("{why:?}"))
}
