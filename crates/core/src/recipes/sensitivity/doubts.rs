//! Which input of a glaze leaves its numbers most in doubt: the scales, or a sheet.

use glost_chemistry::glass::ExpansionModel;
use glost_chemistry::glaze::{Additions, FiredChemistry, FluxList, Glaze, NoAnalysis, Portion, silica_to_alumina};
use glost_chemistry::oxides::{Oxide, OxideMoles};

use super::effect::{Place, stepped};

/// 90 % of a normal distribution lies within this many standard deviations.
const DEVIATIONS_FOR_90_PERCENT: f64 = 1.644_853_626_951_472_2;
/// Of a material, the rounding of a weighing is moved by this many parts to find its slope.
const SLOPE_STEP: f64 = 0.01;

/// How far one material's inputs may move a glaze; half-widths.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The material.
    pub material: String,
    /// By the scales' half step in the batch: expansion, 1e-6/K, at most.
    pub scales_expansion: f64,
    /// The same for SiO2 : Al2O3.
    pub scales_ratio: f64,
    /// By the tolerances of its sheet, 90 %: expansion, 1e-6/K; `None` where it states none.
    pub sheet_expansion: Option<f64>,
    /// The same for SiO2 : Al2O3.
    pub sheet_ratio: Option<f64>,
    /// The line of its sheet that moves the expansion most.
    pub sheet_line: Option<Oxide>,
}

/// The doubts of each material, in the order of the recipe, for a batch of `dry_grams` of base
/// on scales that read to `step_grams`. First order, each input alone.
///
/// # Errors
/// The glaze can't be analysed.
pub fn doubts(glaze: &Glaze, fluxes: &FluxList, step_grams: f64, dry_grams: f64) -> Result<Vec<Doubt>, NoAnalysis> {
    let before = FiredChemistry::of(glaze, fluxes, Additions::In)?;
    let half_step_parts = 0.5 * step_grams / dry_grams * 100.0;
    let base = glaze.base.iter().map(|portion| (portion, Place::Base));
    let additions = glaze.additions.iter().map(|portion| (portion, Place::Addition));
    let weighed = base.chain(additions).filter(|(portion, _)| portion.percent > 0.0);
    weighed
        .map(|(portion, place)| {
            let moved = stepped(glaze, &portion.material, place, SLOPE_STEP);
            let moved = FiredChemistry::of(&moved, fluxes, Additions::In)?;
            let (expansion, ratio) = change(&before.moles, &moved.moles);
            let parts = half_step_parts / SLOPE_STEP;
            let sheet = by_sheet(portion, &before.moles);
            Ok(Doubt {
                material: portion.material.name.clone(),
                scales_expansion: (expansion * parts).abs(),
                scales_ratio: (ratio * parts).abs(),
                sheet_expansion: sheet.map(|sheet| sheet.expansion),
                sheet_ratio: sheet.map(|sheet| sheet.ratio),
                sheet_line: sheet.and_then(|sheet| sheet.line),
            })
        })
        .collect()
}

#[derive(Clone, Copy)]
struct BySheet {
    expansion: f64,
    ratio: f64,
    line: Option<Oxide>,
}

/// The lines of a sheet are off independently.
fn by_sheet(portion: &Portion, moles: &OxideMoles) -> Option<BySheet> {
    let tolerance = &portion.material.fired.as_ref()?.tolerance;
    if tolerance.is_empty() {
        return None;
    }
    let (mut expansion, mut ratio, mut most) = (0.0, 0.0, 0.0);
    let mut line = None;
    for deviation in tolerance {
        let by = DEVIATIONS_FOR_90_PERCENT * deviation.grams * portion.percent / 100.0;
        let more = OxideMoles::new([(deviation.oxide, by / deviation.oxide.grams_per_mole())])?;
        let mut moved = moles.clone();
        moved.add_scaled(1.0, &more);
        let (to_expansion, to_ratio) = change(moles, &moved);
        expansion += to_expansion * to_expansion;
        ratio += to_ratio * to_ratio;
        if to_expansion.abs() > most {
            most = to_expansion.abs();
            line = Some(deviation.oxide);
        }
    }
    Some(BySheet {
        expansion: expansion.sqrt(),
        ratio: ratio.sqrt(),
        line,
    })
}

fn change(before: &OxideMoles, after: &OxideMoles) -> (f64, f64) {
    let expansion = |moles: &OxideMoles| ExpansionModel::default().value(moles).unwrap_or(0.0);
    let ratio = |moles: &OxideMoles| silica_to_alumina(moles).unwrap_or(0.0);
    (expansion(after) - expansion(before), ratio(after) - ratio(before))
}
