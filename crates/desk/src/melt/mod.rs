//! How thin a glaze's melt is, beside its firing.

mod answer;

pub use answer::{Answer, ColdGlass, Curve, MeltSaid, Peak, SHOWN_POWERS};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::{GlassProperty, MeltCurve};
use glost_chemistry::glaze::{Additions, Analysis};
use glost_chemistry::oxides::OxideMoles;
use glost_chemistry::quantity::{Celsius, Cone, ConeFamily, FiringPeak, parse_heating_rate};
use glost_studio::FoundGlaze;

use crate::words::bad_option;
use crate::{Desk, Failure, Said, Words, trouble};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// Temperatures to tell.
    pub at: Vec<Celsius>,
    /// The peak, instead of the glaze's own.
    pub peak: Option<FiringPeak>,
    /// Whether additions count.
    pub additions: Additions,
    /// How fast the last 100 C go, C/h.
    pub celsius_per_hour: Option<f64>,
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let peak = words.read("cone", FiringPeak::parse)?;
        let celsius_per_hour = words.read("rate", parse_heating_rate)?;
        let at = words.list("at").iter();
        let at = at.map(|text| Celsius::parse(text).map_err(|bad| bad_option("at", bad)));
        Ok(Question {
            at: at.collect::<Result<_, _>>()?,
            peak,
            celsius_per_hour,
            glaze: words.required("glaze")?.to_owned(),
            additions: if words.text("additions") == Some("out") {
                Additions::Out
            } else {
                Additions::In
            },
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.glaze(&self.glaze)?;
        let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, self.additions)
            .map_err(|bad| trouble::no_analysis(&found, &bad))?;
        let curve = MeltCurve::of(&analysis.moles).ok_or_else(|| nothing_known(&found))?;
        let leavable = MeltCurve::leavable(&analysis.moles);
        let rest = (!leavable.is_empty())
            .then(|| MeltCurve::of(&analysis.moles.without(&leavable)))
            .flatten();
        let mut said: Vec<Said> = analysis.assumptions.iter().map(Said::from).collect();
        let peak = match self.peak.or_else(|| own_peak(&found, &mut said)) {
            Some(FiringPeak::Temperature(celsius)) => Some(Peak::Temperature(celsius)),
            Some(FiringPeak::Cone(cone, family)) => Some(self.cone_peak(cone, family)?),
            None => None,
        };
        let mut answer = Answer {
            glaze: found.glaze.name.clone(),
            additions_out: self.additions == Additions::Out,
            curve: Curve(curve),
            without: rest.map(|rest| (Curve(rest), leavable)),
            cold: cold_glass(&analysis.moles),
            at: self.at.clone(),
            peak,
            assumptions: Vec::new(),
        };
        said.extend(answer.beside());
        answer.assumptions = said;
        Ok(answer)
    }
}

/// Where the glass sets and how stiff it is then, where that may be told.
fn cold_glass(moles: &OxideMoles) -> Option<ColdGlass> {
    let transition = GlassProperty::TransitionTemperature.predict(moles)?;
    let modulus = GlassProperty::YoungsModulus.predict(moles)?;
    transition.inside_domain.then_some(ColdGlass { transition, modulus })
}

/// The glaze's own cone, else its peak temperature.
fn own_peak(found: &FoundGlaze, said: &mut Vec<Said>) -> Option<FiringPeak> {
    let about = &found.glaze.about;
    if let Some(cone) = &about.cone {
        match FiringPeak::parse(cone) {
            Ok(peak) => return Some(peak),
            Err(_) => said.push(Said::Melt(MeltSaid::NoSuchCone(cone.clone()))),
        }
    }
    about
        .peak
        .map(Celsius::celsius)
        .and_then(Celsius::new)
        .map(FiringPeak::Temperature)
}

impl Question {
    fn cone_peak(&self, cone: Cone, family: Option<ConeFamily>) -> Result<Peak, Diagnostic> {
        let point = cone.end_point(family, self.celsius_per_hour).ok_or_else(|| {
            let family = family.map_or("", ConeFamily::name);
            Diagnostic::error(
                "bad-option",
                format!("no figure for a {family} cone {} is at hand", cone.name()),
            )
            .help("name another family (large, small, self-supporting, Seger), or the temperature: --cone \"1220 C\"")
        })?;
        Ok(Peak::Cone(cone, point))
    }
}

fn nothing_known(found: &FoundGlaze) -> Diagnostic {
    Diagnostic::error(
        "unknown-melt",
        format!("{} holds no oxide that the melt curve knows", found.glaze.name),
    )
    .at(&found.file.source, found.file.parts_mark, "parts".len())
    .help("`glost unity` gives its composition")
}
