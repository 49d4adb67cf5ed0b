//! What to mind in a wet bucket: from its own numbers, not by rote.

use glost_chemistry::material::Material;
use serde::Serialize;

use crate::workshop::hazards;
use crate::workshop::hazards::substances;
use crate::workshop::scales::FINE_WEIGHING_ERROR;

use super::sums::Sums;
use super::survey::Bucket;

/// A jar smaller than this can't be read to 1 % (common practice, no source).
const SMALLEST_JAR_MILLILITRES: f64 = 100.0;
/// Densities that glazes are used at: spray to brush, with room on both sides
/// (common practice; potters' forum archive).
const USUAL_DENSITIES: (f64, f64) = (1.25, 1.80);

/// One thing to mind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// A jar too small to be read to 1 %, in millilitres.
    SmallJar(f64),
    /// A density that glazes aren't used at, g/ml.
    UnusualDensity(f64),
    /// A dose of something that isn't known here, as typed.
    UnknownDose(String),
    /// A dose that is weighed only roughly.
    RoughDose {
        /// As typed.
        material: String,
        /// Half a step of the scales over the weight, per cent.
        error_percent: f64,
    },
    /// What is in the doses.
    Substance(hazards::Caution),
    /// Something is added: tests of the old glaze don't carry over.
    AnotherGlaze,
    /// More water has to come off than usually stands clear.
    MoreThanStandsClear,
    /// Clear water has to come off before bentonite goes in.
    ClearWaterFirst,
    /// Clear water carries dissolved salts away.
    SaltsLeave,
    /// It doesn't fit, in millilitres.
    Overflows {
        /// What it comes to.
        comes_to: f64,
        /// What the bucket holds.
        holds: f64,
    },
}

/// Cautions about a bucket, its doses and its water. `full_millilitres`: what the
/// bucket holds; `is_own_powder`: all that is added is the glaze's own powder.
pub fn cautions(buckets: &[Bucket], sums: &Sums, full_millilitres: Option<f64>, is_own_powder: bool) -> Vec<Caution> {
    let mut said = Vec::new();
    let smallest = buckets
        .iter()
        .map(|bucket| bucket.jar.volume.millilitres())
        .fold(f64::INFINITY, f64::min);
    if smallest < SMALLEST_JAR_MILLILITRES {
        said.push(Caution::SmallJar(smallest));
    }
    let density = sums.survey.density;
    if !(USUAL_DENSITIES.0..=USUAL_DENSITIES.1).contains(&density) {
        said.push(Caution::UnusualDensity(density));
    }
    said.extend(about_doses(sums, is_own_powder));
    if !sums.doses.is_empty() && !is_own_powder {
        said.push(Caution::AnotherGlaze);
    }
    said.extend(about_water(sums));
    if let Some(full) = full_millilitres
        && sums.new_volume_millilitres > full
    {
        said.push(Caution::Overflows {
            comes_to: sums.new_volume_millilitres,
            holds: full,
        });
    }
    said
}

fn about_doses(sums: &Sums, is_own_powder: bool) -> Vec<Caution> {
    let mut said = Vec::new();
    for dose in &sums.doses {
        if dose.known.is_none() && !is_own_powder {
            said.push(Caution::UnknownDose(dose.material.clone()));
        }
        let error = dose.weighing_error_percent;
        if error > 100.0 * FINE_WEIGHING_ERROR && dose.way_out.is_none() {
            said.push(Caution::RoughDose {
                material: dose.material.clone(),
                error_percent: error,
            });
        }
    }
    let known: Vec<(&Material, f64)> = sums
        .doses
        .iter()
        .filter_map(|dose| Some((&**dose.known.as_ref()?, dose.grams)))
        .collect();
    said.extend(substances(&known).into_iter().map(Caution::Substance));
    said
}

fn about_water(sums: &Sums) -> Vec<Caution> {
    let taken_off = sums.water_to_remove_millilitres.is_some_and(|off| off > 0.0);
    let slaking = sums.doses.iter().any(|dose| dose.is_bentonite);
    let said = [
        sums.more_than_stands_clear.then_some(Caution::MoreThanStandsClear),
        slaking.then_some(Caution::ClearWaterFirst),
        taken_off.then_some(Caution::SaltsLeave),
    ];
    said.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests;
