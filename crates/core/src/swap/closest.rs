//! The recipe nearest to a glaze whose material is gone.
//!
//! Grams x >= 0 of each allowed material give the moles y = M x; additions
//! held at a_k per cent of the base enter each base column as
//! M_j + sum a_k M_k / 100. The scale of x is free, so the least chemistry
//! distance is a non-negative least squares problem for each set of newcomers.

use std::sync::Arc;

use crate::chemistry::OxideMoles;
use crate::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis, Portion};
use crate::material::{Library, Material};
use crate::solve::nnls::NnlsWorkspace;

use super::newcomers::allowed;
use super::yardstick::Yardstick;

/// What one more newcomer costs, in tolerances of distance, when nobody is named.
const PRICE_OF_A_NEWCOMER: f64 = 0.5;
/// A newcomer nobody named brings at least this share of the base, or stays out.
const LEAST_SHARE: f64 = 0.005;
/// How many newcomers come in when nobody is named and nothing else is said.
const USUAL_AT_MOST: usize = 2;
/// Named newcomers up to which every combination is tried.
const NAMED_IN_ALL_COMBINATIONS: usize = 10;
/// A share of the whole below which a named newcomer counts as unused.
const UNUSED_SHARE: f64 = 1e-9;

/// A swap to be worked out.
#[derive(Debug, Clone)]
pub struct SwapQuestion<'a> {
    /// The old recipe.
    pub glaze: &'a Glaze,
    /// All materials in sight.
    pub library: &'a Library,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// The materials that are gone.
    pub out: Vec<Arc<Material>>,
    /// The only newcomers allowed; empty: by rule.
    pub with: Vec<Arc<Material>>,
    /// How many newcomers at most; `None`: 2 by rule, no limit where they are named.
    pub at_most: Option<usize>,
    /// How many proposals.
    pub show: usize,
    /// Whether shipped materials may come in (only where there is no studio).
    pub shipped_may_come: bool,
}

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

/// Why there is no swap to work out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SwapTrouble {
    /// The recipe doesn't hold this material.
    NotInRecipe(String),
    /// These materials' analyses are unknown.
    UnknownAnalysis(Vec<String>),
    /// The glaze has no flux: its unity formula is undefined.
    NoFlux,
    /// Nothing is to be had that could come in.
    NothingToSwapTo,
    /// A named newcomer is itself gone, or already in the recipe.
    NotANewcomer(String),
    /// The numbers are beyond what can be solved.
    Unsolvable,
}

/// Works out the nearest recipes, best first.
///
/// # Errors
/// See [`SwapTrouble`].
pub fn closest(question: &SwapQuestion<'_>) -> Result<Vec<Candidate>, SwapTrouble> {
    let yardstick = target(question)?;
    let newcomers = newcomers(question)?;
    let problem = Problem::new(question, &yardstick, newcomers);
    let mut found = Vec::new();
    let mut workspace = NnlsWorkspace::new();
    for set in problem.sets(question) {
        if let Some(candidate) = problem.solve(&set, &mut workspace)? {
            found.push(candidate);
        }
    }
    let mut ranked = rank(question, found);
    ranked.truncate(question.show.max(1));
    if ranked.is_empty() || (problem.newcomers.is_empty() && ranked[0].distance > super::NOTICEABLE) {
        return Err(SwapTrouble::NothingToSwapTo);
    }
    Ok(ranked)
}

/// The old recipe with one material taken for another, weight for weight.
pub fn one_for_one(glaze: &Glaze, out: &Material, with: &Arc<Material>) -> Glaze {
    let replaced = |portions: &[Portion]| -> Vec<Portion> {
        let mut new: Vec<Portion> = Vec::new();
        for portion in portions {
            let material = if portion.material.name == out.name {
                with
            } else {
                &portion.material
            };
            match new.iter_mut().find(|other| other.material.name == material.name) {
                Some(same) => same.percent += portion.percent,
                None => new.push(Portion {
                    material: material.clone(),
                    percent: portion.percent,
                }),
            }
        }
        new
    };
    Glaze {
        base: replaced(&glaze.base),
        additions: replaced(&glaze.additions),
        ..glaze.clone()
    }
}

fn target(question: &SwapQuestion<'_>) -> Result<Yardstick, SwapTrouble> {
    for out in &question.out {
        if !question.glaze.holds(out) {
            return Err(SwapTrouble::NotInRecipe(out.name.clone()));
        }
    }
    let analysis = Analysis::of(question.glaze, question.fluxes, Additions::In).map_err(|trouble| match trouble {
        NoAnalysis::Unknown(names) => SwapTrouble::UnknownAnalysis(names),
        NoAnalysis::NothingLeft => SwapTrouble::NoFlux,
    })?;
    let unity = analysis.unity.ok_or(SwapTrouble::NoFlux)?;
    Ok(Yardstick::new(&unity, question.fluxes))
}

fn newcomers(question: &SwapQuestion<'_>) -> Result<Vec<Arc<Material>>, SwapTrouble> {
    if question.with.is_empty() {
        return Ok(allowed(
            question.glaze,
            &question.out,
            question.library,
            question.shipped_may_come,
        ));
    }
    let mut named: Vec<Arc<Material>> = Vec::new();
    for material in &question.with {
        if material.fired.is_none() {
            return Err(SwapTrouble::UnknownAnalysis(vec![material.name.clone()]));
        }
        if question.out.iter().any(|out| out.name == material.name) {
            return Err(SwapTrouble::NotANewcomer(material.name.clone()));
        }
        // What stays of the old recipe may come in anyway.
        if !question.glaze.holds(material) && !named.iter().any(|known| known.name == material.name) {
            named.push(material.clone());
        }
    }
    Ok(named)
}

/// Where a column's amount goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Base,
    Addition,
}

/// The columns of one question.
struct Problem<'a> {
    glaze: &'a Glaze,
    out: &'a [Arc<Material>],
    yardstick: &'a Yardstick,
    by_rule: bool,
    kept: Vec<Arc<Material>>,
    held_additions: Vec<Portion>,
    newcomers: Vec<Arc<Material>>,
    roles: Vec<Role>,
}

impl<'a> Problem<'a> {
    fn new(question: &'a SwapQuestion<'_>, yardstick: &'a Yardstick, newcomers: Vec<Arc<Material>>) -> Problem<'a> {
        let gone = |portion: &&Portion| question.out.iter().any(|out| out.name == portion.material.name);
        let stays = |portion: &&Portion| !gone(portion);
        let glaze = question.glaze;
        let mut roles = Vec::new();
        if glaze.base.iter().any(|portion| gone(&portion)) {
            roles.push(Role::Base);
        }
        if glaze
            .additions
            .iter()
            .any(|portion| gone(&portion) && portion.percent > 0.0)
        {
            roles.push(Role::Addition);
        }
        Problem {
            glaze,
            out: &question.out,
            yardstick,
            by_rule: question.with.is_empty(),
            kept: glaze
                .base
                .iter()
                .filter(stays)
                .map(|portion| portion.material.clone())
                .collect(),
            held_additions: glaze.additions.iter().filter(stays).cloned().collect(),
            newcomers,
            roles,
        }
    }

    /// The sets of newcomers to try, as indices.
    fn sets(&self, question: &SwapQuestion<'_>) -> Vec<Vec<usize>> {
        let count = self.newcomers.len();
        let at_most = question
            .at_most
            .unwrap_or(if self.by_rule { USUAL_AT_MOST } else { count });
        let all_combinations = !self.by_rule && count <= NAMED_IN_ALL_COMBINATIONS;
        let largest = if all_combinations {
            at_most.min(count)
        } else {
            at_most.min(USUAL_AT_MOST).min(count)
        };
        let mut sets: Vec<Vec<usize>> = vec![Vec::new()];
        let mut start = 0;
        for size in 1..=largest {
            let end = sets.len();
            for index in start..end {
                let first = sets[index].last().map_or(0, |last| last + 1);
                for next in first..count {
                    let mut set = sets[index].clone();
                    set.push(next);
                    sets.push(set);
                }
            }
            start = end;
            debug_assert!(sets[start..].iter().all(|set| set.len() == size));
        }
        if at_most >= count && largest < count {
            sets.push((0..count).collect());
        }
        sets
    }

    /// Moles per gram of base for a material, held additions included.
    fn base_column(&self, material: &Material) -> OxideMoles {
        let mut moles = moles_per_gram(material);
        for addition in &self.held_additions {
            moles.add_scaled(addition.percent / 100.0, &moles_per_gram(&addition.material));
        }
        moles
    }

    fn solve(&self, set: &[usize], workspace: &mut NnlsWorkspace) -> Result<Option<Candidate>, SwapTrouble> {
        let mut columns: Vec<(Arc<Material>, Role, OxideMoles)> = Vec::new();
        for material in &self.kept {
            columns.push((material.clone(), Role::Base, self.base_column(material)));
        }
        for &index in set {
            let material = &self.newcomers[index];
            for &role in &self.roles {
                let moles = match role {
                    Role::Base => self.base_column(material),
                    Role::Addition => moles_per_gram(material),
                };
                columns.push((material.clone(), role, moles));
            }
        }
        if !columns.iter().any(|column| column.1 == Role::Base) {
            return Ok(None);
        }
        let least = self.least_shares(&columns);
        let amounts = self.least_distance(&columns, &least, workspace)?;
        Ok(self.candidate(&columns, &amounts))
    }

    /// The least share of the base for each column.
    fn least_shares(&self, columns: &[(Arc<Material>, Role, OxideMoles)]) -> Vec<f64> {
        columns
            .iter()
            .enumerate()
            .map(|(index, (_, role, _))| {
                let newcomer = index >= self.kept.len();
                if self.by_rule && newcomer && *role == Role::Base {
                    LEAST_SHARE
                } else {
                    0.0
                }
            })
            .collect()
    }

    /// Amounts x >= 0 of least distance with x_j >= least_j * (sum of the base).
    ///
    /// Each base amount u_j brings the least shares along:
    /// x_i = least_i * sum(u) + (1 - sum(least)) * u_i, so that u >= 0 is all
    /// that is left to ask, and the problem stays non-negative least squares.
    fn least_distance(
        &self,
        columns: &[(Arc<Material>, Role, OxideMoles)],
        least: &[f64],
        workspace: &mut NnlsWorkspace,
    ) -> Result<Vec<f64>, SwapTrouble> {
        let free = 1.0 - least.iter().sum::<f64>();
        let mut common = OxideMoles::ZERO;
        for (column, share) in columns.iter().zip(least) {
            common.add_scaled(*share, &column.2);
        }
        let mut matrix = Vec::new();
        for (_, role, moles) in columns {
            match role {
                Role::Base => {
                    let mut mixed = moles.scaled(free);
                    mixed.add_scaled(1.0, &common);
                    matrix.extend(self.yardstick.rows(&mixed));
                }
                Role::Addition => matrix.extend(self.yardstick.rows(moles)),
            }
        }
        let solution = workspace
            .solve(&matrix, self.yardstick.target_rows())
            .map_err(|_| SwapTrouble::Unsolvable)?;
        let base: f64 = columns
            .iter()
            .zip(&solution.x)
            .filter(|(column, _)| column.1 == Role::Base)
            .map(|(_, x)| x)
            .sum();
        Ok(columns
            .iter()
            .zip(&solution.x)
            .zip(least)
            .map(|(((_, role, _), x), share)| {
                if *role == Role::Base {
                    share * base + free * x
                } else {
                    *x
                }
            })
            .collect())
    }

    fn candidate(&self, columns: &[(Arc<Material>, Role, OxideMoles)], amounts: &[f64]) -> Option<Candidate> {
        let base_total: f64 = columns
            .iter()
            .zip(amounts)
            .filter(|(column, _)| column.1 == Role::Base)
            .map(|(_, x)| x)
            .sum();
        if base_total <= 0.0 {
            return None;
        }
        let mut moles = OxideMoles::ZERO;
        let mut base = Vec::new();
        let mut additions = self.held_additions.clone();
        let mut newcomers: Vec<Arc<Material>> = Vec::new();
        for (index, ((material, role, column), amount)) in columns.iter().zip(amounts).enumerate() {
            let percent = 100.0 * amount / base_total;
            moles.add_scaled(amount / base_total, column);
            let newcomer = index >= self.kept.len();
            if newcomer && percent <= 100.0 * UNUSED_SHARE {
                continue;
            }
            if newcomer && !newcomers.iter().any(|known| known.name == material.name) {
                newcomers.push(material.clone());
            }
            let portion = Portion {
                material: material.clone(),
                percent,
            };
            match role {
                Role::Base => base.push(portion),
                Role::Addition => additions.push(portion),
            }
        }
        let base = self.in_the_old_order(base);
        let glaze = Glaze {
            base,
            additions,
            ..self.glaze.clone()
        };
        Some(Candidate {
            glaze,
            distance: self.yardstick.distance(&moles),
            newcomers,
        })
    }

    /// Newcomers stand where the missing material stood.
    fn in_the_old_order(&self, mut base: Vec<Portion>) -> Vec<Portion> {
        let place = self
            .glaze
            .base
            .iter()
            .take_while(|portion| !self.out.iter().any(|out| out.name == portion.material.name))
            .count();
        let newcomers = base.split_off(self.kept.len().min(base.len()));
        let place = place.min(base.len());
        base.splice(place..place, newcomers);
        base
    }
}

fn moles_per_gram(material: &Material) -> OxideMoles {
    material
        .fired
        .as_ref()
        .map_or(OxideMoles::ZERO, |fired| fired.oxides.to_moles().scaled(0.01))
}

/// Best first; one for each set of newcomers; none that a smaller set beats.
fn rank(question: &SwapQuestion<'_>, found: Vec<Candidate>) -> Vec<Candidate> {
    let by_rule = question.with.is_empty();
    let price = if by_rule { PRICE_OF_A_NEWCOMER } else { 0.0 };
    let score = |candidate: &Candidate| candidate.distance + price * candidate.newcomers.len() as f64;
    let clay_missing = question.out.iter().any(|out| out.raw_clay_fraction > 0.0);
    let clayless = |candidate: &Candidate| by_rule && clay_missing && candidate.glaze.raw_clay_percent() <= 0.0;
    let mut sorted = found;
    sorted.sort_by(|a, b| clayless(a).cmp(&clayless(b)).then(score(a).total_cmp(&score(b))));
    let mut kept: Vec<Candidate> = Vec::new();
    for candidate in sorted {
        let beaten = kept.iter().any(|better| {
            better
                .newcomers
                .iter()
                .all(|newcomer| candidate.newcomers.iter().any(|other| other.name == newcomer.name))
        });
        if !beaten {
            kept.push(candidate);
        }
    }
    kept
}
