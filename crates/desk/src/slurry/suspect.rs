//! A suspected slip at the scales: what the bucket then holds, and whether it is worth bringing
//! back.

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::{Grams, PowderDensity};
use glost_core::workshop::slurry::{Dose, DoseAmount, Slip, Survey, Suspicion, grams_after, slips};
use glost_core::workshop::wetting::{WaterAim, water_per_gram};
use glost_studio::FoundGlaze;
use serde::Serialize;

use super::{AskedRescue, Mending};
use crate::making::water;

/// What a suspicion comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suspected {
    /// The material.
    pub material: String,
    /// How many times its weight went in.
    pub times: f64,
    /// The slips that happen, those nearest to the jar first; empty where no recipe says how
    /// much water went in.
    pub slips: Vec<Slip>,
}

impl Suspected {
    /// The suspected slip itself, where a jar tells something of it.
    pub fn asked(&self) -> Option<&Slip> {
        self.slips
            .iter()
            .find(|slip| slip.material.as_deref() == Some(self.material.as_str()) && slip.times == self.times)
    }
}

/// What a suspicion is held against.
pub(super) struct Bench<'a> {
    pub(super) found: Option<&'a FoundGlaze>,
    pub(super) library: &'a Library,
    pub(super) full: Option<f64>,
    pub(super) powder: PowderDensity,
}

impl Bench<'_> {
    pub(super) fn suspected(
        &self,
        suspicion: &Suspicion,
        surveyed: &Survey,
    ) -> Result<(Suspected, Mending), Diagnostic> {
        let Some(found) = self.found else {
            return Err(Diagnostic::error("bad-call", "--suspect: a slip in which recipe?")
                .help("name the glaze: glost slurry \"Lamplight clear\" --jar ... --suspect \"silica 10x\""));
        };
        let glaze = &found.glaze;
        let typed = &suspicion.material;
        let material = self
            .library
            .find(typed)
            .map_or(typed.as_str(), |known| known.name.as_str());
        let grams = grams_after(glaze, material, suspicion.times, surveyed.dry_grams).ok_or_else(|| {
            let names = glaze.portions().map(|portion| portion.material.name.as_str());
            let message = format!("--suspect: {} holds no {typed}, or nothing else", glaze.name);
            Diagnostic::error("bad-option", message).maybe_help(suggestion(typed, names))
        })?;
        let rescue = AskedRescue {
            holds: Dose {
                // A line that was left out is none at all; a rescue needs an amount.
                amount: Grams::new(grams).map_or(DoseAmount::Percent(0.0), DoseAmount::Weight),
                name: material.to_owned(),
            },
            whole: None,
            wanted_percent: None,
        };
        let mending = rescue.mend(Some(found), self.library, surveyed, self.powder, self.full)?;
        let suspected = Suspected {
            material: material.to_owned(),
            times: suspicion.times,
            slips: self.slips(found, (material, suspicion.times), surveyed)?,
        };
        Ok((suspected, mending))
    }

    fn slips(&self, found: &FoundGlaze, suspected: (&str, f64), surveyed: &Survey) -> Result<Vec<Slip>, Diagnostic> {
        let aim = water(None, found)?;
        // Where nobody says how much water went in, a jar tells nothing of a slip.
        let per_gram = match aim {
            WaterAim::Unsaid => None,
            said => water_per_gram(said, self.powder).ok(),
        };
        Ok(per_gram.map_or_else(Vec::new, |per_gram| {
            slips(&found.glaze, suspected, surveyed.density, per_gram, self.powder)
        }))
    }
}
