//! How stiff a glaze's melt is at a temperature: a curve with its band, told only where it
//! was checked.
//!
//! Fitted to 115,553 viscosities of SciGlass; on papers kept out of the fit it was off by 0.2
//! powers of ten on average, 0.5 at 90 %. It is the melt of a glass of exactly this
//! composition: a raw batch melts later, takes up clay, keeps crystals and bubbles. All iron
//! counts as Fe2O3. No firing schedule, no cone, no word on ware follows from it.

use std::sync::LazyLock;

use crate::oxides::{Oxide, OxideMoles};
use crate::quantity::Celsius;

use super::accuracy::{Accuracy, read_accuracy};
use super::estimate::Estimate;
use super::fractions::{Fractions, OPACIFIERS, left_out_oxides};
use super::leverage::LeverageTable;
use super::melt_domain::{CELSIUS, LEAVABLE, MeltRefusal, POWERS, excess, refusals, temperature_refusal};
use super::melt_shape::{MeltShape, T12};

/// Terms of ln T12, which the leverage is counted over.
const TERM_COUNT: usize = 56;
/// The band's half-width, powers of ten, at leverage 20, 1200 C and an excess from 0.05.
const HALF_WIDTH: f64 = 0.43867;
const LEVERAGE_LIMITS: (f64, f64) = (5.0, 400.0);
const LEVERAGE_REFERENCE: f64 = 20.0;
const LEVERAGE_POWER: f64 = 0.291;
/// The band widens by this exponent for each 100 C below 1200.
const PER_100_CELSIUS_COOLER: f64 = 0.122;
const BAND_CELSIUS: (f64, f64) = (900.0, 1400.0);
/// The band widens by this exponent from an excess of 0.05 down to 0.02.
const AT_LEAST_EXCESS: f64 = 0.319;

static LEVERAGE: LazyLock<LeverageTable> =
    LazyLock::new(|| LeverageTable::parse(include_str!("../../data/melt_curve/leverage.csv")));
static ACCURACY: LazyLock<Vec<Accuracy>> = LazyLock::new(|| {
    read_accuracy(
        include_str!("../../data/melt_curve/accuracy.csv"),
        "property,glasses,count,bias,mean_absolute_error,ninety_percent_within",
    )
});

/// The viscosity of a melt against temperature, set up once for a composition.
///
/// ```
/// use glost_chemistry::glass::{MeltCurve, MeltReading};
/// use glost_chemistry::oxides::{Oxide, OxideMoles};
/// use glost_chemistry::quantity::Celsius;
///
/// let celadon = OxideMoles::new([
///     (Oxide::K2O, 0.2),
///     (Oxide::Na2O, 0.1),
///     (Oxide::CaO, 0.7),
///     (Oxide::Al2O3, 0.4),
///     (Oxide::SiO2, 3.8),
/// ]);
/// let curve = celadon.as_ref().and_then(MeltCurve::of).expect("oxides that the curve knows");
/// let hot = Celsius::new(1300.0).expect("a temperature");
/// let MeltReading::Power(power) = curve.at(hot) else { panic!("told as a number") };
/// assert!((power.value - 3.006).abs() < 0.001); // log10 Pa s
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct MeltCurve {
    /// The curve itself.
    pub shape: MeltShape,
    /// How unlike the glasses of the fit the composition is: 20 is usual.
    pub leverage: f64,
    /// Fluxes less Al2O3, mole fraction.
    pub excess: f64,
    /// Why there is no number at any temperature; empty inside the domain.
    pub refusals: Vec<MeltRefusal>,
    /// Traces that the curve doesn't know, with their mol % of all.
    pub left_out: Option<(Vec<Oxide>, f64)>,
    /// TiO2, ZrO2 and SnO2 together, mol %: counted as dissolved.
    pub opacifier_percent: f64,
}

/// What the curve says at a temperature.
#[derive(Debug, Clone, PartialEq)]
pub enum MeltReading {
    /// log10 of the viscosity in Pa s, with its 90 % half-width.
    Power(Estimate),
    /// Thinner than 10 Pa s.
    Thinner,
    /// Stiffer than 10^5 Pa s.
    Thicker,
    /// No number, and why.
    Refused(Vec<MeltRefusal>),
}

/// Where a melt has a given viscosity.
#[derive(Debug, Clone, PartialEq)]
pub enum MeltPoint {
    /// deg C, with its 90 % half-width.
    Celsius(Estimate),
    /// Below the coolest temperature told, 850 C.
    Below,
    /// Above the hottest temperature told, 1450 C.
    Above,
    /// No number at any temperature.
    Refused,
}

/// How a melt moves from one composition to another.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltShift {
    /// Change of the temperature at which the melt has 10^3 Pa s, C; its error is unmeasured.
    pub celsius: f64,
    /// What was left out on both sides, because the curve knows too few glasses with as much.
    pub left_out: Vec<Oxide>,
}

impl MeltCurve {
    /// The powers of ten, Pa s, that are told as numbers.
    pub const TOLD_POWERS: (f64, f64) = POWERS;
    /// The temperatures that are told, deg C.
    pub const TOLD_CELSIUS: (f64, f64) = CELSIUS;

    /// The curve of a composition. `None` where it knows none of the oxides present.
    pub fn of(amounts: &OxideMoles) -> Option<MeltCurve> {
        let fractions = Fractions::of(amounts)?;
        let mut values = [0.0; TERM_COUNT];
        let logarithm = T12.fill(&fractions, &mut values);
        let leverage = LEVERAGE.leverage(&values);
        let unknown: Vec<Oxide> = left_out_oxides(amounts).collect();
        Some(MeltCurve {
            shape: MeltShape::from_logarithm(logarithm, &fractions),
            leverage,
            excess: excess(&fractions),
            refusals: refusals(amounts, &fractions, leverage),
            left_out: (!unknown.is_empty()).then_some((unknown, 100.0 * fractions.left_out)),
            opacifier_percent: 100.0 * fractions.shares[OPACIFIERS].iter().sum::<f64>(),
        })
    }

    /// CuO, CoO and SnO2 that alone stand between a composition and its number: leaving them
    /// out gives one, and has to be said. Empty where that wouldn't help, or isn't needed.
    pub fn leavable(amounts: &OxideMoles) -> Vec<Oxide> {
        let Some(curve) = MeltCurve::of(amounts) else {
            return Vec::new();
        };
        let offending = |refusal: &MeltRefusal| match refusal {
            MeltRefusal::Oxide { oxide, .. } if LEAVABLE.contains(oxide) => Some(*oxide),
            _ => None,
        };
        let oxides: Vec<Oxide> = curve.refusals.iter().filter_map(offending).collect();
        let helps = MeltCurve::of(&amounts.without(&oxides)).is_some_and(|rest| rest.inside_domain());
        if helps { oxides } else { Vec::new() }
    }

    /// How the melt moves from one glaze to another. `None` where either gets no number:
    /// refused, or 10^3 Pa s lies outside 850 to 1450 C.
    pub fn shift(before: &OxideMoles, after: &OxideMoles) -> Option<MeltShift> {
        let mut left_out = MeltCurve::leavable(before);
        for oxide in MeltCurve::leavable(after) {
            if !left_out.contains(&oxide) {
                left_out.push(oxide);
            }
        }
        let told = |amounts: &OxideMoles| match MeltCurve::of(&amounts.without(&left_out))?.celsius_at(3.0) {
            MeltPoint::Celsius(found) => Some(found.value),
            MeltPoint::Below | MeltPoint::Above | MeltPoint::Refused => None,
        };
        let celsius = told(after)? - told(before)?;
        Some(MeltShift { celsius, left_out })
    }

    /// Whether the curve knows the composition's like.
    pub fn inside_domain(&self) -> bool {
        self.refusals.is_empty()
    }

    /// What may be said of a temperature.
    pub fn at(&self, temperature: Celsius) -> MeltReading {
        let refusals = self.refusals_at(temperature);
        if !refusals.is_empty() {
            return MeltReading::Refused(refusals);
        }
        let power = self.shape.power_at(temperature);
        if power < POWERS.0 {
            MeltReading::Thinner
        } else if power > POWERS.1 {
            MeltReading::Thicker
        } else {
            MeltReading::Power(Estimate::new(power, self.half_width_at(temperature)))
        }
    }

    /// Why there is no number at a temperature; empty where the curve may be told.
    pub fn refusals_at(&self, temperature: Celsius) -> Vec<MeltRefusal> {
        let own = self.refusals.iter().cloned();
        own.chain(temperature_refusal(temperature.celsius())).collect()
    }

    /// Where the melt has 10^`power` Pa s. The band is that of the power, over the slope.
    pub fn celsius_at(&self, power: f64) -> MeltPoint {
        let found = self.shape.celsius_at(power);
        if !self.inside_domain() {
            MeltPoint::Refused
        } else if found < CELSIUS.0 {
            MeltPoint::Below
        } else if found > CELSIUS.1 {
            MeltPoint::Above
        } else {
            Celsius::new(found).map_or(MeltPoint::Above, |at| {
                let half_width = self.half_width_at(at) / -self.shape.power_per_celsius(at);
                MeltPoint::Celsius(Estimate::new(found, half_width))
            })
        }
    }

    /// 90 % half-width of the power at a temperature; on papers kept out of the fit it held 92 %.
    pub fn half_width_at(&self, temperature: Celsius) -> f64 {
        let leverage = self.leverage.clamp(LEVERAGE_LIMITS.0, LEVERAGE_LIMITS.1) / LEVERAGE_REFERENCE;
        let cooler = (1200.0 - temperature.celsius().clamp(BAND_CELSIUS.0, BAND_CELSIUS.1)) / 100.0;
        let short = (0.05 - self.excess).clamp(0.0, 0.03) / 0.03;
        HALF_WIDTH * leverage.powf(LEVERAGE_POWER) * (PER_100_CELSIUS_COOLER * cooler + AT_LEAST_EXCESS * short).exp()
    }

    /// The measured errors of the curve, log10 Pa s.
    pub fn accuracy() -> &'static [Accuracy] {
        &ACCURACY
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_of_the_tables_is_lost() {
        assert_eq!(T12.term_count(), TERM_COUNT);
        assert_eq!(LEVERAGE.entry_count(), TERM_COUNT * (TERM_COUNT + 1) / 2);
        assert_eq!(MeltCurve::accuracy().len(), 2);
    }

    /// By hand from the reference's T12 = 1011.1524 K and c = 1.575876: at 1300.943 C, where the
    /// power is 3, x = 0.642372 and the slope is -14.18703 exp(c (x - 1)) (1 + c x) x / T =
    /// -0.0066310 a degree; the band there is 0.33098 (0.33136 at 1300 C), so 49.9 C.
    #[test]
    fn an_isokoms_band_is_that_of_the_power_over_the_slope() {
        let celadon = OxideMoles::worked_out([
            (Oxide::K2O, 0.2),
            (Oxide::Na2O, 0.1),
            (Oxide::CaO, 0.7),
            (Oxide::Al2O3, 0.4),
            (Oxide::SiO2, 3.8),
        ]);
        let curve = MeltCurve::of(&celadon).unwrap();
        let MeltPoint::Celsius(found) = curve.celsius_at(3.0) else {
            panic!("10^3 Pa s is told");
        };
        assert!((found.value - 1300.943).abs() < 1e-3, "{found:?}");
        assert!((found.plus_minus_90 - 49.91).abs() < 0.02, "{found:?}");
        assert_eq!(curve.celsius_at(1.0), MeltPoint::Above);
        assert_eq!(curve.celsius_at(12.0), MeltPoint::Below);
        let feldspar = OxideMoles::worked_out([(Oxide::K2O, 1.0), (Oxide::Al2O3, 1.0), (Oxide::SiO2, 6.0)]);
        let refused = MeltCurve::of(&feldspar).unwrap();
        assert_eq!(refused.celsius_at(3.0), MeltPoint::Refused);
    }

    #[test]
    fn opacifiers_and_traces_are_counted_in_mole_per_cent() {
        let glaze = OxideMoles::worked_out([
            (Oxide::CaO, 1.0),
            (Oxide::Al2O3, 0.4),
            (Oxide::SiO2, 3.5),
            (Oxide::SnO2, 0.03),
            (Oxide::ZrO2, 0.05),
            (Oxide::TiO2, 0.02),
            (Oxide::Cr2O3, 0.01),
        ]);
        let curve = MeltCurve::of(&glaze).unwrap();
        // 0.10 of the 5.00 moles that count, 0.01 of all 5.01.
        assert!(
            (curve.opacifier_percent - 2.0).abs() < 1e-9,
            "{}",
            curve.opacifier_percent
        );
        let (oxides, percent) = curve.left_out.unwrap();
        assert_eq!(oxides, [Oxide::Cr2O3]);
        assert!((percent - 1.0 / 5.01).abs() < 1e-9, "{percent}");
    }
}
