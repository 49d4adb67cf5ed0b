//! The viscosity curve of a melt as two numbers, without judging whether they may be told.
//!
//! log10 of the viscosity in Pa s is `A + (12 - A) x exp(c (x - 1))` with `x = T12 / T` (the
//! form of Mauro and others, Proc. Natl. Acad. Sci. 106 (2009) 19780, from memory). T12 and c
//! are above 0 for any composition, so the curve falls strictly and no two isokoms cross.

use std::sync::LazyLock;

use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};
use crate::quantity::Celsius;

use super::fractions::{Fractions, MODEL_OXIDES, R2O};
use super::term_model::TermModel;

/// What the curve tends to when hot, log10 Pa s.
pub(super) const HOT_END: f64 = -2.18703;
/// The power at T12.
const COLD_END: f64 = 12.0;
/// Above this `ln(1 + exp z)` is z itself.
const STRAIGHT_ABOVE: f64 = 30.0;
const KELVIN: f64 = 273.15;
/// Where [`MeltShape::celsius_at`] looks.
const SEARCHED_CELSIUS: (f64, f64) = (300.0, 3000.0);

/// ln(T12 / 1000 K).
pub(super) static T12: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/melt_curve/t12_terms.csv")));
static BEND: LazyLock<TermModel> =
    LazyLock::new(|| TermModel::parse(include_str!("../../data/melt_curve/c_terms.csv")));

/// A melt's curve, cheap to evaluate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeltShape {
    t12_kelvin: f64,
    bend: f64,
}

impl MeltShape {
    /// What the curve tends to when hot, log10 Pa s: the same for every glass.
    pub const HOT_END: f64 = HOT_END;

    /// The curve of a glass of exactly this composition, whether or not the model knows its
    /// like ([`MeltCurve`](super::MeltCurve) says); nothing allocated. `None` where none of
    /// the model's oxides is there.
    pub fn of(amounts: &OxideMoles) -> Option<MeltShape> {
        let fractions = Fractions::of(amounts)?;
        Some(MeltShape::from_logarithm(T12.value(&fractions), &fractions))
    }

    pub(super) fn from_logarithm(ln_t12_per_1000: f64, fractions: &Fractions) -> MeltShape {
        let z = BEND.value(fractions);
        MeltShape {
            t12_kelvin: 1000.0 * ln_t12_per_1000.exp(),
            bend: if z > STRAIGHT_ABOVE { z } else { z.exp().ln_1p() },
        }
    }

    /// Where the curve has 10^12 Pa s, kelvin: an extrapolation, no glass transition to show.
    pub fn t12_kelvin(self) -> f64 {
        self.t12_kelvin
    }

    /// How much the curve bends, without unit: c of the formula.
    pub fn bend(self) -> f64 {
        self.bend
    }

    /// log10 of the viscosity in Pa s.
    pub fn power_at(self, temperature: Celsius) -> f64 {
        self.power_at_ratio(self.t12_kelvin / (temperature.celsius() + KELVIN))
    }

    /// Where the viscosity is 10^`power` Pa s, deg C, between 300 and 3000.
    pub fn celsius_at(self, power: f64) -> f64 {
        let (mut low, mut high) = SEARCHED_CELSIUS;
        // Halved until the floats between the ends run out: some 50 times.
        loop {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                return low;
            }
            if self.power_at_ratio(self.t12_kelvin / (middle + KELVIN)) > power {
                low = middle;
            } else {
                high = middle;
            }
        }
    }

    /// Change of the power for each deg C hotter: below 0.
    pub fn power_per_celsius(self, temperature: Celsius) -> f64 {
        let kelvin = temperature.celsius() + KELVIN;
        let x = self.t12_kelvin / kelvin;
        -self.rise(x) * (1.0 + self.bend * x) * x / kelvin
    }

    fn power_at_ratio(self, x: f64) -> f64 {
        HOT_END + self.rise(x) * x
    }

    fn rise(self, x: f64) -> f64 {
        (COLD_END - HOT_END) * (self.bend * (x - 1.0)).exp()
    }
}

/// The curve's tangent in composition at one temperature: near the composition the power is
/// the mean of one factor per oxide over the moles, whatever their scale. So "power at most p"
/// is one linear row, as with [`Linearisation`](super::Linearisation) for expansion.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltTangent {
    /// log10 of the viscosity in Pa s at the composition.
    pub power: f64,
    /// What a share of 1 of each oxide contributes here, log10 Pa s; 0 where left out.
    pub factors: [f64; OXIDE_COUNT],
    /// 1 for the oxides that count, 0 for those that the curve leaves out.
    pub weights: [f64; OXIDE_COUNT],
    total: f64,
}

impl MeltTangent {
    /// The tangent at a composition; `None` where none of the model's oxides is there. On a
    /// kink of the model it is that of one side.
    pub fn of(amounts: &OxideMoles, temperature: Celsius) -> Option<MeltTangent> {
        let fractions = Fractions::of(amounts)?;
        let shape = MeltShape::from_logarithm(T12.value(&fractions), &fractions);
        let x = shape.t12_kelvin / (temperature.celsius() + KELVIN);
        let rise = shape.rise(x);
        let per_logarithm = rise * (1.0 + shape.bend * x) * x;
        // c = ln(1 + exp z): dc/dz = 1 - exp(-c).
        let per_z = rise * x * (x - 1.0) * -(-shape.bend).exp_m1();
        let (logarithm, z) = (T12.slopes(&fractions), BEND.slopes(&fractions));
        let slope = |slot: usize| per_logarithm * logarithm[slot] + per_z * z[slot];
        let power = shape.power_at_ratio(x);
        let mean: f64 = (0..R2O).map(|slot| fractions.shares[slot] * slope(slot)).sum();
        let (mut factors, mut weights) = ([0.0; OXIDE_COUNT], [0.0; OXIDE_COUNT]);
        for (slot, oxide) in MODEL_OXIDES.into_iter().enumerate() {
            factors[oxide.index()] = power + slope(slot) - mean;
            weights[oxide.index()] = 1.0;
        }
        Some(MeltTangent {
            power,
            factors,
            weights,
            total: fractions.moles,
        })
    }

    /// Change of the power for each mole of the oxide added, in the scale of the composition.
    pub fn per_mole(&self, oxide: Oxide) -> f64 {
        let index = oxide.index();
        self.weights[index] * (self.factors[index] - self.power) / self.total
    }

    /// Coefficients `r` over moles such that `r . moles <= 0` says that the tangent is at most
    /// `power` (log10 Pa s).
    pub fn row_at_most(&self, power: f64) -> [f64; OXIDE_COUNT] {
        Oxide::ALL.map(|oxide| {
            let index = oxide.index();
            self.weights[index] * (self.factors[index] - power)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_of_the_bend_is_lost() {
        assert_eq!(BEND.term_count(), 44);
    }

    /// T12 and c of a celadon from the model's reference vectors (`tests/data/melt_curve`), its
    /// isokoms and its power at two temperatures from the same file.
    const CELADON: MeltShape = MeltShape {
        t12_kelvin: 1011.1524,
        bend: 1.575_876,
    };

    #[test]
    fn a_curve_meets_its_reference_points_and_its_own_slope() {
        let celsius = |degrees| Celsius::new(degrees).unwrap();
        for (degrees, power) in [(900.0, 7.64964), (1100.0, 4.708_477), (1300.0, 3.00626)] {
            assert!((CELADON.power_at(celsius(degrees)) - power).abs() < 2e-6, "{degrees}");
            // The slope against the difference of powers a degree apart on each side.
            let step = CELADON.power_at(celsius(degrees + 0.5)) - CELADON.power_at(celsius(degrees - 0.5));
            let slope = CELADON.power_per_celsius(celsius(degrees));
            assert!(
                (slope / step - 1.0).abs() < 1e-5 && slope < 0.0,
                "{degrees}: {slope}, {step}"
            );
        }
        for (power, degrees) in [(2.0, 1482.799), (3.0, 1300.943), (4.0, 1171.652)] {
            assert!((CELADON.celsius_at(power) - degrees).abs() < 2e-3, "{power}");
        }
        // At T12 it has 10^12 Pa s, whatever its bend.
        assert!((CELADON.celsius_at(12.0) - (1011.1524 - 273.15)).abs() < 1e-9);
        assert_eq!(CELADON.celsius_at(MeltShape::HOT_END), 3000.0_f64.next_down());
    }
}
