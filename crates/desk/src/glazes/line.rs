//! One glaze in a line.

use std::collections::HashMap;

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, Analysis, Glaze, Use};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{Asking, Edge, place_in_window};
use glost_core::workshop::cost::Cost;
use glost_studio::Recipe;
use serde::Serialize;

use crate::Desk;
use crate::pieces::Pieces;

/// SiO2:Al2O3 below which a glaze reads as matt (R. T. Stull 1912, from memory, as in
/// `check/matt-or-gloss`).
const MATT_BELOW: f64 = 5.0;
/// From which it reads as glossy.
const GLOSS_FROM: f64 = 7.0;
/// Peaks below this, C, leave the ratio silent.
const LOW_FIRE_BELOW: f64 = 1150.0;
/// Moles in the unity formula above which these make the surface, whatever the ratio.
const OTHER_CAUSES: [(Oxide, f64); 6] = [
    (Oxide::B2O3, 0.25),
    (Oxide::MgO, 0.3),
    (Oxide::ZnO, 0.3),
    (Oxide::TiO2, 0.08),
    (Oxide::CaO, 0.8),
    (Oxide::BaO, 0.3),
];

/// How SiO2:Al2O3 reads; common practice, sources differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Surface {
    /// Below 5.
    Matt,
    /// Between.
    Satin,
    /// From 7.
    Glossy,
}

/// The latest batch of a glaze.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct LastBatch {
    /// Its number.
    pub batch: String,
    /// Its day.
    #[schemars(with = "String")]
    pub on: Date,
}

/// One glaze. Null where it isn't known.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Line {
    /// Its name.
    pub glaze: String,
    /// Its file.
    pub file: String,
    /// Its cone.
    pub cone: Option<String>,
    /// Its peak, C.
    pub peak_celsius: Option<f64>,
    /// What it is for.
    #[serde(rename = "use")]
    #[schemars(with = "Option<String>")]
    pub usage: Option<Use>,
    /// Its clay.
    pub clay: Option<String>,
    /// SiO2:Al2O3 by moles.
    pub silica_to_alumina: Option<f64>,
    /// How that reads.
    pub reads: Option<Surface>,
    /// Expansion by the default model, 1e-6/K.
    pub expansion: Option<f64>,
    /// Whether it crazes on its clay, in the contract's words.
    pub zone_craze: Option<&'static str>,
    /// Whether it shivers there.
    pub zone_shiver: Option<&'static str>,
    /// A kilogram of dry glaze costs this; the least where a price is missing.
    pub cost_per_kg: Option<f64>,
    /// Whether a price is missing.
    pub cost_at_least: bool,
    /// The currency of the cost.
    pub currency: Option<String>,
    /// Its latest batch.
    pub last_batch: Option<LastBatch>,
    /// How far its chemistry is from the glaze that was asked for.
    pub distance: Option<f64>,
}

impl Line {
    pub(super) fn of(found: &Recipe, beside: &Beside<'_>) -> Line {
        let glaze = &*found.glaze;
        let about = &glaze.about;
        // A powder of unknown analysis has no numbers; its line says the rest.
        let analysis = Analysis::of(glaze, &found.settings.fluxes, Additions::In).ok();
        let zones = about.clay.as_deref().and_then(|clay| beside.zones(found, clay));
        let cost = Cost::of_glaze(glaze, found.settings.currency.as_deref());
        let ratio = analysis.as_ref().and_then(|analysis| analysis.silica_to_alumina);
        Line {
            glaze: glaze.name.clone(),
            file: found.file.to_string(),
            cone: about.cone.clone(),
            peak_celsius: about.peak.map(|peak| peak.celsius()),
            usage: about.usage,
            clay: about.clay.clone(),
            silica_to_alumina: ratio,
            reads: analysis.as_ref().and_then(|analysis| reads(glaze, analysis)),
            expansion: analysis
                .as_ref()
                .and_then(|analysis| ExpansionModel::default().predict(&analysis.moles))
                .map(|expansion| expansion.value_per_million_per_kelvin),
            zone_craze: zones.map(|zones| zones.0),
            zone_shiver: zones.map(|zones| zones.1),
            cost_per_kg: cost.per_kg(),
            cost_at_least: !cost.is_whole(),
            currency: cost.currency.clone(),
            last_batch: beside.last.get(&folded(&glaze.name)).cloned(),
            distance: None,
        }
    }
}

/// What lines are told by beside the recipes.
pub(super) struct Beside<'a> {
    pieces: &'a Pieces,
    /// Each glaze's latest batch, by its name folded.
    last: HashMap<String, LastBatch>,
    /// Clays by the names that glazes give, where one is known.
    clays: HashMap<String, Option<Clay>>,
}

impl<'a> Beside<'a> {
    /// For these glazes.
    pub(super) fn of(
        desk: &Desk,
        pieces: &'a Pieces,
        last: HashMap<String, LastBatch>,
        glazes: &[&Recipe],
    ) -> Beside<'a> {
        let mut clays: HashMap<String, Option<Clay>> = HashMap::new();
        for found in glazes {
            let Some(clay) = &found.glaze.about.clay else { continue };
            if !clays.contains_key(clay) {
                // A clay that isn't described anywhere leaves the fit open.
                clays.insert(clay.clone(), pieces.clay(Some(clay), desk, &found.glaze).ok());
            }
        }
        Beside { pieces, last, clays }
    }

    /// Crazing and shivering on a glaze's own clay; none where the clay isn't known.
    fn zones(&self, found: &Recipe, clay: &str) -> Option<(&'static str, &'static str)> {
        let clay = self.clays.get(clay)?.as_ref()?;
        let book = self.pieces.notebook(&found.settings);
        let place = place_in_window(&book, &found.glaze, clay, &Asking::default());
        let word = |edge: Edge| place.zone(edge).word(edge);
        Some((word(Edge::Craze), word(Edge::Shiver)))
    }
}

/// The latest batch of each glaze that stands; a book that can't be read tells none, and is
/// told aside.
pub(super) fn last_batches(desk: &Desk) -> HashMap<String, LastBatch> {
    let mut last: HashMap<String, LastBatch> = HashMap::new();
    match desk.workplace().batch_book().map(|book| book.read()) {
        Some(Ok(read)) => {
            for batch in read.journal.batches.iter().filter(|batch| batch.stands()) {
                let booking = &batch.booking;
                let known = last.get_mut(&folded(&booking.glaze));
                // Of several on one day the last that was booked.
                if known.as_ref().is_none_or(|known| known.on <= booking.on) {
                    let latest = LastBatch {
                        batch: booking.number.text().to_owned(),
                        on: booking.on,
                    };
                    last.insert(folded(&booking.glaze), latest);
                }
            }
        }
        Some(Err(error)) => desk.tell([error]),
        None => {}
    }
    last
}

/// How the ratio reads, where firing and the other oxides let it.
pub(crate) fn reads(glaze: &Glaze, analysis: &Analysis) -> Option<Surface> {
    let unity = analysis.unity.as_ref()?;
    let ratio = analysis.silica_to_alumina?;
    let hot = match (glaze.about.peak, glaze.about.cone.as_deref()) {
        (Some(peak), _) => peak.celsius() >= LOW_FIRE_BELOW,
        (None, Some(cone)) => !cone.trim_start_matches("cone").trim().starts_with('0'),
        (None, None) => false,
    };
    let other = OTHER_CAUSES.iter().any(|(oxide, most)| unity.get(*oxide) > *most);
    if !hot || other {
        return None;
    }
    Some(if ratio < MATT_BELOW {
        Surface::Matt
    } else if ratio < GLOSS_FROM {
        Surface::Satin
    } else {
        Surface::Glossy
    })
}
