//! The density of a glaze's dry powder.

use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::PowderDensity;

/// Grain density of a recipe with its additions, from its materials' own: the
/// weight over the sum of the volumes. A material without one counts as
/// [`PowderDensity::UNKNOWN`], and that is said in the sentences beside it.
pub fn powder_density(glaze: &Glaze) -> (PowderDensity, Vec<String>) {
    let (mut grams, mut millilitres) = (0.0, 0.0);
    let mut guessed: Vec<&str> = Vec::new();
    for portion in glaze.portions().filter(|portion| portion.percent > 0.0) {
        let own = portion.material.density_grams_per_millilitre;
        if own.is_none() {
            guessed.push(&portion.material.name);
        }
        grams += portion.percent;
        millilitres += portion.percent / own.unwrap_or(PowderDensity::UNKNOWN.value());
    }
    let known = PowderDensity::new(grams / millilitres, PowderDensity::USUAL_BAND);
    let density = known.unwrap_or(PowderDensity::UNKNOWN);
    let mut said = Vec::new();
    if !guessed.is_empty() {
        said.push(format!(
            "no density is given for {}: taken as {} +/- {} g/ml (M. Cardew, Pioneer Pottery, 1969: most are 2.5 to 2.6)",
            guessed.join(", "),
            PowderDensity::UNKNOWN.value(),
            PowderDensity::UNKNOWN.plus_minus(),
        ));
    }
    (density, said)
}
