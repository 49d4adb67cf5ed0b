//! What the window takes for granted before any piece is looked at. Every number here is a
//! studio's to change (`fit:` in studio.yaml); none is measured on its clay.

use super::ageing::Ageing;

/// A number that is believed, in 1e-6/K of the default expansion model.
#[derive(Debug, Clone, Copy, PartialEq)]
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

/// Priors and assumptions of the window. Weak on purpose; common practice, no source, but
/// where a field says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowSettings {
    /// Where glazes start to craze on a clay of which nothing is known.
    pub craze_threshold: Belief,
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
    /// How much pieces of one glaze differ, one standard deviation.
    pub between_pieces: f64,
    /// A clay is dense up to this absorption, wt %.
    pub dense_up_to_percent: f64,
    /// When pieces craze on a dense clay.
    pub dense: Ageing,
    /// When pieces craze on a porous clay, or one of which nobody knows.
    pub porous: Ageing,
    /// *Held* takes a chance below this.
    pub held_below: f64,
    /// Above this chance crazing or shivering is to be expected.
    pub expect_above: f64,
    /// *Held* takes so many pieces of some glaze at least as high (for shivering: as low) ...
    pub tested_pieces: u32,
    /// ... that held for so many days.
    pub tested_days: f64,
    /// What the studio set otherwise, a sentence each.
    pub departures: Vec<String>,
}

impl Default for WindowSettings {
    fn default() -> Self {
        WindowSettings {
            craze_threshold: Belief::new(6.5, 1.2),
            below_clay: Belief::new(0.3, 0.8),
            floor_below_threshold: Belief::new(3.0, 1.0),
            computed_sd: 0.37,
            widen_outside_model: false,
            printed_sd: 0.6,
            unknown: Belief::new(6.5, 1.5),
            between_pieces: 0.12,
            dense_up_to_percent: 3.0,
            dense: Ageing::dense(),
            porous: Ageing::porous(),
            held_below: 0.1,
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
}

impl WindowSettings {
    /// Where glazes start to craze on this clay, before any piece was looked at.
    pub fn threshold_on(&self, clay: &ClayKnowledge) -> Belief {
        match clay.expansion_per_million_per_kelvin {
            Some(expansion) => Belief::new(expansion - self.below_clay.mean, self.below_clay.sd),
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

    /// When pieces craze on this clay.
    pub fn ageing_on(&self, clay: &ClayKnowledge) -> &Ageing {
        if self.is_dense(clay) { &self.dense } else { &self.porous }
    }
}
