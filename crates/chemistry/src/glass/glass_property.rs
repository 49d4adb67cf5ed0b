//! Where a glaze sets and how stiff it is: from the composition.
//!
//! Sums over the same terms as the expansion model, fitted to SciGlass data. How thin the melt
//! is stands in [`MeltCurve`](super::MeltCurve).

use std::sync::LazyLock;

use crate::assumption::{ModelAssumption, OutsideModel};
use crate::oxides::OxideMoles;

use super::accuracy::{Accuracy, read_accuracy};
use super::bounds;
use super::estimate::Estimate;
use super::fractions::{Fractions, left_out_oxides};
use super::term_model::TermModel;

static TRANSITION: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/glass_properties/transition_temperature.csv")));
static MODULUS: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/glass_properties/youngs_modulus.csv")));
static ACCURACY: LazyLock<Vec<Accuracy>> = LazyLock::new(|| {
    read_accuracy(
        include_str!("../../data/glass_properties/accuracy.csv"),
        "property,glasses,count,bias,mean_absolute_error,ninety_percent_within",
    )
});

/// How many times wider the band is outside the bounds of the models (our choice: no data).
const OUTSIDE_TIMES: f64 = 2.0;

/// A property that the composition tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GlassProperty {
    /// Glass transition temperature, deg C.
    TransitionTemperature,
    /// Young's modulus at room temperature, GPa.
    YoungsModulus,
}

/// A predicted property, for a glass of exactly this composition.
#[derive(Debug, Clone, PartialEq)]
pub struct PropertyEstimate {
    /// Which.
    pub property: GlassProperty,
    /// The value with its 90 % half-width, in the property's unit.
    pub estimate: Estimate,
    /// Whether the composition lies within the bounds of the expansion model, whose glasses
    /// are of the same kind.
    pub inside_domain: bool,
    /// In which ways it doesn't.
    pub reasons: Vec<OutsideModel>,
    /// What the number takes for granted.
    pub assumptions: Vec<ModelAssumption>,
}

impl GlassProperty {
    /// All of them.
    pub const ALL: [GlassProperty; 2] = [GlassProperty::TransitionTemperature, GlassProperty::YoungsModulus];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            GlassProperty::TransitionTemperature => "transition temperature",
            GlassProperty::YoungsModulus => "Young's modulus",
        }
    }

    /// Its unit.
    pub const fn unit(self) -> &'static str {
        match self {
            GlassProperty::YoungsModulus => "GPa",
            _ => "C",
        }
    }

    /// The measured errors of its model, in its unit.
    pub fn accuracy(self) -> impl Iterator<Item = &'static Accuracy> {
        ACCURACY.iter().filter(move |row| row.model == self.name())
    }

    fn model(self) -> &'static TermModel {
        match self {
            GlassProperty::TransitionTemperature => &TRANSITION,
            GlassProperty::YoungsModulus => &MODULUS,
        }
    }

    /// The bare value in the property's unit; nothing allocated. `None` where the model knows
    /// none of the oxides.
    pub fn value(self, amounts: &OxideMoles) -> Option<f64> {
        Some(self.model().value(&Fractions::of(amounts)?))
    }

    /// The value with its band: the wider of the measured 90 % errors of all and of
    /// glaze-like glasses, and twice that outside the bounds. Oxides that the model doesn't know are treated as by
    /// [`ExpansionModel::predict`](super::ExpansionModel::predict).
    pub fn predict(self, amounts: &OxideMoles) -> Option<PropertyEstimate> {
        let fractions = Fractions::of(amounts)?;
        let (mut reasons, mut assumptions) = (Vec::new(), Vec::new());
        bounds::add_reasons(&fractions, &mut reasons);
        if self == GlassProperty::TransitionTemperature {
            bounds::add_balance_reason(&fractions, &mut reasons);
        }
        bounds::add_left_out(
            fractions.left_out,
            left_out_oxides(amounts),
            &mut reasons,
            &mut assumptions,
        );
        bounds::add_opacifiers(&fractions, &mut assumptions);
        let widest = self.accuracy().map(|row| row.ninety_percent_within).fold(0.0, f64::max);
        Some(PropertyEstimate {
            property: self,
            estimate: Estimate::new(
                self.model().value(&fractions),
                if reasons.is_empty() {
                    widest
                } else {
                    OUTSIDE_TIMES * widest
                },
            ),
            inside_domain: reasons.is_empty(),
            reasons,
            assumptions,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_of_the_tables_is_lost() {
        for property in GlassProperty::ALL {
            assert_eq!(property.model().term_count(), 36, "{}", property.name());
            assert_eq!(property.accuracy().count(), 2, "{}", property.name());
        }
    }

    #[test]
    fn a_property_says_its_unit() {
        let units = GlassProperty::ALL.map(GlassProperty::unit);
        assert_eq!(units, ["C", "GPa"]);
    }
}
