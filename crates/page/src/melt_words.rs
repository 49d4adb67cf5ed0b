//! The melt curve's readings and refusals in words.

use glost_chemistry::glass::MeltRefusal;
use glost_chemistry::oxides::Oxide;
use glost_desk::melt::MeltSaid;

/// What the curve must not be used for; it goes with every number.
pub const NOT_FOR: &str = "It is the melt of a glass of exactly this composition. Not for a raw batch on its way up, which melts later and holds quartz, crystals and bubbles; not for opacifier left undissolved; not for iron in reduction (all iron counts as Fe2O3); not as a firing schedule or a cone; no word on food or leaching follows. Judge it beside a glaze of yours that melts well.";

/// What is said beside a melt.
pub fn said(said: &MeltSaid) -> String {
    match said {
        MeltSaid::NoSuchCone(cone) => format!("`cone: {cone}` of the glaze is no cone that Glost knows"),
        MeltSaid::LeftOut(oxides) => format!(
            "{} left out, the rest counted as the whole: the curve knows too few glasses with as much",
            oxides.join(", ")
        ),
        MeltSaid::UnknownLeftOut { mole_percent, oxides } => format!(
            "{mole_percent:.2} mol % left out ({}: unknown to the curve), the rest counted as the whole",
            oxides.join(", ")
        ),
        MeltSaid::OpacifierDissolved => "ZrO2, SnO2 and TiO2 count as dissolved in the melt".to_owned(),
        MeltSaid::NoCone => "its cone isn't known: say --at \"1220 C\" or --cone \"6\"".to_owned(),
        MeltSaid::NotFor => NOT_FOR.to_owned(),
    }
}

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
        MeltRefusal::Unlike { .. } => "this mix of oxides is unlike the glasses behind the curve".to_owned(),
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
