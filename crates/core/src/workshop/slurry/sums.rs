//! Doses and water for a surveyed bucket.

use std::sync::Arc;

use crate::workshop::scales::Scales;
use crate::workshop::scales::{MOST_WEIGHING_ERROR, WayOut, way_out};
use glost_chemistry::material::Material;
use glost_chemistry::quantity::{GramsPerMillilitre, PowderDensity};

use super::dose::{Dose, DoseAmount};
use super::survey::Survey;
use crate::workshop::wetting::densest;

/// Millilitres of water to wet a gram of bentonite, left overnight (common practice, no source).
const BENTONITE_MILLILITRES_PER_GRAM: f64 = 10.0;
/// The same for any other powder (common practice, no source).
const OTHER_MILLILITRES_PER_GRAM: f64 = 2.0;
/// Of the water in a settled bucket no more than this stands clear and can be
/// taken off (common practice, no source).
const CLEAR_SHARE: f64 = 0.5;

/// One dose, worked out.
#[derive(Debug, Clone)]
pub struct DoseSum {
    /// The material's name as typed.
    pub material: String,
    /// How much of it was asked for.
    pub asked: DoseAmount,
    /// Grams, unrounded.
    pub grams: f64,
    /// Grams for the least and the most dry powder there may be.
    pub grams_between: (f64, f64),
    /// Per cent of the dry powder.
    pub percent: f64,
    /// Water to wet it with, from the bucket where it can be had.
    pub pre_wet_millilitres: f64,
    /// Whether it swells and must stand overnight.
    pub is_bentonite: bool,
    /// Half a step of the scales over the weight, in per cent.
    pub weighing_error_percent: f64,
    /// What else can be done where the scales can't weigh it.
    pub way_out: Option<WayOut>,
    /// The material, where the studio knows it.
    pub known: Option<Arc<Material>>,
}

impl DoseSum {
    /// Its own density, g/ml; where nobody tells it, that of the bucket's powder.
    pub fn grams_per_millilitre(&self, powder: f64) -> f64 {
        let own = self.known.as_ref().and_then(|known| known.density_grams_per_millilitre);
        own.unwrap_or(powder)
    }
}

/// A bucket with its doses and its water.
#[derive(Debug, Clone)]
pub struct Sums {
    /// What is in it.
    pub survey: Survey,
    /// What goes in.
    pub doses: Vec<DoseSum>,
    /// New water, with a density to reach.
    pub water_to_add_millilitres: Option<f64>,
    /// Or water to take off.
    pub water_to_remove_millilitres: Option<f64>,
    /// Density after the additions, and after the water.
    pub new_density: f64,
    /// Volume then.
    pub new_volume_millilitres: f64,
    /// Pre-wetting water that has to be new, the bucket's clear water being too little.
    pub new_pre_wet_millilitres: f64,
    /// Density after the additions if bentonite is slaked in new water instead.
    pub density_if_slaked_in_new_water: Option<f64>,
    /// Whether more water would have to come off than stands clear.
    pub more_than_stands_clear: bool,
}

/// Works out doses (with what the studio knows of each) and the water to a density.
///
/// `aim` must lie above 1; one beyond what the powder can reach is `None`.
pub fn sums(
    survey: Survey,
    powder: PowderDensity,
    doses: &[(Dose, Option<Arc<Material>>)],
    aim: Option<GramsPerMillilitre>,
    scales: &Scales,
) -> Option<Sums> {
    let doses: Vec<DoseSum> = doses
        .iter()
        .map(|(dose, known)| dose_sum(&survey, dose, known.clone(), scales))
        .collect();
    let added: f64 = doses.iter().map(|dose| dose.grams).sum();
    let volume_of = |dose: &DoseSum| dose.grams / dose.grams_per_millilitre(powder.value());
    let grams = survey.slurry_grams + added;
    let millilitres = survey.volume_millilitres + doses.iter().map(volume_of).sum::<f64>();
    let pre_wet: f64 = doses.iter().map(|dose| dose.pre_wet_millilitres).sum();
    let clear = CLEAR_SHARE * survey.water_grams();
    let new_pre_wet = (pre_wet - clear).max(0.0);
    let slaking: f64 = doses
        .iter()
        .filter(|dose| dose.is_bentonite)
        .map(|dose| dose.pre_wet_millilitres)
        .sum();
    let with_water = |water: f64| (grams + water) / (millilitres + water);
    let mut water = new_pre_wet;
    let (mut add, mut remove) = (None, None);
    if let Some(aim) = aim.map(GramsPerMillilitre::grams_per_millilitre) {
        if aim <= 1.0 || aim > densest(powder) {
            return None;
        }
        water = (grams - aim * millilitres) / (aim - 1.0);
        add = Some(if water > 0.0 { water } else { 0.0 });
        remove = Some(if water < 0.0 { -water } else { 0.0 });
    }
    Some(Sums {
        new_density: with_water(water),
        new_volume_millilitres: millilitres + water,
        more_than_stands_clear: remove.is_some_and(|off| off > clear),
        water_to_add_millilitres: add,
        water_to_remove_millilitres: remove,
        new_pre_wet_millilitres: new_pre_wet,
        density_if_slaked_in_new_water: (slaking > 0.0).then(|| with_water(slaking)),
        doses,
        survey,
    })
}

fn dose_sum(survey: &Survey, dose: &Dose, known: Option<Arc<Material>>, scales: &Scales) -> DoseSum {
    let grams = dose.grams(survey.dry_grams);
    let step = scales.reads_to.grams();
    let names = known
        .iter()
        .flat_map(|known| known.other_names.iter().chain([&known.name]));
    let is_bentonite = names
        .chain([&dose.name])
        .any(|name| name.to_lowercase().contains("bentonite"));
    let per_gram = if is_bentonite {
        BENTONITE_MILLILITRES_PER_GRAM
    } else {
        OTHER_MILLILITRES_PER_GRAM
    };
    let error = 0.5 * step / grams;
    let percent = 100.0 * grams / survey.dry_grams;
    DoseSum {
        material: dose.name.clone(),
        asked: dose.amount,
        grams,
        grams_between: match dose.amount {
            DoseAmount::Percent(_) => (dose.grams(survey.dry_grams_low), dose.grams(survey.dry_grams_high)),
            DoseAmount::Weight(_) => (grams, grams),
        },
        percent,
        pre_wet_millilitres: per_gram * grams,
        is_bentonite,
        weighing_error_percent: 100.0 * error,
        way_out: (error > MOST_WEIGHING_ERROR).then(|| way_out(percent, survey.dry_grams, step)),
        known,
    }
}

#[cfg(test)]
mod tests;
