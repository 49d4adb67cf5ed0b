//! Yes or no by tile, averaged over several surfaces.
//!
//! A latent surface over the blends and an effect of each tile, seen through the normal
//! law; Laplace's approximation at the top of each model's posterior, found by Newton's
//! steps (C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning
//! (2006), section 3.4). What is believed is the surface `h` whose normal law is the share
//! of pieces that say yes at a blend, over many tiles.

use super::bell::ln_cumulative;
use super::dense::{Lower, dot};
use super::places::{Likeness, Places};

/// How far the surface ranges.
const SCALES: [f64; 2] = [0.8, 2.0];
/// How much pairs of ends may bend, over that.
const BENDS: [f64; 2] = [0.3, 1.0];
/// The rest that ends and pairs don't follow, over that.
const RESTS: [f64; 2] = [0.35, 1.0];
/// How much tiles of one blend differ.
const TAUS: [f64; 2] = [0.2, 0.7];
/// The chance beforehand that the blend doesn't matter.
pub(super) const FLAT_BEFORE: f64 = 0.05;
/// The variance of the surface's common height.
const COMMON: f64 = 2.25;
const JITTER: f64 = 1e-8;
const LEAST_CURVATURE: f64 = 1e-9;
const LEAST_VARIANCE: f64 = 1e-12;
/// Newton's steps at most, and the rise that ends them.
const MOST_STEPS: usize = 60;
const NO_RISE: f64 = 1e-10;

/// Yes of pieces, a tile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Count {
    pub(super) yes: f64,
    pub(super) of: f64,
}

/// One model with what the tiles made of it.
#[derive(Debug, Clone)]
struct Model {
    scale: f64,
    bend: f64,
    rest: f64,
    tau: f64,
    /// The slope of ln of the likelihood at the top, a tile.
    slope: Vec<f64>,
    /// Root of the curvature there.
    root: Vec<f64>,
    factor: Lower,
    weight: f64,
}

/// The models weighed.
#[derive(Debug, Clone)]
pub(super) struct Chances {
    tiles: Places,
    models: Vec<Model>,
    /// The weight of the models in which the blend doesn't matter.
    pub(super) flat: f64,
}

impl Model {
    fn covariance(&self, like: Likeness) -> f64 {
        let bent = like.ends + self.bend * self.bend * like.pairs + self.rest * self.rest * like.near;
        COMMON + self.scale * self.scale * bent
    }
}

impl Chances {
    /// From the tiles' blends and counts; `None` for none at all.
    pub(super) fn of(tiles: Vec<Vec<f64>>, counts: &[Count]) -> Option<Chances> {
        let tiles = Places::of(tiles);
        if counts.is_empty() {
            return None;
        }
        let mut likeness = Vec::new();
        for row in 0..counts.len() {
            likeness.extend((0..counts.len()).map(|column| tiles.likeness(row, &tiles, column)));
        }
        let mut models = Vec::new();
        let mut evidence = Vec::new();
        for (scale, bend, rest, tau, before) in all_models() {
            let mut model = Model {
                scale,
                bend,
                rest,
                tau,
                slope: Vec::new(),
                root: Vec::new(),
                factor: Lower::of(Vec::new(), 0)?,
                weight: 0.0,
            };
            let mut matrix: Vec<f64> = likeness.iter().map(|like| model.covariance(*like)).collect();
            for place in 0..counts.len() {
                matrix[place * counts.len() + place] += tau * tau + JITTER;
            }
            let top = Top::of(&matrix, counts)?;
            evidence.push(top.evidence + f64::ln(before));
            (model.slope, model.root, model.factor) = (top.slope, top.root, top.factor);
            models.push(model);
        }
        let most = evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = evidence.iter().map(|ln| (ln - most).exp()).sum();
        for (model, ln) in models.iter_mut().zip(&evidence) {
            model.weight = (ln - most).exp() / total;
        }
        let flat = models.iter().filter(|model| model.scale == 0.0);
        let flat = flat.map(|model| model.weight).sum();
        Some(Chances { tiles, models, flat })
    }
}

/// Scale, bend, rest, tau and what speaks for each model beforehand.
fn all_models() -> Vec<(f64, f64, f64, f64, f64)> {
    let mut models = Vec::new();
    let each = (1.0 - FLAT_BEFORE) / (SCALES.len() * BENDS.len() * RESTS.len() * TAUS.len()) as f64;
    for scale in SCALES {
        for bend in BENDS {
            for rest in RESTS {
                models.extend(TAUS.map(|tau| (scale, bend, rest, tau, each)));
            }
        }
    }
    models.extend(TAUS.map(|tau| (0.0, 0.0, 0.0, tau, FLAT_BEFORE / TAUS.len() as f64)));
    models
}

/// The top of one model's posterior.
struct Top {
    slope: Vec<f64>,
    root: Vec<f64>,
    factor: Lower,
    evidence: f64,
}

impl Top {
    fn of(matrix: &[f64], counts: &[Count]) -> Option<Top> {
        let size = counts.len();
        let times = |vector: &[f64]| -> Vec<f64> { matrix.chunks(size).map(|row| dot(row, vector)).collect() };
        let ln = |heights: &[f64]| -> f64 { heights.iter().zip(counts).map(|(g, count)| slopes(*g, *count).0).sum() };
        let (mut heights, mut pull) = (vec![0.0; size], vec![0.0; size]);
        let mut objective = f64::NEG_INFINITY;
        for _ in 0..MOST_STEPS {
            let (slope, root) = at(&heights, counts);
            let factor = curved(matrix, &root)?;
            let b: Vec<f64> = (0..size).map(|i| root[i] * root[i] * heights[i] + slope[i]).collect();
            let mut solved: Vec<f64> = times(&b).iter().zip(&root).map(|(kb, root)| root * kb).collect();
            factor.forward(&mut solved);
            factor.back(&mut solved);
            let aim: Vec<f64> = (0..size).map(|i| b[i] - root[i] * solved[i]).collect();
            let mut step = 1.0;
            let (next_pull, next_heights, value) = loop {
                let there: Vec<f64> = pull.iter().zip(&aim).map(|(a, aim)| a + step * (aim - a)).collect();
                let heights = times(&there);
                let value = ln(&heights) - 0.5 * dot(&there, &heights);
                if value >= objective - 1e-12 || step < 1e-6 {
                    break (there, heights, value);
                }
                step *= 0.5;
            };
            let done = (value - objective).abs() < NO_RISE;
            (pull, heights, objective) = (next_pull, next_heights, value);
            if done {
                break;
            }
        }
        let (slope, root) = at(&heights, counts);
        let factor = curved(matrix, &root)?;
        Some(Top {
            evidence: objective - factor.ln_diagonal(),
            slope,
            root,
            factor,
        })
    }
}

/// ln of the likelihood of a count at a height of the surface, its slope, and minus its
/// curvature.
fn slopes(height: f64, count: Count) -> (f64, f64, f64) {
    let (ln_yes, over_yes) = ln_cumulative(height);
    let (ln_no, over_no) = ln_cumulative(-height);
    let no = count.of - count.yes;
    (
        count.yes * ln_yes + no * ln_no,
        count.yes * over_yes - no * over_no,
        count.yes * over_yes * (over_yes + height) + no * over_no * (over_no - height),
    )
}

/// Slopes and roots of the curvature at these heights.
fn at(heights: &[f64], counts: &[Count]) -> (Vec<f64>, Vec<f64>) {
    let both = heights.iter().zip(counts).map(|(height, count)| {
        let (_, slope, curvature) = slopes(*height, *count);
        (slope, curvature.max(LEAST_CURVATURE).sqrt())
    });
    both.unzip()
}

/// The factor of `1 + root K root`.
fn curved(matrix: &[f64], root: &[f64]) -> Option<Lower> {
    let size = root.len();
    let mut curved = vec![0.0; size * size];
    for row in 0..size {
        for column in 0..=row {
            curved[row * size + column] = root[row] * matrix[row * size + column] * root[column];
        }
        curved[row * size + row] += 1.0;
    }
    Lower::of(curved, size)
}

/// What the models believe of `h` at some blends.
#[derive(Debug, Clone)]
pub(super) struct ChanceOutlook<'a> {
    chances: &'a Chances,
    pub(super) places: Places,
    pub(super) means: Vec<f64>,
    pub(super) variances: Vec<f64>,
    models: Vec<ModelOutlook>,
    /// Covariances taken away by tiles believed since.
    taken: Vec<Vec<f64>>,
}

#[derive(Debug, Clone)]
struct ModelOutlook {
    /// The model's mean of `h` less that of all together.
    offs: Vec<f64>,
    rows: Vec<f64>,
    /// `1 / (1 + tau^2)`.
    shrink: f64,
}

impl Chances {
    /// The outlook on some blends.
    pub(super) fn outlook(&self, blends: Vec<Vec<f64>>) -> ChanceOutlook<'_> {
        let places = Places::of(blends);
        let (tiles, count) = (self.tiles.len(), places.len());
        let mut likeness = Vec::with_capacity(tiles * count);
        for tile in 0..tiles {
            likeness.extend((0..count).map(|place| self.tiles.likeness(tile, &places, place)));
        }
        let mut means = vec![0.0; count];
        let mut variances = vec![0.0; count];
        let mut models = Vec::with_capacity(self.models.len());
        for model in &self.models {
            let shrink = 1.0 / (1.0 + model.tau * model.tau);
            let mut rows: Vec<f64> = likeness.iter().map(|like| model.covariance(*like)).collect();
            let mut offs = vec![0.0; count];
            for (tile, row) in rows.chunks_mut(count).enumerate() {
                for (off, entry) in offs.iter_mut().zip(row) {
                    *off += shrink.sqrt() * model.slope[tile] * *entry;
                    *entry *= model.root[tile];
                }
            }
            model.factor.forward_many(&mut rows, count);
            let mut own: Vec<f64> = (0..count).map(|place| model.covariance(places.own(place))).collect();
            for row in rows.chunks(count) {
                for (variance, entry) in own.iter_mut().zip(row) {
                    *variance -= entry * entry;
                }
            }
            for place in 0..count {
                means[place] += model.weight * offs[place];
                variances[place] += model.weight * shrink * own[place];
            }
            models.push(ModelOutlook { offs, rows, shrink });
        }
        for (model, outlook) in self.models.iter().zip(&mut models) {
            for place in 0..count {
                outlook.offs[place] -= means[place];
                variances[place] += model.weight * outlook.offs[place] * outlook.offs[place];
            }
        }
        ChanceOutlook {
            chances: self,
            places,
            means,
            variances,
            models,
            taken: Vec::new(),
        }
    }
}

impl ChanceOutlook<'_> {
    /// One standard deviation of `h` at a place.
    pub(super) fn deviation(&self, place: usize) -> f64 {
        self.variances[place].max(LEAST_VARIANCE).sqrt()
    }

    /// Covariances of every place with one.
    pub(super) fn covariances(&self, other: usize) -> Vec<f64> {
        let count = self.places.len();
        let likeness: Vec<Likeness> = (0..count)
            .map(|place| self.places.likeness(place, &self.places, other))
            .collect();
        let mut sum = vec![0.0; count];
        for (model, outlook) in self.chances.models.iter().zip(&self.models) {
            let mut own: Vec<f64> = likeness.iter().map(|like| model.covariance(*like)).collect();
            for row in outlook.rows.chunks(count) {
                for (entry, of) in own.iter_mut().zip(row) {
                    *entry -= row[other] * of;
                }
            }
            for place in 0..count {
                let together = outlook.offs[place] * outlook.offs[other];
                sum[place] += model.weight * (outlook.shrink * own[place] + together);
            }
        }
        for taken in &self.taken {
            for (sum, taken_there) in sum.iter_mut().zip(taken) {
                *sum -= taken[other] * taken_there;
            }
        }
        sum
    }

    /// As if a tile at a place came out as believed, with so much scatter of `h`.
    pub(super) fn believe(&mut self, place: usize, noise: f64) {
        let along = self.covariances(place);
        let spread = (along[place] + noise).sqrt();
        let taken: Vec<f64> = along.iter().map(|entry| entry / spread).collect();
        for (variance, taken) in self.variances.iter_mut().zip(&taken) {
            *variance -= taken * taken;
        }
        self.taken.push(taken);
    }
}
