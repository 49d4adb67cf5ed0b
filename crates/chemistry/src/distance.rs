//! How far one fired chemistry is from another, in tolerances.
//!
//! The distance is the root of the sum of squares of rows, each over its
//! tolerance: one row an oxide, one row for the total of each class of oxides
//! that the trade swaps mole for mole, one row for the sum of the fluxes.
//! A distance of 1 is about what two weighings of one recipe differ by.

use crate::glaze::FluxList;
use crate::oxides::{OXIDE_COUNT, Oxide, OxideMoles};

/// Oxides that stand in for each other mole for mole.
pub const STAND_INS: [&[Oxide]; 2] = [&[Oxide::Na2O, Oxide::K2O], &[Oxide::SrO, Oxide::BaO]];
/// Up to this distance a recipe reads *near*.
pub const NEAR: f64 = 2.0;
/// Up to this distance it reads *noticeable*, beyond it *far*.
pub const NOTICEABLE: f64 = 10.0;
/// Tolerance of the sum of the fluxes, in moles of the unity formula.
const FLUX_SUM_TOLERANCE: f64 = 0.01;

/// A distance in the trade's words.
pub fn in_words(distance: f64) -> &'static str {
    if distance <= NEAR {
        "near"
    } else if distance <= NOTICEABLE {
        "noticeable"
    } else {
        "far"
    }
}

/// One row: a sum of oxides over a tolerance in moles of the unity formula.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    oxides: Vec<Oxide>,
    tolerance: f64,
}

/// Distances to one target.
#[derive(Debug, Clone, PartialEq)]
pub struct ChemistryDistance {
    target: OxideMoles,
    rows: Vec<Row>,
    target_rows: Vec<f64>,
}

/// An oxide's own tolerance in moles of the unity formula: 2 % + 0.002, for
/// colouring and opacifying oxides 5 % + 0.0005 (common practice, no source).
fn own_tolerance(oxide: Oxide, amount: f64) -> f64 {
    if Oxide::COLOURING.contains(&oxide) {
        0.05 * amount + 0.0005
    } else {
        0.02 * amount + 0.002
    }
}

impl ChemistryDistance {
    /// To a target unity formula.
    pub fn new(target: &OxideMoles, fluxes: &FluxList) -> ChemistryDistance {
        let mut rows = Vec::with_capacity(OXIDE_COUNT + STAND_INS.len() + 1);
        for oxide in Oxide::ALL {
            let tolerance = match STAND_INS.iter().find(|class| class.contains(&oxide)) {
                Some(class) => 0.10 * target.sum_of(class) + 0.005,
                None => own_tolerance(oxide, target.get(oxide)),
            };
            rows.push(Row {
                oxides: vec![oxide],
                tolerance,
            });
        }
        for class in STAND_INS {
            rows.push(Row {
                oxides: class.to_vec(),
                tolerance: 0.02 * target.sum_of(class) + 0.002,
            });
        }
        rows.push(Row {
            oxides: fluxes.oxides().to_vec(),
            tolerance: FLUX_SUM_TOLERANCE,
        });
        let mut yardstick = ChemistryDistance {
            target: target.clone(),
            rows,
            target_rows: Vec::new(),
        };
        yardstick.target_rows = yardstick.rows(target);
        yardstick
    }

    /// The target unity formula.
    pub fn target(&self) -> &OxideMoles {
        &self.target
    }

    /// The rows of some amounts, each over its tolerance.
    pub fn rows(&self, amounts: &OxideMoles) -> Vec<f64> {
        self.rows
            .iter()
            .map(|row| amounts.sum_of(&row.oxides) / row.tolerance)
            .collect()
    }

    /// Whether these amounts hold any flux.
    pub fn has_flux(&self, amounts: &OxideMoles) -> bool {
        self.rows
            .last()
            .is_some_and(|fluxes| amounts.sum_of(&fluxes.oxides) > 0.0)
    }

    /// The rows of the target.
    pub fn target_rows(&self) -> &[f64] {
        &self.target_rows
    }

    /// Distance of these amounts, at the scale that makes it least.
    pub fn distance(&self, amounts: &OxideMoles) -> f64 {
        distance_of_rows(&self.rows(amounts), &self.target_rows)
    }

    /// Oxides of a unity formula that miss the target by more than their own
    /// row's tolerance.
    pub fn missed(&self, unity: &OxideMoles) -> Vec<Oxide> {
        Oxide::ALL
            .into_iter()
            .filter(|&oxide| (unity.get(oxide) - self.target.get(oxide)).abs() > self.rows[oxide.index()].tolerance)
            .collect()
    }
}

/// Distance between rows and the target's, at the scale that makes it least.
pub fn distance_of_rows(rows: &[f64], target: &[f64]) -> f64 {
    let square: f64 = rows.iter().map(|row| row * row).sum();
    let along: f64 = rows.iter().zip(target).map(|(row, target)| row * target).sum();
    let scale = if square > 0.0 { along / square } else { 0.0 };
    rows.iter()
        .zip(target)
        .map(|(row, target)| (scale * row - target).powi(2))
        .sum::<f64>()
        .sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moles(pairs: &[(Oxide, f64)]) -> OxideMoles {
        OxideMoles::new(pairs.iter().copied()).unwrap_or_default()
    }

    #[test]
    fn the_same_chemistry_at_another_scale_is_at_no_distance() {
        let target = moles(&[
            (Oxide::K2O, 0.3),
            (Oxide::CaO, 0.7),
            (Oxide::Al2O3, 0.5),
            (Oxide::SiO2, 4.0),
        ]);
        let yardstick = ChemistryDistance::new(&target, &FluxList::default());
        assert!(yardstick.distance(&target.scaled(7.3)) < 1e-9);
        assert!(yardstick.missed(&target).is_empty());
    }

    #[test]
    fn soda_for_potash_costs_less_than_leaving_the_alkali_out() {
        let lime_and = |oxide, amount| moles(&[(oxide, amount), (Oxide::CaO, 0.7), (Oxide::SiO2, 4.0)]);
        let yardstick = ChemistryDistance::new(&lime_and(Oxide::K2O, 0.3), &FluxList::default());
        let soda = yardstick.distance(&lime_and(Oxide::Na2O, 0.3));
        let nothing = yardstick.distance(&lime_and(Oxide::Na2O, 0.0));
        assert!(soda < nothing, "{soda} {nothing}");
    }
}
