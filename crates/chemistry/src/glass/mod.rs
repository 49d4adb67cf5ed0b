//! What a fired composition says about fit: thermal expansion with its error, where the
//! glaze sets, how stiff it is, and the stress that follows on a measured clay.
//!
//! Models are data (`crates/chemistry/data/expansion/`), each with its basis, range, source and
//! the error measured on glasses that it never saw. Every answer carries its 90 % band and
//! says when the composition lies outside of what its model knows. Nothing here decides
//! whether a glaze crazes: that takes the pieces on the clay.

mod accuracy;
mod bounds;
mod difference;
mod estimate;
mod expansion;
mod fractions;
mod glass_property;
mod leverage;
mod linearisation;
mod melt_curve;
mod melt_domain;
mod melt_shape;
mod shrinkage;
mod stress;
mod table;
mod term;
mod term_model;
mod weight_set;

pub use accuracy::Accuracy;
pub use difference::ExpansionDifference;
pub use estimate::Estimate;
pub use expansion::{
    Expansion, ExpansionModel, FIRED_GLAZE_PLUS_MINUS_90, FactorBasis, ModelCheck, ModelStanding,
    PER_20_300_FROM_20_400, SCIGLASS_ATTRIBUTION,
};
pub use glass_property::{GlassProperty, PropertyEstimate};
pub use leverage::{Coverage, leverage_half_width};
pub use linearisation::Linearisation;
pub use melt_curve::{MeltCurve, MeltPoint, MeltReading, MeltShift};
pub use melt_domain::MeltRefusal;
pub use melt_shape::{MeltShape, MeltTangent};
pub use shrinkage::{CurvePoint, CurveTrouble, DilatometerCurve, Shrinkage};
pub use stress::{
    Coat, FitStress, FitStressInputs, GLASS_POISSON_RATIO, Layer, Pull, coat_stress_megapascals,
    set_temperature_celsius,
};
