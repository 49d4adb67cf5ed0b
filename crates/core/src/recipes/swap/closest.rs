//! The recipe nearest to a glaze whose material is gone.
//!
//! Grams x >= 0 of each allowed material give the moles y = M x; additions
//! held at a_k per cent of the base enter each base column as
//! M_j + sum a_k M_k / 100. The scale of x is free, so the least chemistry
//! distance is a non-negative least squares problem for each set of newcomers.

use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, Glaze, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};

use super::clay_band::{ClayBand, is_bentonite};
use super::columns::{Column, Problem, Role};
use super::question::{SwapQuestion, SwapTrouble, newcomers, target};
use super::sets::sets;
use super::ties::SameChemistry;
use glost_chemistry::distance::{ChemistryDistance, NOTICEABLE, distance_of_rows};

/// A newcomer nobody named brings at least this share of the base, or stays out.
const LEAST_SHARE: f64 = 0.005;
/// A share of the whole below which a named newcomer counts as unused.
const UNUSED_SHARE: f64 = 1e-9;

/// Curvature added so that twins have one answer, beside that of their rows.
const RIDGE: f64 = 1e-10;
/// A base below this part of the one without the band is none.
const NOTHING: f64 = 1e-3;

/// A recipe that was found.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The new recipe.
    pub glaze: Glaze,
    /// Its chemistry distance from the old one, in tolerances.
    pub distance: f64,
    /// The materials that the old recipe lacks.
    pub newcomers: Vec<Arc<Material>>,
}

/// Works out the nearest recipes, best first.
///
/// # Errors
/// See [`SwapTrouble`].
pub fn closest(question: &SwapQuestion<'_>) -> Result<Vec<Candidate>, SwapTrouble> {
    let yardstick = target(question)?;
    let newcomers = newcomers(question)?;
    let problem = Problem::new(question, &yardstick, newcomers);
    let band = problem.by_rule.then(|| ClayBand::around(question.glaze));
    let mut trials = Vec::new();
    let mut workspace = Workspace::default();
    for set in sets(problem.newcomers.len(), problem.by_rule, question.at_most)? {
        trials.extend(problem.solve(&set, &mut workspace)?);
    }
    let ranked = if problem.by_rule && question.show <= 1 {
        Vec::from_iter(problem.best(trials, band)?)
    } else {
        let mut found = Vec::new();
        for trial in trials {
            found.extend(problem.kept_to_the_band(trial, band)?);
        }
        found.retain(|trial| problem.may_be_proposed(trial));
        problem.rank(found, question.show)
    };
    let best: Vec<Candidate> = ranked
        .into_iter()
        .take(question.show.max(1))
        .map(|trial| {
            let near = problem.nearest_the_old(trial.clone());
            let kept = band.is_none_or(|band| !trial.in_band || problem.in_band(&near, band));
            problem.candidate(if kept { &near } else { &trial })
        })
        .collect();
    match best.first() {
        Some(first) if !problem.newcomers.is_empty() || first.distance <= NOTICEABLE => Ok(best),
        _ => Err(SwapTrouble::NothingToSwapTo),
    }
}

/// The same materials in new weights, nearest to a target unity formula, with
/// its distance; `None` where that can't be solved.
pub fn reweighed(glaze: &Glaze, target: &OxideMoles, fluxes: &FluxList) -> Option<(Glaze, f64)> {
    let yardstick = ChemistryDistance::new(target, fluxes);
    let problem = Problem::within(glaze, &[], &yardstick, false, Vec::new());
    let trial = problem.solve(&[], &mut Workspace::default()).ok()??;
    let candidate = problem.candidate(&problem.nearest_the_old(trial));
    Some((candidate.glaze, candidate.distance))
}

/// Amounts found for one set of newcomers.
#[derive(Clone)]
pub(super) struct Trial {
    /// The columns, as numbers among all columns.
    pub(super) columns: Vec<usize>,
    /// Grams of each.
    pub(super) amounts: Vec<f64>,
    /// Newcomers that are used.
    pub(super) used: Vec<usize>,
    pub(super) distance: f64,
    pub(super) clayless: bool,
    /// Raw clay in its band.
    pub(super) in_band: bool,
}

#[derive(Default)]
pub(super) struct Workspace {
    nnls: NnlsWorkspace,
    matrix: Vec<f64>,
    common: Vec<f64>,
}

impl Problem<'_> {
    /// The nearest recipe with exactly this set of newcomers to choose from.
    pub(super) fn solve(&self, set: &[usize], workspace: &mut Workspace) -> Result<Option<Trial>, SwapTrouble> {
        let columns: Vec<usize> = self
            .columns
            .iter()
            .enumerate()
            .filter(|(_, column)| column.newcomer.is_none_or(|newcomer| set.contains(&newcomer)))
            .map(|(index, _)| index)
            .collect();
        if !columns.iter().any(|&column| self.columns[column].role == Role::Base) {
            return Ok(None);
        }
        let least: Vec<f64> = columns
            .iter()
            .map(|&column| self.least_share(&self.columns[column]))
            .collect();
        let amounts = self.least_distance(&columns, &least, workspace)?;
        Ok(self.trial(columns, amounts))
    }

    fn least_share(&self, column: &Column) -> f64 {
        if self.by_rule && column.newcomer.is_some() && column.role == Role::Base {
            LEAST_SHARE
        } else {
            0.0
        }
    }

    /// Whether a newcomer that nobody named brings no more than the least: it would
    /// rather bring less, and stays out.
    pub(super) fn holds_a_trace(&self, trial: &Trial) -> bool {
        let total = self.base_total(&trial.columns, &trial.amounts);
        let mut amounts = trial.columns.iter().zip(&trial.amounts);
        amounts.any(|(&column, amount)| {
            let least = self.least_share(&self.columns[column]);
            least > 0.0 && *amount <= least * total * (1.0 + 1e-9)
        })
    }

    /// Amounts x >= 0 of least distance with x_j >= least_j * (sum of the base).
    ///
    /// Each base amount u_j brings the least shares along:
    /// x_i = least_i * sum(u) + (1 - sum(least)) * u_i, so that u >= 0 is all
    /// that is left to ask, and the problem stays non-negative least squares.
    fn least_distance(
        &self,
        columns: &[usize],
        least: &[f64],
        workspace: &mut Workspace,
    ) -> Result<Vec<f64>, SwapTrouble> {
        let free = 1.0 - least.iter().sum::<f64>();
        let Workspace { nnls, matrix, common } = workspace;
        common.clear();
        common.resize(self.target.len(), 0.0);
        for (&column, share) in columns.iter().zip(least).filter(|(_, share)| **share > 0.0) {
            for (sum, row) in common.iter_mut().zip(&self.columns[column].rows) {
                *sum += share * row;
            }
        }
        matrix.clear();
        for &column in columns {
            let Column { role, rows, .. } = &self.columns[column];
            match role {
                Role::Base => matrix.extend(rows.iter().zip(common.iter()).map(|(row, common)| free * row + common)),
                Role::Addition => matrix.extend(rows),
            }
        }
        let mut amounts = vec![0.0; columns.len()];
        nnls.solve_into(matrix, &self.target, None, &mut amounts)
            .map_err(|_| SwapTrouble::Unsolvable)?;
        let in_base = |column: usize| self.columns[column].role == Role::Base;
        let base: f64 = columns
            .iter()
            .zip(&amounts)
            .filter(|(column, _)| in_base(**column))
            .map(|(_, x)| x)
            .sum();
        for ((&column, x), share) in columns.iter().zip(&mut amounts).zip(least) {
            if in_base(column) {
                *x = share * base + free * *x;
            }
        }
        Ok(amounts)
    }

    pub(super) fn trial(&self, columns: Vec<usize>, amounts: Vec<f64>) -> Option<Trial> {
        let base = self.base_total(&columns, &amounts);
        let fluxed = |(&column, &amount): (&usize, &f64)| amount > 0.0 && self.columns[column].brings_flux;
        // Without flux there is no unity formula to set beside the old one.
        if base <= 0.0 || !columns.iter().zip(&amounts).any(fluxed) {
            return None;
        }
        let mut used: Vec<usize> = columns
            .iter()
            .zip(&amounts)
            .filter(|(_, amount)| **amount > UNUSED_SHARE * base)
            .filter_map(|(&column, _)| self.columns[column].newcomer)
            .collect();
        used.dedup();
        let mut mixed = vec![0.0; self.target.len()];
        for (&column, amount) in columns.iter().zip(&amounts) {
            for (sum, row) in mixed.iter_mut().zip(&self.columns[column].rows) {
                *sum += amount * row;
            }
        }
        let clay: f64 = columns
            .iter()
            .zip(&amounts)
            .map(|(&column, amount)| amount * self.columns[column].material.raw_clay_fraction)
            .sum();
        let held: f64 = self
            .held_additions
            .iter()
            .map(|held| held.percent * held.material.raw_clay_fraction)
            .sum();
        Some(Trial {
            distance: distance_of_rows(&mixed, &self.target),
            columns,
            amounts,
            used,
            clayless: clay + held <= 0.0,
            in_band: true,
        })
    }

    /// Parts of 100 of the base that are raw clay, and bentonite.
    fn clay_parts(&self, trial: &Trial) -> (f64, f64) {
        let total = self.base_total(&trial.columns, &trial.amounts);
        let base = trial
            .columns
            .iter()
            .zip(&trial.amounts)
            .map(|(&column, amount)| (&self.columns[column], amount));
        let mut parts = (0.0, 0.0);
        for (column, amount) in base.filter(|(column, _)| column.role == Role::Base) {
            parts.0 += 100.0 * amount / total * column.material.raw_clay_fraction;
            parts.1 += 100.0 * amount / total * f64::from(u8::from(is_bentonite(&column.material)));
        }
        parts
    }

    pub(super) fn in_band(&self, trial: &Trial, band: ClayBand) -> bool {
        let (clay, bentonite) = self.clay_parts(trial);
        band.holds(clay, bentonite)
    }

    /// The nearest amounts of the same columns whose raw clay keeps its band;
    /// `None` where none do.
    pub(super) fn within_band(&self, trial: &Trial, band: ClayBand) -> Result<Option<Trial>, SwapTrouble> {
        self.within_band_by(trial, band, RIDGE)
    }

    /// The same with a curvature of one's own: twins may want more of it.
    pub(super) fn within_band_by(
        &self,
        trial: &Trial,
        band: ClayBand,
        ridge: f64,
    ) -> Result<Option<Trial>, SwapTrouble> {
        let count = trial.columns.len();
        let own: Vec<&Column> = trial.columns.iter().map(|&column| &self.columns[column]).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let mut hessian = vec![0.0; count * count];
        for i in 0..count {
            for j in 0..count {
                hessian[i * count + j] = dot(&own[i].rows, &own[j].rows);
            }
            hessian[i * count + i] *= 1.0 + ridge;
            hessian[i * count + i] += ridge;
        }
        let linear: Vec<f64> = own.iter().map(|column| -dot(&column.rows, &self.target)).collect();
        let base = |column: &&Column| f64::from(u8::from(column.role == Role::Base));
        let clay = |column: &&Column| column.material.raw_clay_fraction * base(column);
        let bentonite = |column: &&Column| f64::from(u8::from(is_bentonite(&column.material))) * base(column);
        let mut rows: Vec<f64> = own
            .iter()
            .map(|c| clay(c) - band.least_parts / 100.0 * base(c))
            .collect();
        rows.extend(own.iter().map(|c| band.most_parts / 100.0 * base(c) - clay(c)));
        rows.extend(
            own.iter()
                .map(|c| band.most_bentonite_parts / 100.0 * base(c) - bentonite(c)),
        );
        for (index, column) in own.iter().enumerate() {
            let least = self.least_share(column);
            if least > 0.0 {
                let of_base = own.iter().map(|other| -least * base(other));
                rows.extend(
                    of_base
                        .enumerate()
                        .map(|(j, row)| if j == index { 1.0 + row } else { row }),
                );
            }
        }
        let limits = rows.len() / count;
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&hessian),
            linear: &linear,
            rows: &rows,
            row_lower: &vec![0.0; limits],
            row_upper: &vec![f64::INFINITY; limits],
            lower: &vec![0.0; count],
            upper: &vec![f64::INFINITY; count],
        };
        let outcome = QpWorkspace::new()
            .solve(&program)
            .map_err(|_| SwapTrouble::Unsolvable)?;
        let QpOutcome::Optimal(best) = outcome else {
            return Ok(None);
        };
        // Rows through the origin are met by nothing at all: that is no recipe.
        let some = self.base_total(&trial.columns, &best.x) > NOTHING * self.base_total(&trial.columns, &trial.amounts);
        let found = self.trial(trial.columns.clone(), best.x).filter(|_| some);
        Ok(found.filter(|found| self.in_band(found, band)))
    }

    fn base_total(&self, columns: &[usize], amounts: &[f64]) -> f64 {
        let in_base = |column: &usize| self.columns[*column].role == Role::Base;
        columns
            .iter()
            .zip(amounts)
            .filter(|(column, _)| in_base(column))
            .map(|(_, amount)| amount)
            .sum()
    }

    /// Where several weights give the fitted chemistry: those nearest to the old recipe.
    fn nearest_the_old(&self, trial: Trial) -> Trial {
        let kept = trial
            .columns
            .iter()
            .filter(|&&column| self.columns[column].newcomer.is_none())
            .count();
        let columns: Vec<&[f64]> = trial.columns[..kept]
            .iter()
            .map(|&column| self.columns[column].rows.as_slice())
            .collect();
        let Some(same) = SameChemistry::of(&columns, &trial.amounts[..kept]) else {
            return trial;
        };
        let total = self.base_total(&trial.columns, &trial.amounts);
        let wanted: Vec<f64> = trial.columns[..kept]
            .iter()
            .map(|&column| {
                let name = &self.columns[column].material.name;
                let old = self.glaze.base.iter().find(|portion| portion.material.name == *name);
                old.map_or(0.0, |portion| portion.percent / 100.0 * total)
            })
            .collect();
        match same.nearest(&wanted) {
            Some(mut amounts) => {
                amounts.extend(&trial.amounts[kept..]);
                Trial { amounts, ..trial }
            }
            None => trial,
        }
    }

    pub(super) fn candidate(&self, trial: &Trial) -> Candidate {
        let total = self.base_total(&trial.columns, &trial.amounts);
        let mut base = Vec::new();
        let mut additions = self.held_additions.clone();
        for (&column, amount) in trial.columns.iter().zip(&trial.amounts) {
            let Column {
                newcomer,
                material,
                role,
                ..
            } = &self.columns[column];
            if newcomer.is_some_and(|newcomer| !trial.used.contains(&newcomer)) {
                continue;
            }
            let portion = Portion {
                material: material.clone(),
                percent: 100.0 * amount / total,
            };
            match role {
                Role::Base => base.push(portion),
                Role::Addition => additions.push(portion),
            }
        }
        let base = self.in_the_old_order(base);
        Candidate {
            glaze: Glaze {
                base,
                additions,
                ..self.glaze.clone()
            },
            distance: trial.distance,
            newcomers: trial
                .used
                .iter()
                .map(|&newcomer| self.newcomers[newcomer].clone())
                .collect(),
        }
    }

    /// Newcomers stand where the missing material stood.
    fn in_the_old_order(&self, mut base: Vec<Portion>) -> Vec<Portion> {
        let gone = |portion: &Portion| self.out.iter().any(|out| out.name == portion.material.name);
        let kept = self.glaze.base.iter().filter(|portion| !gone(portion)).count();
        let place = self
            .glaze
            .base
            .iter()
            .take_while(|portion| !gone(portion))
            .count()
            .min(base.len());
        let newcomers = base.split_off(kept.min(base.len()));
        base.splice(place..place, newcomers);
        base
    }
}
