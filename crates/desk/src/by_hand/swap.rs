//! How far a new recipe is from the old one, by hand.

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::{Additions, FluxList, Glaze};
use glost_chemistry::oxides::{Oxide, OxideMoles};
use serde::Serialize;

use super::UnitySteps;

/// A new recipe's formula, and its distance from the old one.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SwapSteps {
    /// From the new recipe to its unity formula.
    pub unity: UnitySteps,
    /// What the new moles are multiplied by, so that the distance is least.
    pub scale: f64,
    /// The rows of the distance; those that neither recipe holds anything of are left out.
    pub rows: Vec<DistanceRow>,
    /// The squares of how far the rows are off, added up.
    pub sum_of_squares: f64,
    /// The root of that.
    pub distance: f64,
}

/// A row: (new x scale - old) / tolerance, squared.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct DistanceRow {
    /// The oxides that it adds up.
    #[schemars(with = "Vec<String>")]
    pub oxides: Vec<Oxide>,
    /// Their moles in the old unity formula.
    pub old: f64,
    /// In the new one.
    pub new: f64,
    /// How much they may be off.
    pub tolerance: f64,
    /// How much they are off, in tolerances.
    pub off: f64,
    /// That squared.
    pub squared: f64,
}

impl SwapSteps {
    /// Of a new recipe with its unity formula, beside the distance's target.
    pub(crate) fn of(glaze: &Glaze, new: &OxideMoles, distance: &ChemistryDistance, fluxes: &FluxList) -> SwapSteps {
        let told: Vec<_> = distance
            .told(new)
            .filter(|row| row.wanted > 0.0 || row.moles > 0.0)
            .collect();
        let product = |of: fn(f64, f64) -> f64| -> f64 {
            told.iter()
                .map(|row| of(row.moles / row.tolerance, row.wanted / row.tolerance))
                .sum()
        };
        let scale = product(|new, old| new * old) / product(|new, _| new * new);
        let rows: Vec<DistanceRow> = told
            .into_iter()
            .map(|row| {
                let off = (row.moles * scale - row.wanted) / row.tolerance;
                DistanceRow {
                    oxides: row.oxides,
                    old: row.wanted,
                    new: row.moles,
                    tolerance: row.tolerance,
                    off,
                    squared: off * off,
                }
            })
            .collect();
        let sum_of_squares: f64 = rows.iter().map(|row| row.squared).sum();
        SwapSteps {
            unity: UnitySteps::of(glaze, fluxes, Additions::In),
            scale,
            rows,
            sum_of_squares,
            distance: sum_of_squares.sqrt(),
        }
    }
}
