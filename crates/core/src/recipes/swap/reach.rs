//! A recipe for a target chemistry from chosen materials.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, GlazeNotes, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};

use super::clay_band::ClayBand;
use super::closest::{Candidate, Trial, Workspace};
use super::columns::{Problem, moles_per_gram};
use super::newcomers::{brings_fluorine, brings_unasked_by_target};
use super::question::SwapTrouble;
use glost_chemistry::distance::ChemistryDistance;

/// A target to be met.
#[derive(Debug, Clone)]
pub struct ReachQuestion<'a> {
    /// Distances from the target.
    pub distance: &'a ChemistryDistance,
    /// The materials to choose from.
    pub with: Vec<Arc<Material>>,
    /// How many of them at most.
    pub at_most: Option<usize>,
    /// How many proposals.
    pub show: usize,
    /// A name for the recipes.
    pub name: String,
}

/// Subsets tested before the search for a stated number of materials gives up
/// proving that nothing is better: some seconds.
const WORK_LIMIT: u64 = 20_000_000;
/// The same for further proposals that nobody limited: a fraction of a second.
const WORK_LIMIT_OF_NEXT: u64 = 400_000;

/// Materials in a recipe that nobody named at most (ours).
const MOST_BY_RULE: usize = 7;

/// The nearest recipes, best first. Materials of unknown analysis and those
/// that leave nothing are left out.
///
/// # Errors
/// No usable material, or numbers beyond what can be solved.
pub fn reach(question: &ReachQuestion<'_>) -> Result<Vec<Candidate>, SwapTrouble> {
    let usable = usable(&question.with)?;
    let yardstick = question.distance;
    let moles: Vec<OxideMoles> = usable.iter().map(|material| moles_per_gram(material)).collect();
    let matrix: Vec<f64> = moles.iter().flat_map(|moles| yardstick.rows(moles)).collect();
    let shown = |x: &[f64]| candidate(question, &usable, &moles, x);
    let mut found: Vec<Candidate> = Vec::new();
    let mut at_most = question.at_most.unwrap_or(usable.len()).min(usable.len());
    let mut work_limit = WORK_LIMIT;
    if question.at_most.is_none() {
        // With everything allowed one fit is best; what is next to it uses fewer.
        let best = NnlsWorkspace::new()
            .solve(&matrix, yardstick.target_rows())
            .map_err(|_| SwapTrouble::Unsolvable)?;
        let best = shown(&best.x);
        at_most = best.newcomers.len().saturating_sub(1);
        work_limit = WORK_LIMIT_OF_NEXT;
        found.extend((!best.newcomers.is_empty()).then_some(best));
    }
    while found.len() < question.show && at_most > 0 {
        let search = SubsetQuestion {
            free: 0,
            at_most,
            wanted: question.show,
            work_limit,
        };
        let answer = SubsetWorkspace::new()
            .solve(&matrix, yardstick.target_rows(), search)
            .map_err(|_| SwapTrouble::Unsolvable)?;
        for subset in &answer.best {
            let candidate = shown(&subset.x);
            let known = found.iter().any(|other| same_materials(other, &candidate));
            if !known && !candidate.newcomers.is_empty() {
                found.push(candidate);
            }
        }
        let used = answer.best.first().map_or(0, |best| best.members.len());
        if question.at_most.is_some() || used == 0 {
            break;
        }
        at_most = used - 1;
    }
    found.sort_by(|a, b| a.distance.total_cmp(&b.distance));
    found.truncate(question.show);
    if found.is_empty() {
        Err(SwapTrouble::NothingToSwapTo)
    } else {
        Ok(found)
    }
}

/// The nearest recipes by the rules for newcomers, where nobody is named: few
/// materials rather than many, raw clay in its band, nothing unasked brought.
/// `old` is the recipe that the target was taken from, where there is one.
///
/// # Errors
/// No usable material, or numbers beyond what can be solved.
pub fn reach_by_rule(question: &ReachQuestion<'_>, old: Option<&Glaze>) -> Result<Vec<Candidate>, SwapTrouble> {
    let materials: Vec<Arc<Material>> = usable(&question.with)?.into_iter().cloned().collect();
    let nothing = from_nothing(question, Vec::new());
    let band = old.map_or_else(ClayBand::usual, ClayBand::around);
    let problem = Problem::within(&nothing, &[], question.distance, true, materials);
    let largest = question.at_most.unwrap_or(MOST_BY_RULE).min(problem.newcomers.len());
    // Twins may leave the programme of the band without an answer: then it proposes nothing.
    let banded = |trial: &Trial| {
        let banded = problem.within_band(trial, band).unwrap_or(None);
        banded.filter(|banded| !problem.holds_a_trace(banded))
    };
    let mut found = Vec::new();
    let mut workspace = Workspace::default();
    for set in nearest_sets(&problem, question, largest)? {
        let Some(mut trial) = problem.solve(&set, &mut workspace)? else {
            continue;
        };
        trial.in_band = problem.in_band(&trial, band);
        if !trial.in_band && set.len() < largest {
            // One more material may keep the clay in its band.
            for more in (0..problem.newcomers.len()).filter(|more| !set.contains(more)) {
                let wider: Vec<usize> = set.iter().copied().chain([more]).collect();
                if let Some(wide) = problem.solve(&wider, &mut workspace)? {
                    found.extend(banded(&wide));
                }
            }
        }
        if !trial.in_band {
            found.extend(banded(&trial));
        }
        if !problem.holds_a_trace(&trial) {
            found.push(trial);
        }
    }
    found.retain(|trial| {
        let candidate = problem.candidate(trial);
        let (glaze, newcomers) = (&candidate.glaze, &candidate.newcomers);
        !brings_unasked_by_target(question.distance, glaze, newcomers) && !brings_fluorine(glaze, newcomers, &[])
    });
    let ranked = problem.rank(found, question.show);
    let ranked = ranked.iter().take(question.show);
    let best: Vec<Candidate> = ranked.map(|trial| most_first(problem.candidate(trial))).collect();
    if best.is_empty() {
        return Err(SwapTrouble::NothingToSwapTo);
    }
    Ok(best)
}

fn most_first(mut candidate: Candidate) -> Candidate {
    let base = &mut candidate.glaze.base;
    base.sort_by(|a, b| b.percent.total_cmp(&a.percent));
    candidate
}

/// The nearest sets of each size, as numbers of newcomers.
fn nearest_sets(
    problem: &Problem<'_>,
    question: &ReachQuestion<'_>,
    largest: usize,
) -> Result<Vec<Vec<usize>>, SwapTrouble> {
    let matrix: Vec<f64> = problem
        .columns
        .iter()
        .flat_map(|column| column.rows.iter().copied())
        .collect();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    let mut workspace = SubsetWorkspace::new();
    for at_most in 1..=largest {
        let search = SubsetQuestion {
            free: 0,
            at_most,
            wanted: question.show,
            work_limit: WORK_LIMIT_OF_NEXT,
        };
        let answer = workspace
            .solve(&matrix, &problem.target, search)
            .map_err(|_| SwapTrouble::Unsolvable)?;
        for subset in answer.best {
            if !sets.contains(&subset.members) {
                sets.push(subset.members);
            }
        }
    }
    Ok(sets)
}

fn usable(materials: &[Arc<Material>]) -> Result<Vec<&Arc<Material>>, SwapTrouble> {
    let leaves_some = |material: &&Arc<Material>| {
        let fired = material.fired.as_ref();
        fired.is_some_and(|fired| fired.oxides.total() > 0.0)
    };
    let usable: Vec<&Arc<Material>> = materials.iter().filter(leaves_some).collect();
    if usable.is_empty() {
        return Err(SwapTrouble::NothingToSwapTo);
    }
    Ok(usable)
}

fn from_nothing(question: &ReachQuestion<'_>, base: Vec<Portion>) -> Glaze {
    Glaze {
        name: question.name.clone(),
        base,
        additions: Vec::new(),
        about: GlazeNotes::default(),
        assumptions: Vec::new(),
    }
}

fn same_materials(a: &Candidate, b: &Candidate) -> bool {
    a.newcomers.len() == b.newcomers.len()
        && a.newcomers
            .iter()
            .all(|own| b.newcomers.iter().any(|other| other.name == own.name))
}

fn candidate(
    question: &ReachQuestion<'_>,
    usable: &[&Arc<Material>],
    moles: &[OxideMoles],
    amounts: &[f64],
) -> Candidate {
    let total: f64 = amounts.iter().sum();
    let mut base = Vec::new();
    let mut mixed = OxideMoles::ZERO;
    for ((material, moles), amount) in usable.iter().zip(moles).zip(amounts) {
        if *amount > 1e-12 * total {
            base.push(Portion {
                material: (*material).clone(),
                percent: 100.0 * amount / total,
            });
            mixed.add_scaled(*amount, moles);
        }
    }
    Candidate {
        distance: question.distance.distance(&mixed),
        newcomers: base.iter().map(|portion| portion.material.clone()).collect(),
        glaze: from_nothing(question, base),
    }
}
