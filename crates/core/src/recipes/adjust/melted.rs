//! What `cone 6`, `melt 1240 C` and `melt: same` mean for a glaze, by the melt curve.

use std::sync::Arc;

use crate::recipes::aims::{Aim, MeltAim, MeltAsked, Quantity};
use crate::recipes::swap::allowed;
use crate::rules::Subject;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glass::{MeltCurve, MeltPoint, MeltReading, MeltRefusal};
use glost_chemistry::glaze::{Atmosphere, Glaze, GlazeNotes};
use glost_chemistry::material::{Kind, Library, Material};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_chemistry::quantity::{Celsius, Cone, ConeFamily, FiringPeak};

/// How near the viscosity at the new cone is to the old one's, log10 Pa s.
const POWER_WITHIN: f64 = 0.01;
/// The power at which a melt is asked for at a temperature: 10^3 Pa s.
pub(super) const SOFT: f64 = 3.0;
/// How near that temperature is met, C.
const CELSIUS_WITHIN: f64 = 10.0;
/// Heating rate of the last 100 C that a cone's temperature is for, C/h.
const RATE: f64 = 60.0;
/// How far the ratio of silica to alumina may move where both move in step.
const RATIO_WITHIN: f64 = 0.02;

/// Why the melt can't be aimed at.
#[derive(Debug, Clone, PartialEq)]
pub enum MeltTrouble {
    /// The glaze's file says no cone and no peak.
    NoCone,
    /// A cone that no temperature is known for.
    NoTemperature(Cone),
    /// The curve refuses the old glaze.
    Refused(Vec<MeltRefusal>),
    /// The old glaze is thinner or stiffer there than the curve tells.
    OutOfReach,
}

/// A melt aim read: its aims, and which rows of the distance give way.
pub(super) struct Melted {
    pub aims: Vec<Aim>,
    /// Boron is the means: it moves before silica does.
    pub by_boron: bool,
    /// Silica and alumina move in step.
    pub in_step: bool,
}

/// Where a glaze is fired.
pub(super) fn fired_at(about: &GlazeNotes) -> Result<Celsius, MeltTrouble> {
    if let Some(peak) = about.peak {
        return Ok(peak);
    }
    let text = about.cone.as_deref().ok_or(MeltTrouble::NoCone)?;
    match FiringPeak::parse(text) {
        Ok(FiringPeak::Temperature(celsius)) => Ok(celsius),
        Ok(FiringPeak::Cone(cone, family)) => bends_at(cone, family),
        Err(_) => Err(MeltTrouble::NoCone),
    }
}

pub(super) fn bends_at(cone: Cone, family: Option<ConeFamily>) -> Result<Celsius, MeltTrouble> {
    let family = family.unwrap_or(ConeFamily::SelfSupporting);
    let rate = (family != ConeFamily::Seger).then_some(RATE);
    cone.end_point(Some(family), rate)
        .and_then(|point| Celsius::new(point.celsius))
        .ok_or(MeltTrouble::NoTemperature(cone))
}

/// A temperature that is aimed at: one of which the curve tells something.
fn told_at(curve: &MeltCurve, celsius: Celsius) -> Result<Celsius, MeltTrouble> {
    match curve.at(celsius) {
        MeltReading::Refused(refusals) => Err(MeltTrouble::Refused(refusals)),
        MeltReading::Power(_) | MeltReading::Thinner | MeltReading::Thicker => Ok(celsius),
    }
}

/// The aims that a phrase means for a glaze of this unity formula.
pub(super) fn read(
    phrase: &str,
    asked: MeltAsked,
    about: &GlazeNotes,
    old: &OxideMoles,
) -> Result<Melted, MeltTrouble> {
    let left_out = MeltCurve::leavable(old);
    let curve = MeltCurve::of(&old.without(&left_out)).ok_or(MeltTrouble::OutOfReach)?;
    if !curve.inside_domain() {
        return Err(MeltTrouble::Refused(curve.refusals));
    }
    let aim = |at: Celsius, low: Option<f64>, high: Option<f64>| Aim {
        phrase: phrase.to_owned(),
        quantity: Quantity::Melt(MeltAim {
            at,
            left_out: left_out.clone(),
        }),
        low,
        high,
        wanted: None,
    };
    let soft_at = |celsius: f64, within: f64| -> Vec<Aim> {
        let at = |celsius: f64| Celsius::new(celsius);
        let cooler = at(celsius - within).map(|at| aim(at, Some(SOFT), None));
        let hotter = at(celsius + within).map(|at| aim(at, None, Some(SOFT)));
        cooler.into_iter().chain(hotter).collect()
    };
    Ok(match asked {
        MeltAsked::Cone(cone, family) | MeltAsked::ConeInStep(cone, family) => {
            let power = match curve.at(fired_at(about)?) {
                MeltReading::Power(power) => power.value,
                MeltReading::Thinner | MeltReading::Thicker => return Err(MeltTrouble::OutOfReach),
                MeltReading::Refused(refusals) => return Err(MeltTrouble::Refused(refusals)),
            };
            let at = told_at(&curve, bends_at(cone, family)?)?;
            let mut aims = vec![aim(at, Some(power - POWER_WITHIN), Some(power + POWER_WITHIN))];
            let steps = matches!(asked, MeltAsked::ConeInStep(..));
            aims.extend(in_step(phrase, old).filter(|_| steps));
            Melted {
                aims,
                by_boron: !steps,
                in_step: steps,
            }
        }
        MeltAsked::At(celsius) => Melted {
            aims: soft_at(told_at(&curve, celsius)?.celsius(), CELSIUS_WITHIN),
            by_boron: true,
            in_step: false,
        },
        MeltAsked::Same => {
            let MeltPoint::Celsius(now) = curve.celsius_at(SOFT) else {
                return Err(MeltTrouble::OutOfReach);
            };
            let mut aims = soft_at(now.value, CELSIUS_WITHIN);
            aims.extend(in_step(phrase, old));
            Melted {
                aims,
                by_boron: false,
                in_step: true,
            }
        }
    })
}

/// Cones from one firing to another that are a long way (common practice, no source).
const FAR_CONES: f64 = 4.0;
/// Below this SiO2:Al2O3 reads as matt (Stull 1912).
const MATT_BELOW: f64 = 5.0;
/// Iron from which its own melting counts for as much as boron's, wt % of the fired
/// glaze (common practice, no source).
const MUCH_IRON_PERCENT: f64 = 6.0;
/// Zinc from which, and alumina up to which, a slowly cooled glaze grows crystals,
/// moles of the unity formula (common practice, no source).
const CRYSTALLINE: (f64, f64) = (0.3, 0.15);

/// Why a change of cone has two answers: boron, or silica and alumina in step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TwoWays {
    /// More than four cones.
    FarCones,
    /// A matt: silica to alumina below 5.
    Matt,
    /// A crystalline glaze.
    Crystalline,
    /// More than 6 % iron.
    Iron,
}

/// Whether a glaze brought to another cone should be shown in two ways, and why.
pub fn two_ways(about: &GlazeNotes, cone: Cone, old: &OxideMoles) -> Option<TwoWays> {
    let own = about.cone.as_deref().and_then(|text| match FiringPeak::parse(text) {
        Ok(FiringPeak::Cone(own, _)) => Some(own),
        _ => None,
    });
    let iron = old
        .to_grams()
        .percent()
        .map_or(0.0, |percent| percent.get(Oxide::Fe2O3));
    if own.is_some_and(|own| own.steps_above(cone).abs() > FAR_CONES) {
        Some(TwoWays::FarCones)
    } else if glost_chemistry::glaze::silica_to_alumina(old).is_some_and(|ratio| ratio < MATT_BELOW) {
        Some(TwoWays::Matt)
    } else if old.get(Oxide::ZnO) >= CRYSTALLINE.0 && old.get(Oxide::Al2O3) <= CRYSTALLINE.1 {
        Some(TwoWays::Crystalline)
    } else {
        (iron > MUCH_IRON_PERCENT).then_some(TwoWays::Iron)
    }
}

/// Silica to alumina as it is.
fn in_step(phrase: &str, old: &OxideMoles) -> Option<Aim> {
    let ratio = glost_chemistry::glaze::silica_to_alumina(old)?;
    Some(Aim {
        phrase: phrase.to_owned(),
        quantity: Quantity::Chemistry(Subject::SilicaToAlumina),
        low: Some((1.0 - RATIO_WITHIN) * ratio),
        high: Some((1.0 + RATIO_WITHIN) * ratio),
        wanted: None,
    })
}

/// Tolerance of boron where it is the trade's means: it comes or goes before silica does.
const BORON_TOLERANCE: f64 = 0.1;
/// By how much the rows of silica and alumina give way where both move in step (ours).
const STEP_GIVES_WAY: f64 = 10.0;

/// Which rows of the distance give way to a melt aim.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Relaxed {
    pub by_boron: bool,
    pub in_step: bool,
}

impl Relaxed {
    /// The distance with them.
    pub fn applied(self, mut distance: ChemistryDistance) -> ChemistryDistance {
        if self.by_boron {
            distance = distance.with_tolerance(&[Oxide::B2O3], |_| BORON_TOLERANCE);
        }
        if self.in_step {
            let step = [Oxide::SiO2, Oxide::Al2O3];
            distance = distance.with_tolerance(&step, |tolerance| STEP_GIVES_WAY * tolerance);
        }
        distance
    }
}

/// wt % B2O3 from which a frit brings boron (ours).
const BORON_FRIT_FROM_PERCENT: f64 = 10.0;
/// wt % ZnO from which a material is zinc oxide (ours).
const ZINC_FROM_PERCENT: f64 = 90.0;

/// What the trade melts with and has on the shelf: boron frits, and zinc oxide where
/// the firing doesn't reduce. Lithium comes in by name only.
pub fn melters(glaze: &Glaze, library: &Library, shipped_may_come: bool) -> Vec<Arc<Material>> {
    let reduction = glaze.about.atmosphere == Some(Atmosphere::Reduction);
    allowed(glaze, &[], library, shipped_may_come)
        .into_iter()
        .filter(|material| {
            let percent = |oxide: Oxide| material.fired.as_ref().map_or(0.0, |fired| fired.oxides.get(oxide));
            let boron = material.kind == Kind::Frit && percent(Oxide::B2O3) >= BORON_FRIT_FROM_PERCENT;
            boron || (!reduction && percent(Oxide::ZnO) >= ZINC_FROM_PERCENT)
        })
        .collect()
}
