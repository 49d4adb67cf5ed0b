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
/// By how much the tolerance of an oxide grows that nobody asked about.
const FREE_GIVES_WAY: f64 = 10.0;

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
    /// Oxides with how many moles a mole of each counts for.
    terms: Vec<(Oxide, f64)>,
    wanted_moles: f64,
    tolerance_moles: f64,
    /// Nobody asked about it: it draws towards nothing and makes no reading.
    free: bool,
}

impl Row {
    fn of(oxides: &[Oxide], wanted_moles: f64, tolerance_moles: f64) -> Row {
        Row {
            terms: oxides.iter().map(|&oxide| (oxide, 1.0)).collect(),
            wanted_moles,
            tolerance_moles,
            free: false,
        }
    }

    fn is_of(&self, oxide: Oxide) -> bool {
        matches!(self.terms.as_slice(), [(only, _)] if *only == oxide)
    }

    fn holds_only(&self, oxides: &[Oxide]) -> bool {
        self.terms.iter().all(|(oxide, _)| oxides.contains(oxide))
    }

    fn moles(&self, amounts: &OxideMoles) -> f64 {
        let terms = self.terms.iter();
        terms.map(|(oxide, weight)| weight * amounts.get(*oxide)).sum()
    }
}

/// A row of a distance with its figures, in moles of the unity formula.
#[derive(Debug, Clone, PartialEq)]
pub struct RowTold {
    /// The oxides that it adds up.
    pub oxides: Vec<Oxide>,
    /// What the target holds of them.
    pub wanted: f64,
    /// What these amounts hold.
    pub moles: f64,
    /// How much they may be off.
    pub tolerance: f64,
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
pub fn own_tolerance(oxide: Oxide, amount: f64) -> f64 {
    match oxide {
        Oxide::Fe2O3 => 0.05 * amount + 0.002,
        Oxide::TiO2 | Oxide::MnO => 0.05 * amount + 0.004,
        Oxide::P2O5 | Oxide::ZrO2 | Oxide::SnO2 => 0.05 * amount + 0.003,
        Oxide::CoO | Oxide::CuO | Oxide::Cr2O3 | Oxide::NiO | Oxide::V2O5 => 0.05 * amount + 0.0005,
        _ => summed_tolerance(amount),
    }
}

/// Tolerance of a sum of oxides that stand in for each other, in moles of the
/// unity formula (common practice, no source).
pub fn summed_tolerance(amount: f64) -> f64 {
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
            rows.push(Row::of(&[oxide], wanted_moles, tolerance_moles));
        }
        rows.extend(STAND_INS.map(|class| {
            let wanted_moles = target.sum_of(class);
            Row::of(class, wanted_moles, summed_tolerance(wanted_moles))
        }));
        // Iron that counts as FeO is part of the fluxes.
        let weighted = |oxide: Oxide| Some((oxide, fluxes.weight(oxide))).filter(|term| term.1 > 0.0);
        rows.push(Row {
            terms: Oxide::ALL.into_iter().filter_map(weighted).collect(),
            ..Row::of(&[], fluxes.moles(target), FLUX_SUM_TOLERANCE)
        });
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
            .retain(|row| !row.terms.iter().any(|(oxide, _)| oxides.contains(oxide)));
        self.rows
            .push(Row::of(oxides, wanted_moles, summed_tolerance(wanted_moles)));
        self.rows.extend(flux_sum);
        self.target_rows = divided(&self.rows);
        self
    }

    /// With these oxides free: the rows of nothing else have ten times their
    /// tolerance and make no reading.
    #[must_use]
    pub fn with_free(mut self, oxides: &[Oxide]) -> ChemistryDistance {
        for row in self.rows.iter_mut().filter(|row| row.holds_only(oxides)) {
            row.tolerance_moles *= FREE_GIVES_WAY;
            row.free = true;
        }
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

    /// Whether the target tells every oxide, none in a sum with others only.
    pub fn tells_all(&self) -> bool {
        Oxide::ALL
            .into_iter()
            .all(|oxide| self.tolerance_moles(oxide).is_some())
    }

    /// The target unity formula.
    pub fn target(&self) -> &OxideMoles {
        &self.target
    }

    /// The rows of some amounts, each over its tolerance.
    pub fn rows(&self, amounts: &OxideMoles) -> Vec<f64> {
        self.rows
            .iter()
            .map(|row| row.moles(amounts) / row.tolerance_moles)
            .collect()
    }

    /// Each row with its figures: the distance is the root of the sum of
    /// ((moles x scale - wanted) / tolerance) squared, at the scale that makes it least.
    pub fn told(&self, amounts: &OxideMoles) -> impl Iterator<Item = RowTold> {
        self.rows.iter().map(|row| RowTold {
            oxides: row.terms.iter().map(|term| term.0).collect(),
            wanted: row.wanted_moles,
            moles: row.moles(amounts),
            tolerance: row.tolerance_moles,
        })
    }

    /// Whether these amounts hold any flux.
    pub fn has_flux(&self, amounts: &OxideMoles) -> bool {
        self.rows.last().is_some_and(|fluxes| fluxes.moles(amounts) > 0.0)
    }

    /// The rows of the target.
    pub fn target_rows(&self) -> &[f64] {
        &self.target_rows
    }

    /// Distance of these amounts, at the scale that makes it least.
    pub fn distance(&self, amounts: &OxideMoles) -> f64 {
        distance_of_rows(&self.rows(amounts), &self.target_rows)
    }

    /// The distance that reads near, noticeable or far: of what was asked about
    /// alone, at the scale that makes it least.
    pub fn asked_distance(&self, amounts: &OxideMoles) -> f64 {
        if !self.rows.iter().any(|row| row.free) {
            return self.distance(amounts);
        }
        let asked = |rows: &[f64]| -> Vec<f64> {
            let both = rows.iter().zip(&self.rows).filter(|(_, row)| !row.free);
            both.map(|(value, _)| *value).collect()
        };
        distance_of_rows(&asked(&self.rows(amounts)), &asked(&self.target_rows))
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
    /// its own row; 0 where it is free, or held in a sum only.
    pub fn tolerances_off(&self, oxide: Oxide, unity: &OxideMoles) -> f64 {
        let own = self.rows.iter().find(|row| row.is_of(oxide) && !row.free);
        own.map_or(0.0, |row| (unity.get(oxide) - row.wanted_moles) / row.tolerance_moles)
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
mod tests;
