//! What is taken for granted of clays and the stress on them, as data.

use glost_chemistry::ModelAssumption;
use serde::Serialize;

/// What is taken for granted of a clay's expansion.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ExpansionSaid {
    /// It doesn't say over which temperatures.
    NoRange,
    /// Of 20-300 C, multiplied to stand for 20-400 C.
    To300,
    /// Of another range, deg C, unchanged.
    OtherRange(f64, f64),
}

/// What is taken for granted of the stress in a glaze.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StressSaid {
    /// What the model of the glaze's expansion says of itself.
    Model(ModelAssumption),
    /// How thick glaze and wall are, and up to where the expansion holds.
    Coat {
        /// Glaze, mm.
        glaze_mm: f64,
        /// Wall, mm.
        wall_mm: f64,
        /// Where the glaze sets, deg C.
        set_celsius: f64,
    },
    /// The clay's stiffness, GPa, by how much water it takes up.
    Stiffness(f64, f64),
    /// The clay's expansion is taken to hold beyond the quartz inversion.
    BeyondQuartz {
        /// Over which it is given, deg C.
        range: Option<(f64, f64)>,
        /// Up to where, deg C.
        set_celsius: f64,
        /// The inversion, deg C.
        quartz_celsius: f64,
    },
    /// The clay's table is drawn on beyond its end.
    TableEnds {
        /// Its end, deg C.
        last_celsius: f64,
        /// Where the glaze sets, deg C.
        set_celsius: f64,
    },
}
