//! What is believed of a glaze's expansion before its pieces are looked at, and what is
//! known of a clay beside them.

use crate::evidence::ware::Clay;
use glost_chemistry::Assumption;
use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, FiredChemistry, FluxList, Glaze};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::PrintedExpansion;

use super::look::Believed;
use super::said::FitSaid;
use super::settings::{ClayKnowledge, WindowSettings};

/// 90 % of a normal distribution lies within this many standard deviations.
const DEVIATIONS_FOR_90_PERCENT: f64 = 1.644_853_626_951_472_2;
/// More PbO than this, mol %, was not among the glasses whose differences were measured.
const MOST_LEAD_PERCENT: f64 = 1.0;

/// A glaze's expansion as it is believed, with what must be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct GlazeBelief {
    /// The value, one standard deviation, and how it is known.
    pub believed: Believed,
    /// One standard deviation to be shown, 1e-6/K: wider than the believed one where the
    /// composition lies outside of the model's domain.
    pub shown_sd: f64,
    /// Its fired composition, where it is known.
    pub moles: Option<OxideMoles>,
    /// What goes with it.
    pub said: Vec<FitSaid>,
}

/// What is believed of a glaze: computed where all its materials are known; as printed where
/// it is one ready-made powder alone; else nothing. Outside the model's domain the standard
/// deviation that is shown, and with `widen_outside_model` the one that counts too, is at
/// least that of the model's own band there.
pub fn glaze_belief(glaze: &Glaze, fluxes: &FluxList, settings: &WindowSettings) -> GlazeBelief {
    let fired = FiredChemistry::of(glaze, fluxes, Additions::In).ok();
    let expansion = fired
        .as_ref()
        .and_then(|fired| ExpansionModel::default().predict(&fired.moles));
    if let (Some(fired), Some(expansion)) = (fired, expansion) {
        let mut believed = Believed::computed(expansion.value_per_million_per_kelvin, settings);
        let mut shown_sd = believed.belief.sd;
        let of_model = expansion.assumptions.iter().cloned().map(Assumption::Model);
        let mut said: Vec<FitSaid> = of_model.map(FitSaid::Chemistry).collect();
        if !expansion.inside_domain {
            shown_sd = shown_sd.max(expansion.plus_minus_90 / DEVIATIONS_FOR_90_PERCENT);
            said.push(FitSaid::OutsideModel {
                glaze: glaze.name.clone(),
                reasons: expansion.reasons.clone(),
                counted: settings.widen_outside_model,
            });
        }
        if settings.widen_outside_model {
            believed.belief.sd = shown_sd;
        }
        let percent = fired.mole_percent();
        if percent.get(Oxide::PbO) > MOST_LEAD_PERCENT {
            said.push(FitSaid::Lead(glaze.name.clone()));
        }
        return GlazeBelief {
            believed,
            shown_sd,
            moles: Some(fired.moles),
            said,
        };
    }
    match powder_alone(glaze) {
        Some(printed) => GlazeBelief {
            believed: Believed::printed(printed.per_million_per_kelvin, settings),
            shown_sd: settings.printed_sd,
            moles: None,
            said: vec![FitSaid::AsPrinted {
                glaze: glaze.name.clone(),
                printed: printed.printed.to_string(),
                sd: settings.printed_sd,
            }],
        },
        None => GlazeBelief {
            believed: Believed::unknown(settings),
            shown_sd: settings.unknown.sd,
            moles: None,
            said: Vec::new(),
        },
    }
}

/// The printed expansion of a glaze that is one ready-made powder and nothing else.
fn powder_alone(glaze: &Glaze) -> Option<&PrintedExpansion> {
    let mut held = glaze.portions().filter(|portion| portion.percent > 0.0);
    let only = held.next()?;
    if held.next().is_some() {
        return None;
    }
    only.material.expansion.as_ref()
}

/// What a clay's file says that bears on fit, with how it was read.
pub fn clay_knowledge(clay: &Clay) -> (ClayKnowledge, Vec<FitSaid>) {
    let expansion = clay.expansion_20_400();
    let knowledge = ClayKnowledge {
        expansion_per_million_per_kelvin: expansion.as_ref().map(|found| found.per_million_per_kelvin),
        absorption_percent: clay.absorption(),
        kind: clay.kind,
    };
    (
        knowledge,
        expansion
            .and_then(|found| found.assumption)
            .map(FitSaid::Clay)
            .into_iter()
            .collect(),
    )
}
