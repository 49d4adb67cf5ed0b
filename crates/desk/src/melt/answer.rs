//! The melt of a glaze, told or refused.

use glost_chemistry::glass::{Estimate, MeltCurve, MeltPoint, MeltReading, MeltRefusal, MeltShape, PropertyEstimate};
use glost_chemistry::oxides::Oxide;
use glost_chemistry::quantity::{Celsius, Cone, ConePoint};
use serde::{Serialize, Serializer};

use crate::Said;

/// Powers of ten, Pa s, whose temperatures are told.
pub const SHOWN_POWERS: [f64; 3] = [4.0, 3.0, 2.0];
/// From this share on, mol %, what is left out is said.
const LEFT_OUT_SAID: f64 = 0.05;
/// From this share on, mol %, opacifiers are said to count as dissolved.
const OPACIFIER_SAID: f64 = 1.0;

/// How hot a glaze is fired.
#[derive(Debug, Clone, PartialEq)]
pub enum Peak {
    /// To a cone.
    Cone(Cone, ConePoint),
    /// To a temperature.
    Temperature(Celsius),
}

impl Peak {
    /// In deg C, with its band.
    pub fn estimate(&self) -> Estimate {
        match self {
            Peak::Cone(_, point) => Estimate::new(point.celsius, point.plus_minus),
            Peak::Temperature(celsius) => Estimate::exact(celsius.celsius()),
        }
    }
}

/// A melt curve.
#[derive(Debug, Clone)]
pub struct Curve(pub MeltCurve);

/// The glass once it has set.
#[derive(Debug, Clone)]
pub struct ColdGlass {
    /// Glass transition temperature, deg C.
    pub transition: PropertyEstimate,
    /// Young's modulus, GPa.
    pub modulus: PropertyEstimate,
}

/// What is said beside a melt.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MeltSaid {
    /// The cone in the glaze's file is none.
    NoSuchCone(String),
    /// Oxides that the curve knows too few glasses with.
    LeftOut(Vec<&'static str>),
    /// Oxides that the curve doesn't know, and their mol %.
    UnknownLeftOut {
        /// How much of the glass, mol %.
        mole_percent: f64,
        /// Which.
        oxides: Vec<&'static str>,
    },
    /// Opacifiers count as dissolved.
    OpacifierDissolved,
    /// Nobody says how hot it is fired.
    NoCone,
    /// What the curve must not be used for.
    NotFor,
}

/// A glaze's melt beside its firing.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze's name.
    pub glaze: String,
    /// Whether additions are left out.
    pub additions_out: bool,
    /// The curve of the glaze.
    pub curve: Curve,
    /// The curve without oxides that alone stand between it and a number, and which they are.
    pub without: Option<(Curve, Vec<Oxide>)>,
    /// Where it sets and how stiff it is, where that may be told.
    pub cold: Option<ColdGlass>,
    /// Temperatures asked for.
    pub at: Vec<Celsius>,
    /// How hot it is fired, where that is known.
    pub peak: Option<Peak>,
    /// What goes with it.
    pub assumptions: Vec<Said>,
}

impl crate::Answer for Answer {}

fn formulas(oxides: &[Oxide]) -> Vec<&'static str> {
    oxides.iter().map(|oxide| oxide.formula()).collect()
}

impl Answer {
    /// The curve that is told: without what may be left out, where that is needed.
    pub fn told_curve(&self) -> &MeltCurve {
        self.without.as_ref().map_or(&self.curve.0, |(curve, _)| &curve.0)
    }

    /// The temperatures to tell: those asked for, else the peak.
    pub fn asked(&self) -> Vec<Celsius> {
        if self.at.is_empty() {
            let peak = self.peak.as_ref().map(|peak| peak.estimate().value);
            peak.and_then(Celsius::new).into_iter().collect()
        } else {
            self.at.clone()
        }
    }

    /// What is said beside the curve.
    pub(super) fn beside(&self) -> Vec<Said> {
        let mut said = Vec::new();
        if let Some((_, oxides)) = &self.without {
            said.push(Said::Melt(MeltSaid::LeftOut(formulas(oxides))));
        }
        if let Some((oxides, percent)) = &self.curve.0.left_out
            && *percent >= LEFT_OUT_SAID
        {
            said.push(Said::Melt(MeltSaid::UnknownLeftOut {
                mole_percent: *percent,
                oxides: formulas(oxides),
            }));
        }
        if self.told_curve().inside_domain() && self.told_curve().opacifier_percent >= OPACIFIER_SAID {
            said.push(Said::Melt(MeltSaid::OpacifierDissolved));
        }
        if let Some(Peak::Cone(_, point)) = &self.peak {
            said.extend(point.assumptions.iter().copied().map(Said::Cone));
        }
        if self.peak.is_none() && self.at.is_empty() {
            said.push(Said::Melt(MeltSaid::NoCone));
        }
        said
    }
}

/// Temperatures in deg C, viscosities as log10 of Pa s, bands 90 %.
#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    curve: Option<ShapeJson>,
    log_eta: Vec<ReadingJson>,
    points: Vec<PointJson>,
    inside_domain: bool,
    reasons: Vec<Said>,
    refused_for: Vec<String>,
    without: Option<WithoutJson>,
    excess: f64,
    leverage: f64,
    transition_c: Option<PropertyJson>,
    youngs_modulus_gpa: Option<PropertyJson>,
    peak: Option<PeakJson>,
    note: Said,
    assumptions: &'a [Said],
}

#[derive(Serialize, schemars::JsonSchema)]
struct WithoutJson {
    left_out: Vec<&'static str>,
    curve: Option<ShapeJson>,
    log_eta: Vec<ReadingJson>,
    points: Vec<PointJson>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ShapeJson {
    #[serde(rename = "A")]
    hot_end: f64,
    t12_kelvin: f64,
    c: f64,
}

#[derive(Serialize, schemars::JsonSchema)]
struct ReadingJson {
    celsius: f64,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    told: &'static str,
    refused_for: Vec<String>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PointJson {
    log_eta: f64,
    celsius: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    told: &'static str,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PropertyJson {
    value: f64,
    plus_minus: f64,
    low: f64,
    high: f64,
    inside_domain: bool,
    reasons: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(untagged)]
enum PeakJson {
    Cone {
        cone: String,
        family: &'static str,
        rate_c_per_h: Option<f64>,
        celsius: f64,
        plus_minus: f64,
    },
    Temperature {
        celsius: f64,
    },
}

impl From<&Peak> for PeakJson {
    fn from(peak: &Peak) -> PeakJson {
        match peak {
            Peak::Cone(cone, point) => PeakJson::Cone {
                cone: cone.name().to_string(),
                family: point.family.name(),
                rate_c_per_h: point.celsius_per_hour,
                celsius: point.celsius,
                plus_minus: point.plus_minus,
            },
            Peak::Temperature(celsius) => PeakJson::Temperature {
                celsius: celsius.celsius(),
            },
        }
    }
}

impl From<&PropertyEstimate> for PropertyJson {
    fn from(property: &PropertyEstimate) -> PropertyJson {
        let estimate = property.estimate;
        PropertyJson {
            value: estimate.value,
            plus_minus: estimate.plus_minus_90,
            low: estimate.low(),
            high: estimate.high(),
            inside_domain: property.inside_domain,
            reasons: property.reasons.iter().map(Said::from).collect(),
        }
    }
}

/// The short word for a refusal, for programs.
fn refusal_key(refusal: &MeltRefusal) -> String {
    match refusal {
        MeltRefusal::Oxide { oxide, .. } => format!("box {oxide}"),
        MeltRefusal::FluxesHardlyAboveAlumina { .. } => "excess low".to_owned(),
        MeltRefusal::FluxesFarAboveAlumina { .. } => "excess high".to_owned(),
        MeltRefusal::Unlike { .. } => "leverage".to_owned(),
        MeltRefusal::UnknownOxides { .. } => "unknown oxides".to_owned(),
        MeltRefusal::Temperature { .. } => "temperature".to_owned(),
    }
}

impl Curve {
    fn shape(&self) -> Option<ShapeJson> {
        self.0.inside_domain().then(|| ShapeJson {
            hot_end: MeltShape::HOT_END,
            t12_kelvin: self.0.shape.t12_kelvin(),
            c: self.0.shape.bend(),
        })
    }

    fn reading(&self, at: Celsius) -> ReadingJson {
        let (power, told, refused_for) = match self.0.at(at) {
            MeltReading::Power(power) => (Some(power), "number", Vec::new()),
            MeltReading::Thinner => (None, "thinner", Vec::new()),
            MeltReading::Thicker => (None, "thicker", Vec::new()),
            MeltReading::Refused(reasons) => (None, "refused", reasons.iter().map(refusal_key).collect()),
        };
        ReadingJson {
            celsius: at.celsius(),
            value: power.map(|power| power.value),
            low: power.map(Estimate::low),
            high: power.map(Estimate::high),
            told,
            refused_for,
        }
    }

    fn readings(&self, at: &[Celsius]) -> Vec<ReadingJson> {
        at.iter().map(|at| self.reading(*at)).collect()
    }

    fn points(&self) -> Vec<PointJson> {
        let point = |power: f64| {
            let (found, told) = match self.0.celsius_at(power) {
                MeltPoint::Celsius(found) => (Some(found), "number"),
                MeltPoint::Below => (None, "cooler"),
                MeltPoint::Above => (None, "hotter"),
                MeltPoint::Refused => (None, "refused"),
            };
            PointJson {
                log_eta: power,
                celsius: found.map(|found| found.value),
                low: found.map(Estimate::low),
                high: found.map(Estimate::high),
                told,
            }
        };
        SHOWN_POWERS.map(point).into_iter().collect()
    }
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (curve, asked) = (&self.curve, self.asked());
        AnswerJson {
            glaze: &self.glaze,
            curve: curve.shape(),
            log_eta: curve.readings(&asked),
            points: curve.points(),
            inside_domain: curve.0.inside_domain(),
            reasons: curve.0.refusals.iter().cloned().map(Said::MeltRefused).collect(),
            refused_for: curve.0.refusals.iter().map(refusal_key).collect(),
            without: self.without.as_ref().map(|(rest, oxides)| WithoutJson {
                left_out: formulas(oxides),
                curve: rest.shape(),
                log_eta: rest.readings(&asked),
                points: rest.points(),
            }),
            excess: curve.0.excess,
            leverage: curve.0.leverage,
            transition_c: self.cold.as_ref().map(|cold| PropertyJson::from(&cold.transition)),
            youngs_modulus_gpa: self.cold.as_ref().map(|cold| PropertyJson::from(&cold.modulus)),
            peak: self.peak.as_ref().map(PeakJson::from),
            note: Said::Melt(MeltSaid::NotFor),
            assumptions: &self.assumptions,
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
