//! What to mind in a wet bucket: from its own numbers, not by rote.

use crate::workshop::hazards::substances;
use crate::workshop::scales::FINE_WEIGHING_ERROR;
use glost_chemistry::material::Material;

use super::sums::Sums;
use super::survey::Bucket;

/// A jar smaller than this can't be read to 1 % (common practice, no source).
const SMALLEST_JAR_MILLILITRES: f64 = 100.0;
/// Densities that glazes are used at: spray to brush, with room on both sides
/// (common practice; potters' forum archive).
const USUAL_DENSITIES: (f64, f64) = (1.25, 1.80);

/// Cautions about a bucket, its doses and its water. `full_millilitres`: what the
/// bucket holds.
pub fn cautions(buckets: &[Bucket], sums: &Sums, full_millilitres: Option<f64>) -> Vec<String> {
    let mut said = Vec::new();
    let smallest = buckets
        .iter()
        .map(|bucket| bucket.jar.volume.millilitres())
        .fold(f64::INFINITY, f64::min);
    if smallest < SMALLEST_JAR_MILLILITRES {
        said.push(format!(
            "a jar of {smallest:.0} ml is hard to read to 1 %: 250 ml or more tells more"
        ));
    }
    let density = sums.survey.density;
    if !(USUAL_DENSITIES.0..=USUAL_DENSITIES.1).contains(&density) {
        said.push(format!(
            "{density:.2} g/ml is unusual for a glaze: stirred to the bottom before the jar was filled?"
        ));
    }
    said.extend(about_doses(sums));
    said.extend(about_water(sums));
    if let Some(full) = full_millilitres
        && sums.new_volume_millilitres > full
    {
        said.push(format!(
            "it comes to {:.1} l and the bucket holds {:.1} l: split it first",
            sums.new_volume_millilitres / 1000.0,
            full / 1000.0
        ));
    }
    said
}

fn about_doses(sums: &Sums) -> Vec<String> {
    let mut said = Vec::new();
    for dose in &sums.doses {
        if dose.known.is_none() {
            said.push(format!(
                "no material here is called {}: dosed by weight alone, its metals and its density aren't known",
                dose.material
            ));
        }
        let error = dose.weighing_error_percent;
        if error > 100.0 * FINE_WEIGHING_ERROR && dose.way_out.is_none() {
            said.push(format!("{} is weighed only to {error:.0} % of itself", dose.material));
        }
    }
    let known: Vec<(&Material, f64)> = sums
        .doses
        .iter()
        .filter_map(|dose| Some((&**dose.known.as_ref()?, dose.grams)))
        .collect();
    said.extend(substances(&known));
    if !sums.doses.is_empty() {
        said.push("it is another glaze then: fit and leach tests of the old one don't carry over".to_owned());
    }
    said
}

fn about_water(sums: &Sums) -> Vec<String> {
    let mut said = Vec::new();
    let taken_off = sums.water_to_remove_millilitres.is_some_and(|off| off > 0.0);
    let slaking = sums.doses.iter().any(|dose| dose.is_bentonite);
    if sums.more_than_stands_clear {
        said.push(
            "more water has to come off than usually stands clear (about half): let it dry, or add powder instead"
                .to_owned(),
        );
    }
    if slaking {
        said.push(
            "take clear water off before the bentonite goes in: afterwards the bucket won't settle clear again"
                .to_owned(),
        );
    }
    if taken_off {
        said.push(
            "clear water carries dissolved salts away: keep it in a marked jar, add it back if the glaze turns thin or stiff"
                .to_owned(),
        );
    }
    said
}
