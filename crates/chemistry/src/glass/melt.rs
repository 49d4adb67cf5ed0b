//! How thin a glaze's melt is at a temperature: a rough guide, not a firing schedule.
//!
//! From two points, where the melt has 10^3 and 10^2 Pa s, straight between them in the
//! logarithm. It is the melt of a glass of exactly this composition: a raw batch melts later,
//! takes up clay, keeps crystals and bubbles, and a hold thins nothing but lets it flow longer.

use crate::oxides::OxideMoles;

use super::estimate::Estimate;
use super::glass_property::{GlassProperty, PropertyEstimate};

/// Outside these powers of ten, Pa s, two points say nothing more.
const TOLD: std::ops::RangeInclusive<f64> = 1.5..=4.0;

/// What the composition says of sets, stiffness and melt.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltGuide {
    /// Glass transition temperature, deg C.
    pub transition: PropertyEstimate,
    /// Young's modulus, GPa.
    pub modulus: PropertyEstimate,
    /// Where the melt has 1000 Pa s, deg C.
    pub at_1000: PropertyEstimate,
    /// Where the melt has 100 Pa s, deg C.
    pub at_100: PropertyEstimate,
}

/// How thin a melt is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Thinness {
    /// The power of ten of Pa s, with its 90 % half-width.
    Power(Estimate),
    /// Thicker than 10^4 Pa s.
    Thicker,
    /// Thinner than 10^1.5 Pa s.
    Thinner,
}

impl MeltGuide {
    /// `None` where the models know none of the oxides.
    pub fn of(amounts: &OxideMoles) -> Option<MeltGuide> {
        Some(MeltGuide {
            transition: GlassProperty::TransitionTemperature.predict(amounts)?,
            modulus: GlassProperty::YoungsModulus.predict(amounts)?,
            at_1000: GlassProperty::MeltOf1000PascalSeconds.predict(amounts)?,
            at_100: GlassProperty::MeltOf100PascalSeconds.predict(amounts)?,
        })
    }

    /// Whether the composition lies within the models' bounds.
    pub fn inside_domain(&self) -> bool {
        self.at_100.inside_domain
    }

    /// How thin the melt is at a temperature known to `peak_plus_minus`, C. `None` where the
    /// two points lie in the wrong order, so that nothing can be said.
    pub fn at(&self, celsius: f64, peak_plus_minus: f64) -> Option<Thinness> {
        let (thick, thin) = (self.at_1000.estimate, self.at_100.estimate);
        let per_decade = thin.value - thick.value;
        if per_decade <= 0.0 {
            return None;
        }
        let power = 3.0 - (celsius - thick.value) / per_decade;
        if power > *TOLD.end() {
            return Some(Thinness::Thicker);
        }
        if power < *TOLD.start() {
            return Some(Thinness::Thinner);
        }
        // The two points' errors shift it as a whole (one composition, one kind of error); the
        // wider counts.
        let shift = thick.plus_minus_90.max(thin.plus_minus_90).hypot(peak_plus_minus);
        Some(Thinness::Power(Estimate::new(power, shift / per_decade)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::oxides::{Oxide, OxideGrams};

    /// Window glass of the viscosity standard NIST SRM 710 (composition and certified points from
    /// memory: 10^3 Pa s at 1019 C, 10^2 at 1181.7 C): between them the power lies in its band.
    #[test]
    fn the_viscosity_standard_is_met_between_its_points() {
        let glass = OxideGrams::new([
            (Oxide::SiO2, 70.5),
            (Oxide::Na2O, 8.7),
            (Oxide::K2O, 7.7),
            (Oxide::CaO, 11.6),
            (Oxide::Sb2O3, 1.1),
        ]);
        let guide = glass.and_then(|glass| MeltGuide::of(&glass.to_moles()));
        let Some(guide) = guide else {
            panic!("no guide");
        };
        for (celsius, power) in [(1019.0, 3.0), (1181.7, 2.0)] {
            match guide.at(celsius, 0.0) {
                Some(Thinness::Power(found)) => {
                    assert!(
                        (found.value - power).abs() < found.plus_minus_90,
                        "{celsius} C: {found:?}"
                    );
                }
                other => panic!("{celsius} C: {other:?}"),
            }
        }
        assert_eq!(guide.at(700.0, 0.0), Some(Thinness::Thicker));
        assert_eq!(guide.at(1500.0, 0.0), Some(Thinness::Thinner));
    }
}
