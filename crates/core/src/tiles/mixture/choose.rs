//! Which mixture model: the one that best foretells tiles it has not seen.

use super::fit::{Graded, MixtureFit, NoFit};
use super::model::MixtureModel;

/// A model tried, and how it went.
#[derive(Debug, Clone)]
pub struct Tried {
    /// Which.
    pub model: MixtureModel,
    /// Its left-out error, or why there is none.
    pub left_out: Result<Option<f64>, NoFit>,
}

/// The model chosen.
#[derive(Debug, Clone)]
pub struct Choice {
    /// The model with the least leave-one-out error; ties go to the simpler.
    pub fit: MixtureFit,
    /// All that were tried, the simplest first.
    pub tried: Vec<Tried>,
}

/// Chooses by leave-one-out error among the models that the tiles can carry.
///
/// # Errors
/// Why even the straight-line model can't be fitted.
pub fn choose(ends: usize, tiles: &[Graded]) -> Result<Choice, NoFit> {
    let scale = tiles.iter().fold(0.0_f64, |most, tile| most.max(tile.value.abs()));
    // Errors of rounding are all alike.
    let shown = |fit: &MixtureFit| {
        let error = fit.leave_one_out.unwrap_or(f64::INFINITY);
        if error < 1e-10 * scale { 0.0 } else { error }
    };
    let mut tried = Vec::new();
    let mut fits: Vec<MixtureFit> = Vec::new();
    let mut first_trouble = None;
    for model in MixtureModel::ALL.into_iter().filter(|model| model.order() <= ends) {
        let left_out = match MixtureFit::of(model, ends, tiles) {
            Ok(fit) => {
                let error = fit.leave_one_out;
                fits.push(fit);
                Ok(error)
            }
            Err(why) => {
                first_trouble.get_or_insert_with(|| why.clone());
                Err(why)
            }
        };
        tried.push(Tried { model, left_out });
    }
    let mut best: Option<&MixtureFit> = None;
    for fit in &fits {
        if best.is_none_or(|known| shown(fit) < shown(known) * (1.0 - 1e-9)) {
            best = Some(fit);
        }
    }
    let Some(fit) = best.cloned() else {
        return Err(first_trouble.unwrap_or(NoFit::TooFew { blends: 0, terms: ends }));
    };
    Ok(Choice { fit, tried })
}
