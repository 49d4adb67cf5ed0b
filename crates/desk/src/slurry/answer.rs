//! A bucket's answer.

use glost_chemistry::quantity::{Grams, GramsPerMillilitre, Millilitres, PowderDensity};
use glost_core::workshop::scales::{WayOut, to_step};
use glost_core::workshop::slurry::{Bucket, DoseSum, Sums, ToItsOwn};
use serde::{Serialize, Serializer};

use super::{Mending, Suspected};
use crate::Said;
use crate::by_hand::Line;

/// What is in a bucket, and what goes in.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze, where one was named.
    pub glaze: Option<String>,
    /// The sums.
    pub sums: Sums,
    /// What was measured.
    pub buckets: Vec<Bucket>,
    /// The powder's density.
    pub powder: PowderDensity,
    /// The density to reach.
    pub aim: Option<GramsPerMillilitre>,
    /// Neither weight nor volume was told: a litre.
    pub per_litre: bool,
    /// The step of the scales.
    pub step: Grams,
    /// What the bucket holds, where told.
    pub full: Option<Millilitres>,
    /// What brings it to the density that it should have, where that is all that is asked.
    pub own: Option<ToItsOwn>,
    /// Whether that density is only what its water makes of it.
    pub by_water: bool,
    /// Whether all that is added is its own powder.
    pub own_powder: bool,
    /// The studio's cup.
    pub cup: Millilitres,
    /// A suspected slip.
    pub suspect: Option<Suspected>,
    /// A mis-dosed material.
    pub mending: Option<Mending>,
    /// What to mind.
    pub cautions: Vec<Said>,
    /// What goes with the numbers.
    pub assumptions: Vec<Said>,
    /// The sum as one does it by hand, where it is asked for.
    pub steps: Option<Vec<Line>>,
}

/// One dose.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Addition {
    /// The material, as typed.
    pub material: String,
    /// Grams, unrounded.
    pub grams: f64,
    /// For the least dry powder that there may be.
    pub grams_low: f64,
    /// For the most.
    pub grams_high: f64,
    /// Grams to the step of the scales.
    pub on_the_scales: f64,
    /// Per cent of the dry powder.
    pub percent: f64,
    /// Water to wet it with.
    pub pre_wet_millilitres: f64,
    /// Half a step of the scales over the weight, per cent.
    pub error_percent: f64,
    /// What else can be done where the scales can't weigh it.
    #[schemars(with = "Option<serde_json::Value>")]
    pub ways_out: Option<WayOut>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a Option<String>,
    density: f64,
    slurry_grams: f64,
    volume_millilitres: f64,
    dry_grams: f64,
    dry_grams_low: f64,
    dry_grams_high: f64,
    water_millilitres: f64,
    powder_density: f64,
    powder_density_plus_minus: f64,
    per_litre: bool,
    add: Vec<Addition>,
    water_to_add_millilitres: Option<f64>,
    water_to_remove_millilitres: Option<f64>,
    new_density: f64,
    new_volume_millilitres: f64,
    new_pre_wet_water_millilitres: f64,
    density_if_slaked_in_new_water: Option<f64>,
    rescue: &'a Option<Mending>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<serde_json::Value>")]
    thickness: Option<ToItsOwn>,
    #[serde(skip_serializing_if = "Option::is_none")]
    own_density_by_water: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<serde_json::Value>")]
    suspect: Option<&'a Suspected>,
    cautions: &'a [Said],
    assumptions: &'a [Said],
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<&'a [Line]>,
}

impl Answer {
    fn addition(&self, dose: &DoseSum) -> Addition {
        Addition {
            material: dose.material.clone(),
            grams: dose.grams,
            grams_low: dose.grams_between.0,
            grams_high: dose.grams_between.1,
            on_the_scales: to_step(dose.grams, self.step.grams()),
            percent: dose.percent,
            pre_wet_millilitres: dose.pre_wet_millilitres,
            error_percent: dose.weighing_error_percent,
            ways_out: dose.way_out,
        }
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (sums, survey) = (&self.sums, &self.sums.survey);
        AnswerJson {
            glaze: &self.glaze,
            density: survey.density,
            slurry_grams: survey.slurry_grams,
            volume_millilitres: survey.volume_millilitres,
            dry_grams: survey.dry_grams,
            dry_grams_low: survey.dry_grams_low,
            dry_grams_high: survey.dry_grams_high,
            water_millilitres: survey.water_grams(),
            powder_density: self.powder.value(),
            powder_density_plus_minus: self.powder.plus_minus(),
            per_litre: self.per_litre,
            add: sums.doses.iter().map(|dose| self.addition(dose)).collect(),
            water_to_add_millilitres: sums.water_to_add_millilitres,
            water_to_remove_millilitres: sums.water_to_remove_millilitres,
            new_density: sums.new_density,
            new_volume_millilitres: sums.new_volume_millilitres,
            new_pre_wet_water_millilitres: sums.new_pre_wet_millilitres,
            density_if_slaked_in_new_water: sums.density_if_slaked_in_new_water,
            rescue: &self.mending,
            thickness: self.own,
            own_density_by_water: self.own.map(|_| self.by_water),
            suspect: self.suspect.as_ref(),
            cautions: &self.cautions,
            assumptions: &self.assumptions,
            steps: self.steps.as_deref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
