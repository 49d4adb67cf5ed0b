//! The stress in a glaze on a measured clay in JSON, tension positive.

use glost_chemistry::glass::{Coat, FitStress, Pull};
use glost_core::evidence::ware::GlazeStress;
use glost_core::evidence::window::FitSaid;
use serde::{Serialize, Serializer};

use crate::Said;

/// The contract's `stress_mpa`, with more beside it.
#[derive(Debug, Clone, Copy)]
pub struct Stress<'a>(pub &'a GlazeStress);

#[derive(Serialize, schemars::JsonSchema)]
struct Band {
    value: f64,
    low: f64,
    high: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AtCelsius {
    c: f64,
    mpa: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct StressJson {
    value: f64,
    low: f64,
    high: f64,
    pull: &'static str,
    coat: &'static str,
    both_sides: Band,
    one_side: Band,
    thin: Band,
    fired_glaze_plus_minus: (f64, f64),
    misfit_strain: f64,
    set_c: Band,
    glaze_modulus_gpa: f64,
    clay_modulus_gpa: f64,
    cooling: Vec<AtCelsius>,
    inside_domain: bool,
    assumptions: Vec<Said>,
}

impl Serialize for Stress<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let stress = self.0;
        let usual = stress.stress().megapascals;
        StressJson {
            value: usual.value,
            low: usual.low(),
            high: usual.high(),
            pull: pull_word(stress.stress().pull),
            coat: coat_word(stress.usual),
            both_sides: band(&stress.both_sides),
            one_side: band(&stress.one_side),
            thin: band(&stress.thin),
            fired_glaze_plus_minus: stress.fired_glaze_plus_minus,
            misfit_strain: stress.stress().misfit_strain.value,
            set_c: Band {
                value: stress.set_celsius.value,
                low: stress.set_celsius.low(),
                high: stress.set_celsius.high(),
            },
            glaze_modulus_gpa: stress.glaze_modulus_gigapascals.value,
            clay_modulus_gpa: stress.clay_modulus_gigapascals.value,
            cooling: stress
                .cooling
                .iter()
                .map(|(celsius, megapascals)| AtCelsius {
                    c: *celsius,
                    mpa: *megapascals,
                })
                .collect(),
            inside_domain: stress.glaze_expansion.inside_domain,
            assumptions: stress
                .assumptions
                .iter()
                .cloned()
                .map(|said| Said::Fit(FitSaid::Stress(said)))
                .collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Stress<'_>: StressJson);

fn band(stress: &FitStress) -> Band {
    Band {
        value: stress.megapascals.value,
        low: stress.megapascals.low(),
        high: stress.megapascals.high(),
    }
}

fn pull_word(pull: Pull) -> &'static str {
    match pull {
        Pull::Squeezed => "squeezed",
        Pull::Stretched => "stretched",
        Pull::Unsure => "unsure",
    }
}

fn coat_word(coat: Coat) -> &'static str {
    match coat {
        Coat::Thin => "thin",
        Coat::OneSide => "one side",
        Coat::BothSides => "both sides",
    }
}
