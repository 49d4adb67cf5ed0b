//! The melt curve's readings and refusals in words.

use glost_chemistry::glass::{MeltReading, MeltRefusal};
use glost_chemistry::oxides::Oxide;

/// What the curve must not be used for; it goes with every number.
pub const NOT_FOR: &str = "It is the melt of a glass of exactly this composition. Not for a raw batch on its way up, which melts later and holds quartz, crystals and bubbles; not for opacifier left undissolved; not for iron in reduction (all iron counts as Fe2O3); not as a firing schedule or a cone; no word on food or leaching follows. Judge it beside a glaze of yours that melts well.";

/// Why there is no number, as a clause.
pub fn refusal(refusal: &MeltRefusal) -> String {
    match refusal {
        MeltRefusal::Oxide {
            oxide,
            mole_percent,
            low,
            high,
        } => format!("{oxide} is {mole_percent:.1} mol %, the curve was checked for {low} to {high}"),
        MeltRefusal::FluxesHardlyAboveAlumina { excess, least } => {
            let side = if *excess < 0.0 { "under" } else { "over" };
            format!(
                "the fluxes only balance the alumina ({:.1} mol % {side} it, the curve needs {:.0} over it): such a melt is far stiffer than its oxides suggest",
                100.0 * excess.abs(),
                100.0 * least
            )
        }
        MeltRefusal::FluxesFarAboveAlumina { excess, most } => format!(
            "the fluxes are {:.0} mol % over the alumina, the curve was checked up to {:.0}",
            100.0 * excess,
            100.0 * most
        ),
        MeltRefusal::Unlike { leverage, most } => format!(
            "this mix of oxides is unlike the glasses behind the curve (leverage {leverage:.0}, told up to {most:.0})"
        ),
        MeltRefusal::UnknownOxides {
            oxides,
            mole_percent,
            most,
        } => format!(
            "{mole_percent:.1} mol % are oxides that the curve doesn't know ({}), up to {most} would do",
            names(oxides)
        ),
        MeltRefusal::Temperature { celsius, low, high } => {
            format!("{celsius:.0} C lies outside {low:.0} to {high:.0} C, where the curve was checked")
        }
    }
}

/// The short word for a refusal, for programs.
pub fn refusal_key(refusal: &MeltRefusal) -> String {
    match refusal {
        MeltRefusal::Oxide { oxide, .. } => format!("box {oxide}"),
        MeltRefusal::FluxesHardlyAboveAlumina { .. } => "excess low".to_owned(),
        MeltRefusal::FluxesFarAboveAlumina { .. } => "excess high".to_owned(),
        MeltRefusal::Unlike { .. } => "leverage".to_owned(),
        MeltRefusal::UnknownOxides { .. } => "unknown oxides".to_owned(),
        MeltRefusal::Temperature { .. } => "temperature".to_owned(),
    }
}

/// Several refusals as one clause.
pub fn refusals(all: &[MeltRefusal]) -> String {
    all.iter().map(refusal).collect::<Vec<_>>().join("; ")
}

/// The names of oxides, with commas.
pub fn names(oxides: &[Oxide]) -> String {
    oxides
        .iter()
        .map(|oxide| oxide.formula())
        .collect::<Vec<_>>()
        .join(", ")
}

/// What is told of a reading, for programs.
pub fn told(reading: &MeltReading) -> &'static str {
    match reading {
        MeltReading::Power(_) => "number",
        MeltReading::Thinner => "thinner",
        MeltReading::Thicker => "thicker",
        MeltReading::Refused(_) => "refused",
    }
}

/// A power of ten as Pa.s of two figures.
pub fn pascal_seconds(power: f64) -> String {
    let value = 10f64.powf(power);
    let step = 10f64.powf(power.floor() - 1.0).max(1.0);
    let text = format!("{:.0}", (value / step).round() * step);
    match text.len() {
        5.. => format!("{} {}", &text[..text.len() - 3], &text[text.len() - 3..]),
        _ => text,
    }
}
