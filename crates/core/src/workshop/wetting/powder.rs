//! The density of a glaze's dry powder.

use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::PowderDensity;

use super::assumption::Assumption;

/// Grain density of a recipe with its additions, from its materials' own: the
/// weight over the sum of the volumes. A material without one counts as
/// [`PowderDensity::UNKNOWN`], and that is said beside it.
pub fn powder_density(glaze: &Glaze) -> (PowderDensity, Option<Assumption>) {
    let (mut grams, mut millilitres) = (0.0, 0.0);
    let mut guessed: Vec<String> = Vec::new();
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let own = portion.material.density_grams_per_millilitre;
        if own.is_none() {
            guessed.push(portion.material.name.clone());
        }
        grams += portion.percent;
        millilitres += portion.percent / own.unwrap_or(PowderDensity::UNKNOWN.value());
    }
    let known = PowderDensity::new(grams / millilitres, PowderDensity::USUAL_BAND);
    let density = known.unwrap_or(PowderDensity::UNKNOWN);
    (
        density,
        (!guessed.is_empty()).then_some(Assumption::UsualGrains(guessed)),
    )
}
