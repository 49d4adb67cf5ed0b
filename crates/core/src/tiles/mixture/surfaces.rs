//! What graded tiles leave open: a spread of surfaces, averaged over several models.
//!
//! A model is a Gaussian process over the blends: ends pull straight, pairs of ends bend,
//! and a rest of neighbours' likeness follows hills that no product of shares does; tiles
//! scatter about it. Twenty-four of them differ in how much bends, how large the rest is and
//! how much tiles scatter; three more say that the blend doesn't matter. Each is weighed by
//! how well it foretells the tiles together, with the overall scale integrated out
//! (C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning (2006),
//! chapters 2 and 5). No random numbers: the same tiles give the same bits.

use super::dense::{Lower, dot};
use super::places::{Likeness, Places};

/// How much pairs of ends may bend.
const BENDS: [f64; 2] = [0.3, 1.0];
/// How large what ends and pairs don't follow may be.
const RESTS: [f64; 3] = [0.1, 0.35, 1.0];
/// Scatter of one tile over the range of the grades, and what speaks for each beforehand.
const NOISES: [(f64, f64); 4] = [(0.01, 0.7), (0.03, 1.0), (0.08, 1.0), (0.2, 0.4)];
/// Scatter where the blend doesn't matter.
const FLAT_NOISES: [f64; 3] = [0.15, 0.3, 0.5];
/// The chance beforehand that the blend doesn't matter.
pub(super) const FLAT_BEFORE: f64 = 0.01;
/// Keeps factors of repeated tiles positive.
pub(super) const JITTER: f64 = 1e-8;
/// Degrees of freedom of the scale beforehand; its size is the range of the grades.
const SCALE_FREEDOM: f64 = 4.0;
/// Models are kept until they hold this much of the weight.
const KEPT_WEIGHT: f64 = 0.9999;
/// Up to so many tiles, all models may be kept; of more, so many.
const ALL_KEPT_TO: usize = 40;
const KEPT_OF_MANY: usize = 12;
/// One standard deviation of rounding to whole steps, over the step.
const ROUNDING: f64 = 0.2887;
/// How strongly a scatter finer than the grades' own step counts against a model.
const TOO_FINE: f64 = 4.0;
/// More steps than this between the grades, and they are measured numbers.
const MOST_STEPS: f64 = 20.0;

/// How a model's surface runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Course {
    /// By blend.
    Bent { bend: f64, rest: f64 },
    /// The same everywhere.
    Flat,
}

impl Course {
    /// The covariance of the surface at two blends.
    pub(super) fn covariance(self, likeness: Likeness) -> f64 {
        match self {
            Course::Bent { bend, rest } => {
                1.0 + likeness.ends + bend * bend * likeness.pairs + rest * rest * likeness.near
            }
            Course::Flat => 2.0,
        }
    }
}

/// One model with what the tiles made of it.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) course: Course,
    pub(super) noise: f64,
    pub(super) factor: Lower,
    /// `K^-1 Y`.
    pub(super) pull: Vec<f64>,
    /// The scale's variance.
    pub(super) scale: f64,
    pub(super) weight: f64,
}

/// The models that the tiles leave standing.
#[derive(Debug, Clone)]
pub(super) struct Surfaces {
    pub(super) tiles: Places,
    /// The grades' mean.
    pub(super) middle: f64,
    /// How far the grades range; 1 where they don't.
    pub(super) range: f64,
    /// Whether all grades are alike.
    pub(super) alike: bool,
    /// Scatter of one tile, in the grade's unit.
    pub(super) scatter: f64,
    /// The weight of the models in which the blend doesn't matter.
    pub(super) flat: f64,
    pub(super) models: Vec<Model>,
}

impl Surfaces {
    /// From the tiles' blends and grades; `None` for none at all, or numbers too odd to factor.
    pub(super) fn of(tiles: Vec<Vec<f64>>, grades: &[f64]) -> Option<Surfaces> {
        let tiles = Places::of(tiles);
        let count = grades.len();
        if count == 0 {
            return None;
        }
        let middle = grades.iter().sum::<f64>() / count as f64;
        let spread = spread(grades);
        let range = if spread > 0.0 { spread } else { 1.0 };
        let offs: Vec<f64> = grades.iter().map(|grade| (grade - middle) / range).collect();
        let step = step_of(grades).map(|step| step / range);
        let mut likeness = Vec::with_capacity(count * (count + 1) / 2);
        for row in 0..count {
            likeness.extend((0..=row).map(|column| tiles.likeness(row, &tiles, column)));
        }
        let mut models = Vec::new();
        let mut evidence = Vec::new();
        for (course, noise, before) in all_models() {
            let (model, ln) = fitted(course, noise, &likeness, &offs, step)?;
            models.push(model);
            evidence.push(ln + before.ln());
        }
        let most = evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = evidence.iter().map(|ln| (ln - most).exp()).sum();
        for (model, ln) in models.iter_mut().zip(&evidence) {
            model.weight = (ln - most).exp() / total;
        }
        let flat = models.iter().filter(|model| model.course == Course::Flat);
        let flat = flat.map(|model| model.weight).sum();
        let models = heaviest(models, count);
        let variance: f64 = models.iter().map(|model| model.weight * model.noise_variance()).sum();
        Some(Surfaces {
            tiles,
            middle,
            range,
            alike: spread <= 0.0,
            scatter: range * variance.sqrt(),
            flat,
            models,
        })
    }

    /// A grade over the range, from the middle.
    pub(super) fn off(&self, grade: f64) -> f64 {
        (grade - self.middle) / self.range
    }

    /// The mean of the surface at a blend, in the grade's unit.
    pub(super) fn value(&self, shares: &[f64]) -> f64 {
        let place = Places::of(vec![shares.to_vec()]);
        let likeness: Vec<Likeness> = (0..self.tiles.len())
            .map(|tile| self.tiles.likeness(tile, &place, 0))
            .collect();
        let mean: f64 = self
            .models
            .iter()
            .map(|model| {
                let pulls = model.pull.iter().zip(&likeness);
                let sum: f64 = pulls.map(|(pull, like)| pull * model.course.covariance(*like)).sum();
                model.weight * sum
            })
            .sum();
        self.middle + self.range * mean
    }

    /// The mean of the models' own scatter variances, over the range squared.
    pub(super) fn noise_variance(&self) -> f64 {
        (self.scatter / self.range).powi(2)
    }
}

impl Model {
    /// Scatter of one tile, over the range, squared.
    fn noise_variance(&self) -> f64 {
        self.noise * self.noise * self.scale
    }
}

fn spread(grades: &[f64]) -> f64 {
    let most = grades.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most - grades.iter().copied().fold(f64::INFINITY, f64::min)
}

/// The step of grades that are all whole or all halves, over few steps.
pub(super) fn step_of(grades: &[f64]) -> Option<f64> {
    let in_steps = |step: &f64| {
        let whole = |grade: &f64| (grade / step - (grade / step).round()).abs() < 1e-9;
        grades.iter().all(whole) && spread(grades) / step <= MOST_STEPS
    };
    [1.0, 0.5].into_iter().find(in_steps)
}

/// Every model with what speaks for it beforehand.
fn all_models() -> Vec<(Course, f64, f64)> {
    let total = (BENDS.len() * RESTS.len()) as f64 * NOISES.iter().map(|noise| noise.1).sum::<f64>();
    let mut models = Vec::new();
    for bend in BENDS {
        for rest in RESTS {
            for (noise, weight) in NOISES {
                let before = (1.0 - FLAT_BEFORE) * weight / total;
                models.push((Course::Bent { bend, rest }, noise, before));
            }
        }
    }
    let each = FLAT_BEFORE / FLAT_NOISES.len() as f64;
    models.extend(FLAT_NOISES.map(|noise| (Course::Flat, noise, each)));
    models
}

/// One model, and ln of how well it foretells the tiles.
fn fitted(course: Course, noise: f64, likeness: &[Likeness], offs: &[f64], step: Option<f64>) -> Option<(Model, f64)> {
    let count = offs.len();
    let mut matrix = vec![0.0; count * count];
    let mut pairs = likeness.iter();
    for row in 0..count {
        for (entry, like) in matrix[row * count..=row * count + row].iter_mut().zip(&mut pairs) {
            *entry = course.covariance(*like);
        }
        matrix[row * count + row] += noise * noise + JITTER;
    }
    let factor = Lower::of(matrix, count)?;
    let mut pull = offs.to_vec();
    factor.forward(&mut pull);
    let misfit = dot(&pull, &pull);
    factor.back(&mut pull);
    let freedom = SCALE_FREEDOM + count as f64;
    let mut ln = -factor.ln_diagonal() - 0.5 * freedom * (misfit / SCALE_FREEDOM).ln_1p();
    if let Some(step) = step {
        let finest = ROUNDING * step;
        let scatter = noise * ((SCALE_FREEDOM + misfit) / freedom).sqrt();
        if scatter < finest {
            ln -= TOO_FINE * (1.0 - scatter / finest);
        }
    }
    let model = Model {
        course,
        noise,
        factor,
        pull,
        scale: (SCALE_FREEDOM + misfit) / (freedom - 2.0),
        weight: 0.0,
    };
    Some((model, ln))
}

/// The models that hold nearly all the weight, the heaviest first.
fn heaviest(mut models: Vec<Model>, tiles: usize) -> Vec<Model> {
    models.sort_by(|one, other| other.weight.total_cmp(&one.weight));
    let most = if tiles <= ALL_KEPT_TO {
        models.len()
    } else {
        KEPT_OF_MANY
    };
    let mut held = 0.0;
    let mut kept = 0;
    while kept < most.min(models.len()) && held < KEPT_WEIGHT {
        held += models[kept].weight;
        kept += 1;
    }
    models.truncate(kept);
    for model in &mut models {
        model.weight /= held;
    }
    models
}
