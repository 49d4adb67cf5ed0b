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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::bench::{glaze, near};

    /// 60 g at 2.65 and 40 g at 2.7: 100 / (22.641509 + 14.814815) = 2.669777 g/ml.
    #[test]
    fn grains_weigh_their_weight_over_their_volumes() {
        let (density, guessed) = powder_density(&glaze("parts: { silica: 60, whiting: 40, kaolin: 0 }"));
        near(density.value(), 100.0 / (60.0 / 2.65 + 40.0 / 2.7), "both known");
        assert_eq!((density.plus_minus(), guessed), (0.1, None));
        let (density, guessed) = powder_density(&glaze("parts: { silica: 50, kaolin: 50 }\nadditions: { frit: 10 }"));
        near(density.value(), 110.0 / (50.0 / 2.65 + 60.0 / 2.6), "some guessed");
        let names = vec!["kaolin".to_owned(), "frit".to_owned()];
        assert_eq!(guessed, Some(Assumption::UsualGrains(names)));
    }
}
