//! A recipe for a target chemistry from chosen materials.

use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, Glaze, GlazeNotes, Portion};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::OxideMoles;
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};

use super::closest::Candidate;
use super::question::SwapTrouble;
use glost_chemistry::distance::ChemistryDistance;

/// A target to be met.
#[derive(Debug, Clone)]
pub struct MatchQuestion<'a> {
    /// The target unity formula.
    pub target: &'a OxideMoles,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
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

/// The nearest recipes, best first. Materials of unknown analysis and those
/// that leave nothing are left out.
///
/// # Errors
/// No usable material, or numbers beyond what can be solved.
pub fn match_target(question: &MatchQuestion<'_>) -> Result<Vec<Candidate>, SwapTrouble> {
    let usable: Vec<&Arc<Material>> = question
        .with
        .iter()
        .filter(|material| material.fired.as_ref().is_some_and(|fired| fired.oxides.total() > 0.0))
        .collect();
    if usable.is_empty() {
        return Err(SwapTrouble::NothingToSwapTo);
    }
    let yardstick = ChemistryDistance::new(question.target, question.fluxes);
    let moles: Vec<OxideMoles> = usable
        .iter()
        .map(|material| {
            material
                .fired
                .as_ref()
                .map_or(OxideMoles::ZERO, |fired| fired.oxides.to_moles().scaled(0.01))
        })
        .collect();
    let matrix: Vec<f64> = moles.iter().flat_map(|moles| yardstick.rows(moles)).collect();
    let shown = |x: &[f64]| candidate(question, &usable, &moles, &yardstick, x);
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

fn same_materials(a: &Candidate, b: &Candidate) -> bool {
    a.newcomers.len() == b.newcomers.len()
        && a.newcomers
            .iter()
            .all(|own| b.newcomers.iter().any(|other| other.name == own.name))
}

fn candidate(
    question: &MatchQuestion<'_>,
    usable: &[&Arc<Material>],
    moles: &[OxideMoles],
    yardstick: &ChemistryDistance,
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
        distance: yardstick.distance(&mixed),
        newcomers: base.iter().map(|portion| portion.material.clone()).collect(),
        glaze: Glaze {
            name: question.name.clone(),
            base,
            additions: Vec::new(),
            about: GlazeNotes::default(),
            assumptions: Vec::new(),
        },
    }
}
