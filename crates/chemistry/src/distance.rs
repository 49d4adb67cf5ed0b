//! How far one fired chemistry is from another, in tolerances.
//!
//! The distance is the root of the sum of squares of rows, each over its
//! tolerance: one row an oxide, one row for the total of each class of oxides
//! that the trade swaps mole for mole, one row for the sum of the fluxes.
//! A distance of 1 is about what two weighings of one recipe differ by.

use std::fmt;

use serde::Serialize;

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

/// How a distance reads in the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Nearness {
    /// Up to [`NEAR`].
    Near,
    /// Up to [`NOTICEABLE`].
    Noticeable,
    /// Beyond.
    Far,
}

impl Nearness {
    /// Of a distance in tolerances.
    ///
    /// ```
    /// use glost_chemistry::distance::Nearness;
    ///
    /// assert_eq!(Nearness::of(0.87), Nearness::Near);
    /// assert_eq!(Nearness::of(40.0).word(), "far");
    /// ```
    pub fn of(distance: f64) -> Nearness {
        if distance <= NEAR {
            Nearness::Near
        } else if distance <= NOTICEABLE {
            Nearness::Noticeable
        } else {
            Nearness::Far
        }
    }

    /// The word used everywhere.
    pub fn word(self) -> &'static str {
        match self {
            Nearness::Near => "near",
            Nearness::Noticeable => "noticeable",
            Nearness::Far => "far",
        }
    }
}

impl fmt::Display for Nearness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// One row: a sum of oxides over a tolerance, both in moles of the unity formula.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    oxides: Vec<Oxide>,
    wanted_moles: f64,
    tolerance_moles: f64,
}

impl Row {
    fn is_of(&self, oxide: Oxide) -> bool {
        self.oxides == [oxide]
    }
}

/// Distances to one target.
#[derive(Debug, Clone, PartialEq)]
pub struct ChemistryDistance {
    target: OxideMoles,
    rows: Vec<Row>,
    target_rows: Vec<f64>,
}

/// An oxide's own tolerance in moles of the unity formula (common practice, no
/// source). What comes as a trace is not seen up to about 0.1 wt % of the fired
/// glaze; a strong colourant is.
fn own_tolerance(oxide: Oxide, amount: f64) -> f64 {
    match oxide {
        Oxide::Fe2O3 => 0.05 * amount + 0.002,
        Oxide::TiO2 | Oxide::MnO => 0.05 * amount + 0.004,
        Oxide::P2O5 | Oxide::ZrO2 | Oxide::SnO2 => 0.05 * amount + 0.003,
        Oxide::CoO | Oxide::CuO | Oxide::Cr2O3 | Oxide::NiO | Oxide::V2O5 => 0.05 * amount + 0.0005,
        _ => summed_tolerance(amount),
    }
}

/// Tolerance of a sum of oxides that stand in for each other.
fn summed_tolerance(amount: f64) -> f64 {
    0.02 * amount + 0.002
}

impl ChemistryDistance {
    /// To a target unity formula.
    pub fn new(target: &OxideMoles, fluxes: &FluxList) -> ChemistryDistance {
        let mut rows = Vec::with_capacity(OXIDE_COUNT + STAND_INS.len() + 1);
        for oxide in Oxide::ALL {
            let wanted_moles = target.get(oxide);
            let tolerance_moles = match STAND_INS.iter().find(|class| class.contains(&oxide)) {
                Some(class) => 0.10 * target.sum_of(class) + 0.005,
                None => own_tolerance(oxide, wanted_moles),
            };
            rows.push(Row {
                oxides: vec![oxide],
                wanted_moles,
                tolerance_moles,
            });
        }
        let sum = |oxides: &[Oxide], tolerance: fn(f64) -> f64| {
            let wanted_moles = target.sum_of(oxides);
            Row {
                oxides: oxides.to_vec(),
                wanted_moles,
                tolerance_moles: tolerance(wanted_moles),
            }
        };
        rows.extend(STAND_INS.map(|class| sum(class, summed_tolerance)));
        rows.push(sum(fluxes.oxides(), |_| FLUX_SUM_TOLERANCE));
        ChemistryDistance {
            target: target.clone(),
            target_rows: divided(&rows),
            rows,
        }
    }

    /// With another tolerance of some oxides' own rows, in moles of the unity formula.
    #[must_use]
    pub fn with_tolerance(mut self, oxides: &[Oxide], tolerance_moles: impl Fn(f64) -> f64) -> ChemistryDistance {
        for row in self
            .rows
            .iter_mut()
            .filter(|row| oxides.iter().any(|&oxide| row.is_of(oxide)))
        {
            row.tolerance_moles = tolerance_moles(row.tolerance_moles);
        }
        self.target_rows = divided(&self.rows);
        self
    }

    /// With these oxides held as one sum: their own rows, and those of every
    /// class that one of them stands in, give way to it. Its tolerance is 2 %
    /// of the sum + 0.002.
    #[must_use]
    pub fn with_sum(mut self, oxides: &[Oxide], wanted_moles: f64) -> ChemistryDistance {
        let flux_sum = self.rows.pop();
        self.rows
            .retain(|row| !row.oxides.iter().any(|oxide| oxides.contains(oxide)));
        self.rows.push(Row {
            oxides: oxides.to_vec(),
            wanted_moles,
            tolerance_moles: summed_tolerance(wanted_moles),
        });
        self.rows.extend(flux_sum);
        self.target_rows = divided(&self.rows);
        self
    }

    /// With another sum of the fluxes wanted, in moles of the unity formula.
    #[must_use]
    pub fn with_flux_sum(mut self, wanted_moles: f64) -> ChemistryDistance {
        if let Some(row) = self.rows.last_mut() {
            row.wanted_moles = wanted_moles;
        }
        self.target_rows = divided(&self.rows);
        self
    }

    /// The target unity formula.
    pub fn target(&self) -> &OxideMoles {
        &self.target
    }

    /// The rows of some amounts, each over its tolerance.
    pub fn rows(&self, amounts: &OxideMoles) -> Vec<f64> {
        self.rows
            .iter()
            .map(|row| amounts.sum_of(&row.oxides) / row.tolerance_moles)
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

    /// The tolerance of an oxide's own row, in moles of the unity formula;
    /// `None` where it is held in a sum only.
    pub fn tolerance_moles(&self, oxide: Oxide) -> Option<f64> {
        self.rows
            .iter()
            .find(|row| row.is_of(oxide))
            .map(|row| row.tolerance_moles)
    }

    /// The tolerance that an oxide's own row would have around another amount of it.
    pub fn tolerance_for(&self, oxide: Oxide, moles: f64) -> f64 {
        match STAND_INS.iter().find(|class| class.contains(&oxide)) {
            Some(class) => {
                let others = self.target.sum_of(class) - self.target.get(oxide);
                0.10 * (others + moles) + 0.005
            }
            None => own_tolerance(oxide, moles),
        }
    }

    /// How far an oxide of a unity formula is from the target, in tolerances of
    /// its own row; 0 where it is held in a sum only.
    pub fn tolerances_off(&self, oxide: Oxide, unity: &OxideMoles) -> f64 {
        self.tolerance_moles(oxide)
            .map_or(0.0, |tolerance| (unity.get(oxide) - self.target.get(oxide)) / tolerance)
    }

    /// Oxides of a unity formula that miss the target by more than their own
    /// row's tolerance.
    pub fn missed(&self, unity: &OxideMoles) -> Vec<Oxide> {
        Oxide::ALL
            .into_iter()
            .filter(|&oxide| self.tolerances_off(oxide, unity).abs() > 1.0)
            .collect()
    }

    /// The oxide that is off by most of its own tolerances; `None` where nothing is off.
    pub fn most_off(&self, unity: &OxideMoles) -> Option<Oxide> {
        let off = |oxide: Oxide| self.tolerances_off(oxide, unity).abs();
        Oxide::ALL
            .into_iter()
            .filter(|&oxide| off(oxide) > 0.0)
            .max_by(|a, b| off(*a).total_cmp(&off(*b)))
    }
}

fn divided(rows: &[Row]) -> Vec<f64> {
    rows.iter().map(|row| row.wanted_moles / row.tolerance_moles).collect()
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
        OxideMoles::worked_out(pairs.iter().copied())
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

    #[test]
    fn a_trace_of_iron_or_titania_is_not_seen_and_a_trace_of_cobalt_is() {
        let with = |oxide, amount| moles(&[(Oxide::CaO, 1.0), (Oxide::SiO2, 4.0), (oxide, amount)]);
        let plain = ChemistryDistance::new(&with(Oxide::CaO, 0.0), &FluxList::default());
        // Common practice, no source: about 0.1 wt % of the fired glaze.
        for (oxide, tolerance) in [
            (Oxide::Fe2O3, 0.002),
            (Oxide::TiO2, 0.004),
            (Oxide::MnO, 0.004),
            (Oxide::P2O5, 0.003),
            (Oxide::ZrO2, 0.003),
            (Oxide::SnO2, 0.003),
            (Oxide::CoO, 0.0005),
            (Oxide::Cr2O3, 0.0005),
            (Oxide::MgO, 0.002),
        ] {
            assert_eq!(plain.tolerance_moles(oxide), Some(tolerance), "{oxide}");
            assert_eq!(plain.missed(&with(oxide, 1.01 * tolerance)), [oxide]);
            assert!(plain.missed(&with(oxide, 0.99 * tolerance)).is_empty(), "{oxide}");
        }
    }

    #[test]
    fn what_moves_most_is_counted_in_tolerances() {
        let target = moles(&[
            (Oxide::Na2O, 0.2),
            (Oxide::CaO, 0.8),
            (Oxide::SiO2, 4.0),
            (Oxide::Fe2O3, 0.001),
        ]);
        let distance = ChemistryDistance::new(&target, &FluxList::default());
        let mut moved = target.clone();
        moved.add_scaled(1.0, &moles(&[(Oxide::Na2O, 0.01), (Oxide::Fe2O3, 0.005)]));
        assert_eq!(
            distance.most_off(&moved),
            Some(Oxide::Fe2O3),
            "a third of the soda's, twelve times its own"
        );
    }

    #[test]
    fn a_sum_leaves_the_split_open() {
        let half = moles(&[
            (Oxide::K2O, 0.15),
            (Oxide::Na2O, 0.15),
            (Oxide::CaO, 0.7),
            (Oxide::SiO2, 4.0),
        ]);
        let soda = moles(&[(Oxide::Na2O, 0.3), (Oxide::CaO, 0.7), (Oxide::SiO2, 4.0)]);
        let distance = ChemistryDistance::new(&half, &FluxList::default());
        assert!(distance.distance(&soda) > 1.0);
        let summed = distance.with_sum(&[Oxide::K2O, Oxide::Na2O], 0.3);
        assert!(summed.distance(&soda) < 1e-9);
        assert!(summed.missed(&soda).is_empty());
    }
}
