//! A glaze as numbers that lie far apart where glazes differ.
//!
//! Each coordinate is divided by what makes another glaze of it (ours, common practice),
//! so that a distance of 1 is about one clear change: a quarter more silica, 0.12 boron,
//! two cones, a coat half a millimetre thicker.

use glost_chemistry::glass::{MeltCurve, MeltReading};
use glost_chemistry::glaze::silica_to_alumina;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Celsius, FiringPeak};
use glost_chemistry::read::folded;

use super::made::Made;

/// Sums of oxides that act alike, with the moles of the unity formula that make another
/// glaze of them.
const OXIDES: [(&[Oxide], f64); 13] = [
    (&[Oxide::B2O3], 0.12),
    (&[Oxide::Na2O, Oxide::K2O, Oxide::Li2O], 0.15),
    (&[Oxide::Li2O], 0.1),
    (&[Oxide::MgO], 0.15),
    (&[Oxide::CaO], 0.25),
    (&[Oxide::ZnO], 0.15),
    (&[Oxide::SrO, Oxide::BaO], 0.15),
    (&[Oxide::PbO], 0.15),
    (&[Oxide::Fe2O3], 0.05),
    (&[Oxide::TiO2], 0.08),
    (&[Oxide::SnO2, Oxide::ZrO2], 0.08),
    (&[Oxide::P2O5], 0.08),
    (
        &[
            Oxide::CoO,
            Oxide::CuO,
            Oxide::Cr2O3,
            Oxide::MnO,
            Oxide::NiO,
            Oxide::V2O5,
        ],
        0.04,
    ),
];
/// Silica and alumina count by their logarithms; a quarter more is another glaze.
const LOGARITHM: f64 = 0.25;
const LEAST_ALUMINA: f64 = 0.05;
/// Powers of ten of the melt's viscosity, degrees of the cone, mm of the coat.
const POWERS: f64 = 0.7;
const DEGREES: f64 = 50.0;
const MILLIMETRES: f64 = 0.5;
/// A ratio beyond this is no glaze any more.
const MOST_RATIO: f64 = 20.0;
/// Thinner or stiffer melts than are told count as these powers of ten.
const THIN_POWER: f64 = 1.0;
const STIFF_POWER: f64 = 5.0;

/// What a thing is to the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Features {
    /// Coordinates that are always known.
    pub chemistry: Vec<f64>,
    /// Those that may be unknown: melt, cone, coat.
    pub firing: [Option<f64>; 3],
    /// The clay, folded.
    pub clay: Option<String>,
    /// SiO2:Al2O3, B2O3 and the melt's viscosity at the cone: what the trade reads first.
    pub trend: [Option<f64>; 3],
}

/// The features of a thing.
pub fn features(made: &Made) -> Features {
    let unity = &made.unity;
    let log = |moles: f64| moles.ln() / LOGARITHM;
    let mut chemistry = vec![
        log(unity.get(Oxide::SiO2).max(LEAST_ALUMINA)),
        log(unity.get(Oxide::Al2O3) + LEAST_ALUMINA),
    ];
    chemistry.extend(OXIDES.iter().map(|(oxides, scale)| unity.sum_of(oxides) / scale));
    let celsius = made.cone.as_deref().and_then(celsius);
    let melt = celsius.and_then(|celsius| melt_power(unity, celsius));
    let ratio = silica_to_alumina(unity).map(|ratio| ratio.min(MOST_RATIO));
    Features {
        chemistry,
        firing: [
            melt.map(|power| power / POWERS),
            celsius.map(|celsius| celsius / DEGREES),
            made.coat_mm.map(|coat| coat / MILLIMETRES),
        ],
        clay: made.clay.as_deref().map(folded),
        trend: [ratio, Some(unity.get(Oxide::B2O3)), melt],
    }
}

/// Where a cone bends, or a temperature, in deg C.
fn celsius(text: &str) -> Option<f64> {
    // Another text than a cone or a temperature tells no heat.
    match FiringPeak::parse(text).ok()? {
        FiringPeak::Temperature(celsius) => Some(celsius.celsius()),
        FiringPeak::Cone(cone, family) => cone.end_point(family, None).map(|point| point.celsius),
    }
}

/// log10 of the melt's viscosity in Pa s at a temperature.
fn melt_power(unity: &OxideMoles, celsius: f64) -> Option<f64> {
    let at = Celsius::new(celsius)?;
    let counted = unity.without(&MeltCurve::leavable(unity));
    match MeltCurve::of(&counted)?.at(at) {
        MeltReading::Power(power) => Some(power.value.clamp(THIN_POWER, STIFF_POWER)),
        MeltReading::Thinner => Some(THIN_POWER),
        MeltReading::Thicker => Some(STIFF_POWER),
        MeltReading::Refused(_) => None,
    }
}

impl Features {
    /// How far two things are apart; what isn't known of one of them counts as alike.
    pub fn distance(&self, other: &Features) -> f64 {
        let chemistry = self.chemistry.iter().zip(&other.chemistry);
        let firing = self.firing.iter().zip(&other.firing);
        let known = firing.filter_map(|(own, other)| Some((own.as_ref()?, other.as_ref()?)));
        let squares = chemistry.chain(known).map(|(own, other)| (own - other).powi(2));
        squares.sum::<f64>().sqrt()
    }

    /// Whether both are known to be on one clay.
    pub fn on_one_clay(&self, other: &Features) -> bool {
        self.clay.is_some() && self.clay == other.clay
    }
}

/// An oxide, or oxides, of which a thing holds more or less than anything that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Unlike {
    /// The oxides.
    pub oxides: Vec<Oxide>,
    /// Moles of the unity formula in the thing.
    pub moles: f64,
    /// The least and the most that was made.
    pub made: (f64, f64),
}

impl Unlike {
    /// Where a thing lies clearly outside what was made.
    pub(super) fn of<'a>(unity: &OxideMoles, made: impl Iterator<Item = &'a OxideMoles> + Clone) -> Vec<Unlike> {
        let silica: (&[Oxide], f64) = (&[Oxide::SiO2], 0.6);
        let alumina: (&[Oxide], f64) = (&[Oxide::Al2O3], 0.1);
        let sums = [silica, alumina].into_iter().chain(OXIDES);
        let outside = sums.filter_map(|(oxides, scale)| {
            let moles = unity.sum_of(oxides);
            let all = made.clone().map(|made| made.sum_of(oxides));
            let range = all.fold((f64::INFINITY, f64::NEG_INFINITY), |range, moles| {
                (range.0.min(moles), range.1.max(moles))
            });
            let out = moles < range.0 - 0.5 * scale || moles > range.1 + 0.5 * scale;
            out.then(|| Unlike {
                oxides: oxides.to_vec(),
                moles,
                made: range,
            })
        });
        outside.collect()
    }
}
