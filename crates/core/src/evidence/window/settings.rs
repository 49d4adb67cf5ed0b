//! What the window takes for granted before any piece is looked at. Every number here is a
//! studio's to change (`fit:` in studio.yaml); none is measured on its clay.

use glost_chemistry::glaze::Use;
use serde::Serialize;

use crate::evidence::ware::ClayKind;

use super::ageing::Ageing;
use super::said::Departure;

/// A number that is believed, in 1e-6/K of the default expansion model.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Belief {
    /// The most likely value.
    pub mean: f64,
    /// One standard deviation.
    pub sd: f64,
}

impl Belief {
    /// A belief.
    pub const fn new(mean: f64, sd: f64) -> Belief {
        Belief { mean, sd }
    }
}

/// By how much 1 % of an addition lowers the expansion of a powder of unknown recipe, with one
/// standard deviation between powders; wider than over glasses because coarse silica or kaolin
/// may not dissolve in a low firing.
///
/// From the default expansion model over 15,120 glaze-like glasses of published measurements,
/// 5 % added to 100 g of fired base.
pub const SILICA_SLOPE: Belief = Belief::new(0.05, 0.03);
/// The same for raw kaolin.
pub const KAOLIN_SLOPE: Belief = Belief::new(0.042, 0.025);
/// How far what an addition does to a computed expansion is believed: 1 as computed.
pub const COMPUTED_SLOPE: Belief = Belief::new(1.0, 0.25);

/// Priors and assumptions of the window. Weak on purpose; common practice, no source, but
/// where a field says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowSettings {
    /// Where glazes start to craze on a clay of which nothing is known, at three years.
    pub craze_threshold: Belief,
    /// The same on earthenware.
    pub earthenware: Belief,
    /// The same on stoneware.
    pub stoneware: Belief,
    /// The same on porcelain.
    pub porcelain: Belief,
    /// By how much that lies below the clay's own expansion, where it is known (20-400 C).
    pub below_clay: Belief,
    /// By how much the floor of shivering lies below the threshold's prior mean.
    pub floor_below_threshold: Belief,
    /// One standard deviation of a computed expansion, compared with other glazes: the
    /// default model's error of differences, measured out of sample (90 % within 0.61).
    pub computed_sd: f64,
    /// Whether a composition outside of the model's domain counts with the wider deviation of
    /// the model there; usually it is only shown so.
    pub widen_outside_model: bool,
    /// One standard deviation of an expansion printed on a bag.
    pub printed_sd: f64,
    /// A glaze of which nobody tells anything.
    pub unknown: Belief,
    /// By how much a powder of unknown recipe that the clay's maker recommends lies below the
    /// clay's line, and one standard deviation of it.
    pub recommended_below: Belief,
    /// How much pieces of one batch differ, one standard deviation.
    pub between_pieces: f64,
    /// How much batches of one lot differ.
    pub between_batches: f64,
    /// How much lots differ.
    pub between_lots: f64,
    /// A clay is dense up to this absorption, wt %.
    pub dense_up_to_percent: f64,
    /// How far the line has fallen by an age.
    pub ageing: Ageing,
    /// By how much the line falls in three years on a dense clay.
    pub falls_on_dense: Belief,
    /// The same on a porous clay, or one of which nobody knows.
    pub falls_on_porous: Belief,
    /// *Held* takes a chance below this for decorative ware ...
    pub held_below: f64,
    /// ... below this for tableware ...
    pub held_below_tableware: f64,
    /// ... and below this outdoors.
    pub held_below_outdoor: f64,
    /// From this chance on crazing or shivering is to be expected.
    pub expect_above: f64,
    /// *Held* takes so many pieces that held ...
    pub tested_pieces: u32,
    /// ... for so many days.
    pub tested_days: f64,
    /// What the studio set otherwise.
    pub departures: Vec<Departure>,
}

impl Default for WindowSettings {
    fn default() -> Self {
        WindowSettings {
            craze_threshold: Belief::new(6.5, 1.2),
            earthenware: Belief::new(7.3, 1.0),
            stoneware: Belief::new(6.2, 0.8),
            porcelain: Belief::new(5.6, 0.7),
            below_clay: Belief::new(0.3, 0.8),
            floor_below_threshold: Belief::new(3.0, 1.0),
            computed_sd: 0.37,
            widen_outside_model: false,
            printed_sd: 0.6,
            unknown: Belief::new(6.5, 1.5),
            recommended_below: Belief::new(0.6, 1.5),
            between_pieces: 0.12,
            between_batches: 0.25,
            between_lots: 0.20,
            dense_up_to_percent: 3.0,
            ageing: Ageing::default(),
            falls_on_dense: Belief::new(0.25, 0.12),
            falls_on_porous: Belief::new(0.8, 0.35),
            held_below: 0.1,
            held_below_tableware: 0.05,
            held_below_outdoor: 0.02,
            expect_above: 0.5,
            tested_pieces: 5,
            tested_days: 180.0,
            departures: Vec::new(),
        }
    }
}

/// What is known of a clay beside its pieces.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ClayKnowledge {
    /// Its expansion over 20-400 C, 1e-6/K.
    pub expansion_per_million_per_kelvin: Option<f64>,
    /// Its absorption, wt %.
    pub absorption_percent: Option<f64>,
    /// What sort of clay it is.
    pub kind: Option<ClayKind>,
}

impl WindowSettings {
    /// Where glazes start to craze on this clay at three years, before any piece was looked at.
    pub fn threshold_on(&self, clay: &ClayKnowledge) -> Belief {
        if let Some(expansion) = clay.expansion_per_million_per_kelvin {
            return Belief::new(expansion - self.below_clay.mean, self.below_clay.sd);
        }
        match clay.kind {
            Some(ClayKind::Earthenware) => self.earthenware,
            Some(ClayKind::Stoneware) => self.stoneware,
            Some(ClayKind::Porcelain) => self.porcelain,
            None => self.craze_threshold,
        }
    }

    /// Where glazes start to shiver on this clay, before any piece was looked at.
    pub fn floor_on(&self, clay: &ClayKnowledge) -> Belief {
        let below = self.floor_below_threshold;
        Belief::new(self.threshold_on(clay).mean - below.mean, below.sd)
    }

    /// Whether the clay is known to be dense.
    pub fn is_dense(&self, clay: &ClayKnowledge) -> bool {
        clay.absorption_percent
            .is_some_and(|absorption| absorption <= self.dense_up_to_percent)
    }

    /// By how much the line falls on this clay in three years.
    pub fn fall_on(&self, clay: &ClayKnowledge) -> Belief {
        if self.is_dense(clay) {
            self.falls_on_dense
        } else {
            self.falls_on_porous
        }
    }

    /// The chance below which a glaze isn't unsure any more, for a use.
    pub fn unsure_from(&self, usage: Use) -> f64 {
        match usage {
            Use::Tableware => self.held_below_tableware,
            Use::Outdoor => self.held_below_outdoor,
            Use::WallTile | Use::Floor | Use::Decorative => self.held_below,
        }
    }

    /// What it takes to call a glaze held: pieces, batches, days.
    pub fn held_takes(&self, usage: Use, clay: &ClayKnowledge) -> HeldTakes {
        match usage {
            Use::Tableware | Use::Outdoor => HeldTakes {
                pieces: 2 * self.tested_pieces,
                batches: 2,
                days: if self.is_dense(clay) {
                    self.tested_days
                } else {
                    self.tested_days.max(365.0)
                },
            },
            Use::WallTile | Use::Floor | Use::Decorative => HeldTakes {
                pieces: self.tested_pieces,
                batches: 1,
                days: self.tested_days,
            },
        }
    }
}

/// How many of a glaze's own pieces must have held, and for how long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldTakes {
    /// So many pieces ...
    pub pieces: u32,
    /// ... of so many batches ...
    pub batches: u32,
    /// ... of this age in days.
    pub days: f64,
}
