use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glass::{GlassProperty, MeltCurve};
use glost_chemistry::glaze::{Additions, Analysis};
use glost_chemistry::quantity::{Celsius, Cone, ConeFamily, FiringPeak, parse_heating_rate};
use glost_page::layout::Style;
use glost_page::melt::{ColdGlass, MeltPage, Peak};
use glost_studio::{FoundGlaze, Workplace};

use crate::args::{AdditionsOption, MeltOptions};
use crate::outcome::{Answer, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &MeltOptions, workplace: &Workplace, style: Style) -> Outcome {
    let asked = options
        .cone
        .as_deref()
        .map(|text| FiringPeak::parse(text).map_err(|bad| trouble::option("cone", bad)))
        .transpose()?;
    let rate = options
        .rate
        .as_deref()
        .map(|text| parse_heating_rate(text).map_err(|bad| trouble::option("rate", bad)))
        .transpose()?;
    let at = options
        .at
        .iter()
        .map(|text| Celsius::parse(text).map_err(|bad| trouble::option("at", bad)))
        .collect::<Result<Vec<_>, _>>()?;
    let found = super::glaze(workplace, &options.glaze)?;
    let additions = match options.additions {
        AdditionsOption::In => Additions::In,
        AdditionsOption::Out => Additions::Out,
    };
    let analysis = Analysis::of(&found.glaze, &found.settings.fluxes, additions)
        .map_err(|bad| trouble::no_analysis(&found, &bad))?;
    let curve = MeltCurve::of(&analysis.moles).ok_or_else(|| nothing_known(&found))?;
    let leavable = MeltCurve::leavable(&analysis.moles);
    let rest = if leavable.is_empty() {
        None
    } else {
        MeltCurve::of(&analysis.moles.without(&leavable))
    };
    let mut assumptions = analysis.assumptions.clone();
    let peak = match asked {
        Some(peak) => Some(peak),
        None => own_peak(&found, &mut assumptions),
    };
    let peak = match peak {
        Some(FiringPeak::Temperature(celsius)) => Some(Peak::Temperature(celsius)),
        Some(FiringPeak::Cone(cone, family)) => Some(cone_peak(cone, family, rate)?),
        None => None,
    };
    let cold = GlassProperty::TransitionTemperature
        .predict(&analysis.moles)
        .zip(GlassProperty::YoungsModulus.predict(&analysis.moles));
    let page = MeltPage {
        glaze: &found.glaze.name,
        additions_out: additions == Additions::Out,
        curve: &curve,
        without: rest.as_ref().map(|rest| (rest, leavable.as_slice())),
        cold: cold
            .as_ref()
            .filter(|(transition, _)| transition.inside_domain)
            .map(|(transition, modulus)| ColdGlass { transition, modulus }),
        at,
        peak,
        assumptions,
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// The glaze's own cone, else its peak temperature.
fn own_peak(found: &FoundGlaze, assumptions: &mut Vec<String>) -> Option<FiringPeak> {
    let about = &found.glaze.about;
    if let Some(cone) = &about.cone {
        match FiringPeak::parse(cone) {
            Ok(peak) => return Some(peak),
            Err(_) => assumptions.push(format!("`cone: {cone}` of the glaze is no cone that Glost knows")),
        }
    }
    about
        .peak
        .map(Celsius::celsius)
        .and_then(Celsius::new)
        .map(FiringPeak::Temperature)
}

fn cone_peak(cone: Cone, family: Option<ConeFamily>, rate: Option<f64>) -> Result<Peak, Diagnostic> {
    let point = cone.end_point(family, rate).ok_or_else(|| {
        let family = family.map_or("", ConeFamily::name);
        Diagnostic::error(
            "bad-option",
            format!("no figure for a {family} cone {} is at hand", cone.name()),
        )
        .help("name another family (large, small, self-supporting, Seger), or the temperature: --cone \"1220 C\"")
    })?;
    Ok(Peak::Cone(cone, point))
}

fn nothing_known(found: &FoundGlaze) -> Diagnostic {
    Diagnostic::error(
        "unknown-melt",
        format!("{} holds no oxide that the melt curve knows", found.glaze.name),
    )
    .at(&found.file.source, found.file.parts_mark, "parts".len())
    .help("`glost unity` gives its composition")
}
