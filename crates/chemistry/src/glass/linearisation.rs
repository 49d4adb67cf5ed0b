//! A model's tangent at a composition, for whoever seeks a recipe with a given expansion.
//!
//! An expansion is a ratio: it doesn't change with the size of the batch. So its tangent is
//! given as a ratio too: near the composition it is the mean of one factor per oxide. With
//! that, "expansion at most c" becomes one linear row over the moles, whatever their scale.

use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};

/// The tangent: `sum(weight factor moles) / sum(weight moles)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Linearisation {
    /// The model's value at the composition, 1e-6/K.
    pub value_per_million_per_kelvin: f64,
    /// What a share of each oxide contributes here, 1e-6/K for a share of 1; 0 where left out.
    pub factors: [f64; OXIDE_COUNT],
    /// What a mole of each oxide counts for in the mean: 1, or g/mol in a set by weight; 0
    /// where the model leaves the oxide out.
    pub weights: [f64; OXIDE_COUNT],
    /// `sum(weight moles)` at the composition.
    pub(super) total: f64,
}

impl Linearisation {
    /// Change of the expansion for each mole of the oxide added to the composition, 1e-6/K
    /// per mole in the scale of the composition given.
    pub fn per_mole(&self, oxide: Oxide) -> f64 {
        let index = oxide.index();
        self.weights[index] * (self.factors[index] - self.value_per_million_per_kelvin) / self.total
    }

    /// The tangent's expansion at another composition, 1e-6/K; `None` where nothing counts.
    pub fn at(&self, amounts: &OxideMoles) -> Option<f64> {
        let (mut weighted, mut total) = (0.0, 0.0);
        for (oxide, moles) in amounts.iter() {
            let own = self.weights[oxide.index()] * moles;
            weighted += own * self.factors[oxide.index()];
            total += own;
        }
        (total > 0.0).then(|| weighted / total)
    }

    /// Coefficients `r` over moles such that `r . moles <= 0` says the tangent is at most
    /// `bound_per_million_per_kelvin`.
    pub fn row_at_most(&self, bound_per_million_per_kelvin: f64) -> [f64; OXIDE_COUNT] {
        Oxide::ALL.map(|oxide| {
            let index = oxide.index();
            self.weights[index] * (self.factors[index] - bound_per_million_per_kelvin)
        })
    }
}
