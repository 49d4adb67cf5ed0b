//! What the surfaces say at chosen blends, and as if further tiles came out as believed.

use super::dense::add_squares;
use super::places::{Likeness, Places};
use super::surfaces::{Course, JITTER, Model, Surfaces};

/// Variances are at least this, over the range squared.
const LEAST_VARIANCE: f64 = 1e-12;

/// What the surfaces say at some blends, tile after tile believed.
#[derive(Debug, Clone)]
pub(super) struct Outlook<'a> {
    surfaces: &'a Surfaces,
    pub(super) places: Places,
    models: Vec<ModelOutlook>,
}

#[derive(Debug, Clone)]
struct ModelOutlook {
    means: Vec<f64>,
    /// Without the scale.
    variances: Vec<f64>,
    /// `l^-1 k`, a row for each tile and each believed one.
    rows: Vec<f64>,
}

/// One model's belief of a blend against another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against {
    /// The model's weight.
    pub(super) weight: f64,
    /// The blend's mean, over the range.
    pub(super) mean: f64,
    /// The other's.
    pub(super) other: f64,
    /// The variance of the blend's own surface.
    pub(super) variance: f64,
    /// The variance of their difference.
    pub(super) of_difference: f64,
}

impl Surfaces {
    /// The outlook on some blends.
    pub(super) fn outlook(&self, blends: Vec<Vec<f64>>) -> Outlook<'_> {
        let places = Places::of(blends);
        let (tiles, count) = (self.tiles.len(), places.len());
        let mut likeness = Vec::with_capacity(tiles * count);
        for tile in 0..tiles {
            likeness.extend((0..count).map(|place| self.tiles.likeness(tile, &places, place)));
        }
        let own: Vec<Likeness> = (0..count).map(|place| places.own(place)).collect();
        let models = self
            .models
            .iter()
            .map(|model| {
                let mut rows: Vec<f64> = likeness.iter().map(|like| model.course.covariance(*like)).collect();
                let mut means = vec![0.0; count];
                for (row, pull) in rows.chunks(count).zip(&model.pull) {
                    for (mean, entry) in means.iter_mut().zip(row) {
                        *mean += pull * entry;
                    }
                }
                model.factor.forward_many(&mut rows, count);
                let mut variances: Vec<f64> = own.iter().map(|like| model.course.covariance(*like)).collect();
                for row in rows.chunks(count) {
                    for (variance, entry) in variances.iter_mut().zip(row) {
                        *variance -= entry * entry;
                    }
                }
                for variance in &mut variances {
                    *variance = variance.max(LEAST_VARIANCE);
                }
                ModelOutlook { means, variances, rows }
            })
            .collect();
        Outlook {
            surfaces: self,
            places,
            models,
        }
    }
}

impl Outlook<'_> {
    /// Each model's weight and outlook.
    fn weighed(&self) -> impl Iterator<Item = (&Model, &ModelOutlook)> {
        self.surfaces.models.iter().zip(&self.models)
    }

    /// The mean at a place, over the range.
    pub(super) fn mean(&self, place: usize) -> f64 {
        self.weighed()
            .map(|(model, outlook)| model.weight * outlook.means[place])
            .sum()
    }

    /// The standard deviation of the surface at a place, over the range.
    pub(super) fn deviation(&self, place: usize) -> f64 {
        let mean = self.mean(place);
        let variance: f64 = self
            .weighed()
            .map(|(model, outlook)| {
                let off = outlook.means[place] - mean;
                model.weight * (outlook.variances[place] * model.scale + off * off)
            })
            .sum();
        variance.sqrt()
    }

    /// The mean at a place, in the grade's unit.
    pub(super) fn value(&self, place: usize) -> f64 {
        self.surfaces.middle + self.surfaces.range * self.mean(place)
    }

    /// Its standard deviation there, in the grade's unit.
    pub(super) fn value_deviation(&self, place: usize) -> f64 {
        self.surfaces.range * self.deviation(place)
    }

    /// Every place against one of them, model by model.
    pub(super) fn against(&self, other: usize) -> Vec<Vec<Against>> {
        let likeness = self.likeness_to(other);
        self.weighed()
            .map(|(model, outlook)| {
                let covariances = outlook.covariances(model, &likeness, other);
                let compared = |(place, covariance): (usize, &f64)| Against {
                    weight: model.weight,
                    mean: outlook.means[place],
                    other: outlook.means[other],
                    variance: outlook.variances[place] * model.scale,
                    of_difference: (outlook.variances[place] + outlook.variances[other] - 2.0 * covariance)
                        * model.scale,
                };
                covariances.iter().enumerate().map(compared).collect()
            })
            .collect()
    }

    fn likeness_to(&self, other: usize) -> Vec<Likeness> {
        (0..self.places.len())
            .map(|place| self.places.likeness(place, &self.places, other))
            .collect()
    }

    /// As if a tile at a place came out as believed, in every model: means stay.
    pub(super) fn believe(&mut self, place: usize) {
        let likeness = self.likeness_to(place);
        for (model, outlook) in self.surfaces.models.iter().zip(&mut self.models) {
            let covariances = outlook.covariances(model, &likeness, place);
            let spread = (covariances[place] + model.noise * model.noise + JITTER).sqrt();
            for (variance, covariance) in outlook.variances.iter_mut().zip(&covariances) {
                let row = covariance / spread;
                *variance = (*variance - row * row).max(LEAST_VARIANCE);
                outlook.rows.push(row);
            }
        }
    }

    /// The covariance of every place with every other, all models together, over the range
    /// squared: row after row.
    pub(super) fn covariance(&self) -> Vec<f64> {
        let count = self.places.len();
        let (mut flat, mut bent) = (0.0, [0.0; 4]);
        let mut rows = Vec::new();
        let mut offs = Vec::new();
        let means: Vec<f64> = (0..count).map(|place| self.mean(place)).collect();
        for (model, outlook) in self.weighed() {
            let weight = model.weight * model.scale;
            match model.course {
                Course::Flat => flat += 2.0 * weight,
                Course::Bent { bend, rest } => {
                    bent[0] += weight;
                    bent[1] += weight;
                    bent[2] += weight * bend * bend;
                    bent[3] += weight * rest * rest;
                }
            }
            rows.extend(outlook.rows.iter().map(|entry| weight.sqrt() * entry));
            let pairs = outlook.means.iter().zip(&means);
            offs.extend(pairs.map(|(one, mean)| model.weight.sqrt() * (one - mean)));
        }
        let mut square = vec![0.0; count * count];
        for row in 0..count {
            for column in 0..=row {
                let like = self.places.likeness(row, &self.places, column);
                square[row * count + column] =
                    flat + bent[0] + bent[1] * like.ends + bent[2] * like.pairs + bent[3] * like.near;
            }
        }
        add_squares(&mut square, &rows, count, -1.0);
        add_squares(&mut square, &offs, count, 1.0);
        for row in 0..count {
            for column in 0..row {
                square[column * count + row] = square[row * count + column];
            }
        }
        square
    }
}

impl ModelOutlook {
    /// Covariances of every place with one, without the scale.
    fn covariances(&self, model: &Model, likeness: &[Likeness], other: usize) -> Vec<f64> {
        let count = likeness.len();
        let mut covariances: Vec<f64> = likeness.iter().map(|like| model.course.covariance(*like)).collect();
        for row in self.rows.chunks(count) {
            let at = row[other];
            for (covariance, entry) in covariances.iter_mut().zip(row) {
                *covariance -= at * entry;
            }
        }
        covariances
    }
}
