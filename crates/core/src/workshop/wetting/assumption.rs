//! What is taken for granted of powder and water.

use serde::Serialize;

/// One assumption about powder and water.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Assumption {
    /// These materials give no density: their grains count as
    /// [`PowderDensity::UNKNOWN`](glost_chemistry::quantity::PowderDensity::UNKNOWN).
    UsualGrains(Vec<String>),
    /// Nothing is known of the powder: all of it counts so.
    UsualPowder,
    /// Neither the glaze nor the call says how wet.
    WaterUnsaid,
}
