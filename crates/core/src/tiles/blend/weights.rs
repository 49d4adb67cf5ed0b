//! From shares to weights: what each tile or end takes on these scales, and what
//! the scales can't show.

use std::sync::Arc;

use crate::workshop::scales::Scales;
use crate::workshop::scales::{MOST_WEIGHING_ERROR, WeighedLine, to_step};
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;

/// A weight that the scales can't show well enough.
#[derive(Debug, Clone, PartialEq)]
pub struct CannotWeigh {
    /// The tile's code, or the end's name.
    pub code: String,
    /// The material.
    pub material: String,
    /// The grams wanted.
    pub grams: f64,
    /// Half a step over the weight, in per cent.
    pub error_percent: f64,
}

/// A material with its grams, unrounded.
#[derive(Debug, Clone)]
pub(super) struct ExactLine {
    pub(super) material: Arc<Material>,
    pub(super) grams: f64,
}

/// What so many grams of base take, each material once.
pub(super) fn exact_lines(glaze: &Glaze, base_grams: f64) -> Vec<ExactLine> {
    let mut lines: Vec<ExactLine> = Vec::new();
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let grams = portion.percent / 100.0 * base_grams;
        match lines
            .iter_mut()
            .find(|line| line.material.name == portion.material.name)
        {
            Some(same) => same.grams += grams,
            None => lines.push(ExactLine {
                material: portion.material.clone(),
                grams,
            }),
        }
    }
    lines
}

/// The lines as the scales show them.
pub(super) fn as_weighed(lines: Vec<ExactLine>, step: f64) -> Vec<ExactLine> {
    lines
        .into_iter()
        .map(|line| ExactLine {
            grams: to_step(line.grams, step),
            ..line
        })
        .collect()
}

/// The lines to the scales' step.
pub(super) fn rounded(lines: &[ExactLine], scales: &Scales) -> Vec<WeighedLine> {
    let step = scales.reads_to.grams();
    lines
        .iter()
        .map(|line| WeighedLine {
            material: line.material.name.clone(),
            grams: to_step(line.grams, step),
            exact_grams: line.grams,
        })
        .collect()
}

/// The lines that half a step is more than 5 % of.
pub(super) fn beyond_scales(code: &str, lines: &[ExactLine], scales: &Scales) -> Vec<CannotWeigh> {
    let half_step = 0.5 * scales.reads_to.grams();
    lines
        .iter()
        .map(|line| (line, half_step / line.grams))
        // A weight of just ten steps is not pushed over the line by the last bit.
        .filter(|(_, error)| *error > MOST_WEIGHING_ERROR * (1.0 + 1e-9))
        .map(|(line, error)| CannotWeigh {
            code: code.to_owned(),
            material: line.material.name.clone(),
            grams: line.grams,
            error_percent: 100.0 * error,
        })
        .collect()
}

/// What is drawn of batches as they were weighed: so many of each one's millilitres.
pub(super) fn drawn_lines(batches: &[Vec<ExactLine>], whole: &[Option<f64>], drawn: &[f64]) -> Vec<ExactLine> {
    let mut lines = Vec::new();
    for ((batch, whole), drawn) in batches.iter().zip(whole).zip(drawn) {
        let Some(whole) = whole.filter(|whole| *whole > 0.0) else {
            continue;
        };
        lines.extend(batch.iter().map(|line| ExactLine {
            material: line.material.clone(),
            grams: line.grams * drawn / whole,
        }));
    }
    lines
}

/// How far rounding moves the fired chemistry, in tolerances of the recipe asked
/// for; `None` where an analysis is unknown or there is no flux.
pub(super) fn rounding_distance(asked: &OxideMoles, lines: &[ExactLine], fluxes: &FluxList) -> Option<f64> {
    let mut moles = OxideMoles::ZERO;
    for line in lines {
        let fired = line.material.fired.as_ref()?;
        moles.add_scaled(line.grams / 100.0, &fired.oxides.to_moles());
    }
    fluxes.unity(&moles)?;
    Some(ChemistryDistance::new(asked, fluxes).distance(&moles))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    /// Scales that read to 0.1 g may be off by 0.05 g: 5 % of 1 g.
    #[test]
    fn what_the_scales_cannot_weigh_is_what_half_a_step_is_more_than_a_twentieth_of() {
        let shelf =
            "materials: [{ name: silica, formula: SiO2, source: x }, { name: whiting, formula: CaCO3, source: x }]";
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", shelf)).0, false);
        let text = "glaze: A\nparts: { silica: 99, whiting: 1 }\n";
        let glaze = read_glaze(&Source::from_text("g.yaml", text), Millilitres::METRIC_CUP)
            .map_err(|error| vec![error])
            .and_then(|file| file.resolve(&library))
            .unwrap_or_else(|why| panic!("{why:?}"));
        let beyond = |grams: f64| beyond_scales("A1", &exact_lines(&glaze, grams), &Scales::default());
        assert!(beyond(200.0).is_empty() && beyond(100.0).is_empty());
        let found = beyond(80.0);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].code.as_str(), found[0].material.as_str()), ("A1", "whiting"));
        assert!((found[0].error_percent - 6.25).abs() < 1e-9 && (found[0].grams - 0.8).abs() < 1e-9);
    }
}
