//! The change in expansion from one glaze to another: better known than either value,
//! because a model's error on one family of glazes is mostly common to all of them.

use crate::oxides::OxideMoles;

use super::expansion::ExpansionModel;
use super::fractions::{Fractions, PBO};

/// 90 % half-width in 1e-6/K of the default model's change between two glazes of one family.
/// Measured out of sample on 2,629 pairs of glasses, each pair from one publication, glaze-like
/// and 1 to 10 mol % apart: mean error 0.26, 90 % within 0.61; the direction was right in
/// 90 % of them where the true change was above 0.3.
const FAMILY_PLUS_MINUS_90: f64 = 0.61;
/// How far apart, mol % changing places, two glazes of a family are at most.
const FAMILY_REACH_PERCENT: f64 = 10.0;
/// More PbO than this, mol %, was not among the pairs.
const FAMILY_LEAD_PERCENT: f64 = 1.0;

/// How an expansion changes from one composition to another.
#[derive(Debug, Clone, PartialEq)]
pub struct ExpansionDifference {
    /// The model's name.
    pub model: &'static str,
    /// The second less the first, 1e-6/K.
    pub value_per_million_per_kelvin: f64,
    /// 90 % half-width, 1e-6/K.
    pub plus_minus_90: f64,
    /// How many mol % changed places (half the sum of absolute differences).
    pub moved_mole_percent: f64,
    /// Whether the two are of one family, so that the smaller band holds.
    pub same_family: bool,
}

impl ExpansionDifference {
    /// Whether the change is larger than its band, so that its direction may be named.
    pub fn is_beyond_band(&self) -> bool {
        self.value_per_million_per_kelvin.abs() > self.plus_minus_90
    }
}

impl ExpansionModel {
    /// The change from `before` to `after`. `None` where either holds nothing that the model
    /// knows.
    ///
    /// Two glazes of one family (the default model; both inside its domain; at most 10 mol %
    /// apart; PbO at most 1 mol %) share most of the model's error: 0.61. Below 1 mol % apart
    /// the band shrinks with the root of the distance (our choice, wider than what the fit's
    /// own glasses show), so that nothing changed means no change. Otherwise the two bands
    /// are taken as independent, and never as less than 0.61 together.
    pub fn difference(self, before: &OxideMoles, after: &OxideMoles) -> Option<ExpansionDifference> {
        let (first, second) = (self.predict(before)?, self.predict(after)?);
        let (from, to) = (Fractions::of(before)?, Fractions::of(after)?);
        let moved = from.moved_percent(&to);
        let lead = 100.0 * from.shares[PBO].max(to.shares[PBO]);
        let same_family = self == ExpansionModel::Glost54
            && first.inside_domain
            && second.inside_domain
            && moved <= FAMILY_REACH_PERCENT
            && lead <= FAMILY_LEAD_PERCENT;
        let plus_minus_90 = if same_family {
            FAMILY_PLUS_MINUS_90 * moved.min(1.0).sqrt()
        } else {
            first
                .plus_minus_90
                .hypot(second.plus_minus_90)
                .max(FAMILY_PLUS_MINUS_90)
        };
        Some(ExpansionDifference {
            model: self.name(),
            value_per_million_per_kelvin: second.value_per_million_per_kelvin - first.value_per_million_per_kelvin,
            plus_minus_90,
            moved_mole_percent: moved,
            same_family,
        })
    }
}
