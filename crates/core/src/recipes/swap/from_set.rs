//! The recipe nearest to a glaze from a set of materials, whoever was in it before.
//!
//! The same least distance as a swap's, with every material free to come or go: a set
//! that holds another is never farther, which is what a search over sets lives on.

use std::sync::Arc;

use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::{Kind, Library, Material};

use glost_solve::cone::{self, Cone, ConeOutcome, ConeProgram};
use glost_solve::qp::Hessian;

use super::clay_band::{ClayBand, is_bentonite};
use super::closest::{Candidate, Trial, Workspace};
use super::columns::{Column, Problem};
use super::newcomers::{may_join, to_be_had};
use super::question::SwapTrouble;

/// A share of the base below which a material would rather stay out of a recipe.
const TRACE_SHARE: f64 = 0.005;

/// Grams that a unity formula weighs, about: it scales a programme, no answer.
const GRAMS_A_UNIT: f64 = 250.0;

/// Curvatures tried in turn where a programme of twins ends without an answer; the last
/// one moves a distance of 2 by less than a thousandth.
const RIDGES: [f64; 3] = [1e-10, 1e-8, 1e-6];

/// What a search over sets asks of one glaze, as often as it likes.
pub struct FromSet<'a> {
    problem: Problem<'a>,
    band: Option<ClayBand>,
    workspace: Workspace,
}

impl FromSet<'_> {
    /// Of `bare`, the old glaze with its additions and no base; the materials are those
    /// that sets are numbers of. With `clay_of`, raw clay stays in the band around that
    /// recipe's.
    pub fn new<'a>(
        bare: &'a Glaze,
        target: &ChemistryDistance,
        materials: Vec<Arc<Material>>,
        clay_of: Option<&Glaze>,
    ) -> FromSet<'a> {
        FromSet {
            problem: Problem::within(bare, &[], target, false, materials),
            band: clay_of.map(ClayBand::around),
            workspace: Workspace::default(),
        }
    }

    /// The members of a set that its nearest recipe uses, where that is at most `within`.
    ///
    /// # Errors
    /// Numbers beyond what can be solved.
    pub fn near(&mut self, set: &[usize], within: f64) -> Result<Option<Vec<usize>>, SwapTrouble> {
        Ok(self.trial(set, within)?.map(|trial| trial.used))
    }

    /// The least distance from a set, however far; `None` where it makes no recipe.
    ///
    /// # Errors
    /// As [`FromSet::near`].
    pub fn distance(&mut self, set: &[usize]) -> Result<Option<f64>, SwapTrouble> {
        Ok(self.trial(set, f64::INFINITY)?.map(|trial| trial.distance))
    }

    /// Materials of the set's complement that can't bring the recipe nearer, the raw clay
    /// left aside; nothing where the set alone is near enough without a band.
    ///
    /// At the optimum of a non-negative fit a column is of use only where it points along
    /// what is missing.
    ///
    /// # Errors
    /// As [`FromSet::near`].
    pub fn of_no_use(&mut self, set: &[usize], within: f64) -> Result<Vec<usize>, SwapTrouble> {
        let Some(trial) = self.problem.solve(set, &mut self.workspace)? else {
            return Ok(Vec::new());
        };
        if trial.distance <= within {
            return Ok(Vec::new());
        }
        Ok(self.problem.pointing_away(&trial))
    }

    /// The nearest recipe from a set, what would be a trace left out where it stays near.
    ///
    /// # Errors
    /// As [`FromSet::near`].
    pub fn recipe(&mut self, set: &[usize], within: f64) -> Result<Option<Candidate>, SwapTrouble> {
        let Some(mut trial) = self.trial(set, f64::INFINITY)? else {
            return Ok(None);
        };
        while let Some(least) = self.problem.least_of(&trial).filter(|(_, share)| *share < TRACE_SHARE) {
            let fewer: Vec<usize> = trial.used.iter().copied().filter(|used| *used != least.0).collect();
            match self.trial(&fewer, within.max(trial.distance))? {
                Some(other) => trial = other,
                None => break,
            }
        }
        Ok(Some(self.problem.candidate(&trial)))
    }

    /// The cheapest recipe that is near, from those of a set whose price is known; prices
    /// a kilogram, by number.
    ///
    /// With shares y of the base and their scale t the bound on the distance is a cone,
    /// `|A y - b t| <= within t`, and the cost is linear.
    ///
    /// # Errors
    /// As [`FromSet::near`].
    pub fn cheapest(
        &mut self,
        set: &[usize],
        within: f64,
        price_per_kg: &[Option<f64>],
    ) -> Result<Option<Candidate>, SwapTrouble> {
        let priced = |newcomer: &usize| price_per_kg.get(*newcomer).copied().flatten().is_some();
        let own: Vec<usize> = set.iter().copied().filter(priced).collect();
        let Some(first) = self.cheapest_of(&own, within, price_per_kg)? else {
            return Ok(None);
        };
        // An interior point leaves a trace of everything: once more without those.
        let total: f64 = first.amounts.iter().sum();
        let there = first.columns.iter().zip(&first.amounts);
        let there = there.filter(|(_, amount)| **amount >= TRACE_SHARE * total);
        let members: Vec<usize> = there
            .filter_map(|(&column, _)| self.problem.columns[column].newcomer)
            .collect();
        let again = self.cheapest_of(&members, within, price_per_kg)?;
        Ok(Some(self.problem.candidate(&again.unwrap_or(first))))
    }

    /// The same with whatever the programme leaves.
    fn cheapest_of(
        &mut self,
        set: &[usize],
        within: f64,
        price_per_kg: &[Option<f64>],
    ) -> Result<Option<Trial>, SwapTrouble> {
        let columns = self.problem.columns.iter().enumerate();
        let of_set = columns.filter(|(_, column)| column.newcomer.is_some_and(|newcomer| set.contains(&newcomer)));
        let columns: Vec<usize> = of_set.map(|(number, _)| number).collect();
        let prices: Vec<f64> = columns
            .iter()
            .filter_map(|&column| price_per_kg[self.problem.columns[column].newcomer?])
            .collect();
        let shares = self.problem.cheapest_shares(&columns, &prices, within, self.band)?;
        Ok(shares.and_then(|shares| self.problem.trial(columns, shares)))
    }

    fn trial(&mut self, set: &[usize], within: f64) -> Result<Option<Trial>, SwapTrouble> {
        let trial = self.problem.solve(set, &mut self.workspace)?;
        let Some(trial) = trial.filter(|trial| trial.distance <= within) else {
            return Ok(None);
        };
        match self.band {
            Some(band) if !self.problem.in_band(&trial, band) => {
                let tried = RIDGES
                    .iter()
                    .map(|&ridge| self.problem.within_band_by(&trial, band, ridge));
                let banded = tried.reduce(|known, next| if known.is_ok() { known } else { next });
                let banded = banded.unwrap_or(Ok(None))?;
                Ok(banded.filter(|banded| banded.distance <= within))
            }
            _ => Ok(Some(trial)),
        }
    }
}

impl Problem<'_> {
    /// Newcomers that a fit would not take: their columns point away from what it misses.
    fn pointing_away(&self, trial: &Trial) -> Vec<usize> {
        let mut missing = self.target.clone();
        for (&column, amount) in trial.columns.iter().zip(&trial.amounts) {
            for (row, of_column) in missing.iter_mut().zip(&self.columns[column].rows) {
                *row -= amount * of_column;
            }
        }
        let away = self.columns.iter().filter(|column| {
            let along: f64 = column.rows.iter().zip(&missing).map(|(row, miss)| row * miss).sum();
            along <= 0.0
        });
        away.filter_map(|column| column.newcomer).collect()
    }

    /// Shares of the base of least cost within a distance; `None` where there are none.
    fn cheapest_shares(
        &self,
        columns: &[usize],
        prices: &[f64],
        within: f64,
        band: Option<ClayBand>,
    ) -> Result<Option<Vec<f64>>, SwapTrouble> {
        let count = columns.len();
        let own: Vec<&Column> = columns.iter().map(|&column| &self.columns[column]).collect();
        let mut spread = Vec::with_capacity(self.target.len() * (count + 1));
        for (row, wanted) in self.target.iter().enumerate() {
            spread.extend(own.iter().map(|column| column.rows[row]));
            spread.push(-wanted / GRAMS_A_UNIT);
        }
        let mut scale_alone = vec![0.0; count + 1];
        scale_alone[count] = within * (1.0 - 1e-6) / GRAMS_A_UNIT;
        let mut cones = vec![Cone {
            linear: scale_alone,
            spread,
        }];
        if let Some(band) = band {
            let clay = |column: &&Column| column.material.raw_clay_fraction;
            let bentonite = |column: &&Column| f64::from(u8::from(is_bentonite(&column.material)));
            let clay: Vec<f64> = own.iter().map(clay).collect();
            let bentonite: Vec<f64> = own.iter().map(bentonite).collect();
            let bounds = [
                (&clay, 1.0, band.least_parts),
                (&clay, -1.0, band.most_parts),
                (&bentonite, -1.0, band.most_bentonite_parts),
            ];
            cones.extend(bounds.map(|(shares, sign, parts)| {
                let row = shares.iter().map(|share| sign * (share - parts / 100.0));
                Cone {
                    linear: row.chain([0.0]).collect(),
                    spread: Vec::new(),
                }
            }));
        }
        let dearest = prices.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let linear: Vec<f64> = prices.iter().map(|price| price / dearest).chain([0.0]).collect();
        let sum: Vec<f64> = (0..=count).map(|index| if index < count { 1.0 } else { 0.0 }).collect();
        let program = ConeProgram {
            hessian: Hessian::Diagonal(&vec![0.0; count + 1]),
            linear: &linear,
            equal_rows: &sum,
            equal_to: &[1.0],
            cones: &cones,
        };
        match cone::solve(&program).map_err(|_| SwapTrouble::Unsolvable)? {
            ConeOutcome::Optimal(mut found) => {
                found.truncate(count);
                found.iter_mut().for_each(|share| *share = share.max(0.0));
                Ok(Some(found))
            }
            ConeOutcome::Infeasible => Ok(None),
        }
    }

    /// The newcomer that a recipe holds least of, with its share of the base.
    fn least_of(&self, trial: &Trial) -> Option<(usize, f64)> {
        let total: f64 = trial.amounts.iter().sum();
        let columns = trial.columns.iter().zip(&trial.amounts);
        let used = columns.filter_map(|(&column, amount)| Some((self.columns[column].newcomer?, amount / total)));
        used.filter(|(newcomer, _)| trial.used.contains(newcomer))
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// Whether a material of the shelf may come into a glaze that hadn't it, unasked: no
/// hazard to handle, no colour, no fluoride, lithium only where there is some.
pub fn may_join_glaze(glaze: &Glaze, material: &Material) -> bool {
    let held = glaze.base.iter().any(|portion| portion.material.name == material.name);
    held || may_join(glaze, material)
}

/// Base materials of a studio's own shelf that are to be had, whoever uses them.
pub fn of_the_shelf(library: &Library) -> impl Iterator<Item = &Arc<Material>> {
    to_be_had(library, false)
}

/// Whether a material is one that recipes are worked out with: its chemistry known,
/// neither ready-made nor a gum.
pub fn counts_in_bases(material: &Material) -> bool {
    let leaves_some = material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0);
    leaves_some && !matches!(material.kind, Kind::Powder | Kind::Gum)
}
