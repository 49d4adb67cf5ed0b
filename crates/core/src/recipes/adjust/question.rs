//! The least change of a recipe that meets stated aims, or why there is none.

use std::sync::Arc;

use crate::recipes::aims::{Aim, Phrase, Quantity};
use crate::rules::LimitSet;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze, NoAnalysis};
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_solve::KernelError;

use super::change::LeastChange;
use super::distance::Distances;
use super::model_bound::{self, Confirmed};
use super::program::{Least, Program};
use super::rows::{Row, rows};
use super::space::{AdditionsAre, Space};
use super::taken;
use super::target::{self, Old};
use super::trouble::AdjustTrouble;

/// An aim as it was asked, ranges of a limit set already looked up.
#[derive(Debug, Clone)]
pub enum Asked {
    /// One aim or a material to keep.
    Phrase(Phrase),
    /// A limit set under the phrase that named it.
    Limits(String, LimitSet),
    /// Bounds on the expansion, 1e-6/K, that a clay's own pieces teach, under
    /// the phrase that named the clay.
    Fit {
        /// As typed.
        phrase: String,
        /// Below it pieces are likely to shiver.
        low: Option<f64>,
        /// Above it they are likely to craze.
        high: Option<f64>,
    },
}

/// An adjustment to be worked out.
#[derive(Debug, Clone)]
pub struct AdjustQuestion<'a> {
    /// The old recipe.
    pub glaze: &'a Glaze,
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// The aims in the order typed.
    pub aims: Vec<Asked>,
    /// Materials that may come in.
    pub with: Vec<Arc<Material>>,
    /// What is made least.
    pub least: Least,
    /// The glaze that distances are taken from; `None`: the old recipe itself.
    pub distance_from: Option<&'a Glaze>,
    /// The chance with which each aim must hold while the sheets vary, above 0.5
    /// and below 1; `None`: on the sheets as printed.
    pub sure: Option<f64>,
}

/// A bound that holds the answer back.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The aim as typed.
    pub aim: String,
    /// What it is about.
    pub quantity: String,
    /// The bound.
    pub bound: f64,
    /// How much the objective would fall for one unit of the bound given up.
    pub price: f64,
    /// The unit of the bound in words.
    pub per: String,
}

/// An oxide that moves though no aim is about it, in moles of the unity formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unasked {
    /// It.
    pub oxide: Oxide,
    /// In the old glaze.
    pub before_moles: f64,
    /// In the new one.
    pub after_moles: f64,
}

/// An aim beside what the nearest recipe reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Miss {
    /// The aim as typed.
    pub aim: String,
    /// What it is about.
    pub quantity: String,
    /// The bound that is missed.
    pub bound: f64,
    /// What the nearest recipe has: the least relaxation that would admit it.
    pub reached: f64,
}

/// The answer to an adjustment.
#[derive(Debug, Clone)]
pub enum AdjustAnswer {
    /// A recipe that meets every aim.
    Possible {
        /// The recipe, unrounded.
        glaze: Box<Glaze>,
        /// Change or cost, as asked.
        objective: f64,
        /// True where all aims are linear: no better recipe exists.
        certified: bool,
        /// The bounds that hold it back.
        binding: Vec<Binding>,
        /// Oxides that no aim is about and that move all the same: by more
        /// than a tenth and more than their tolerance.
        unasked: Vec<Unasked>,
        /// How sure it is, where that was asked.
        sure: Option<Box<Surety>>,
    },
    /// No recipe meets them all.
    Impossible {
        /// Aims as typed that can't hold together; none can be dropped.
        clash: Vec<String>,
        /// How many further clashes there are apart from this one.
        other_clashes: usize,
        /// The recipe that misses least.
        nearest: Option<Box<Glaze>>,
        /// What it misses.
        misses: Vec<Miss>,
        /// True where all aims are linear: the clash is proven.
        certified: bool,
        /// How sure one can be at most, where only the chance asked for is out of reach.
        surest: Option<f64>,
    },
}

/// How sure a recipe is, as far as the sheets go.
#[derive(Debug, Clone)]
pub struct Surety {
    /// The chance asked for.
    pub asked: f64,
    /// Each aim's chance.
    pub chances: Vec<AimChance>,
    /// The recipe that doesn't mind the sheets.
    pub without: Glaze,
    /// Its change or cost.
    pub without_objective: f64,
    /// The sheet whose tolerance costs most, with how far change or cost would
    /// fall were it exact.
    pub costliest: Option<(String, f64)>,
    /// Materials whose sheets state no tolerance: 1 % of each oxide was taken.
    pub unstated: Vec<String>,
}

/// The chance that one aim holds.
#[derive(Debug, Clone, PartialEq)]
pub struct AimChance {
    /// As typed.
    pub aim: String,
    /// What it is about.
    pub quantity: String,
    /// With the recipe that doesn't mind the sheets.
    pub before: f64,
    /// With the recipe that does.
    pub after: f64,
}

pub(super) struct Problem<'a> {
    pub(super) question: &'a AdjustQuestion<'a>,
    pub(super) space: Space,
    pub(super) phrases: Vec<String>,
    /// Each aim with the number of its phrase.
    pub(super) aims: Vec<(usize, Aim)>,
    pub(super) distances: Option<Distances>,
    pub(super) old_unity: OxideMoles,
    change: Option<LeastChange>,
}

/// Tangents after which the search gives up.
const MOST_TANGENTS: usize = 400;

/// Works an adjustment out.
///
/// # Errors
/// See [`AdjustTrouble`].
pub fn adjust(question: &AdjustQuestion<'_>) -> Result<AdjustAnswer, AdjustTrouble> {
    let problem = Problem::new(question)?;
    let program = Program {
        space: &problem.space,
        least: question.least,
        distances: problem.distances.as_ref(),
        change: problem.change.as_ref(),
    };
    let mut linear: Vec<Row> = problem
        .aims
        .iter()
        .enumerate()
        .flat_map(|(number, (phrase, aim))| rows(number, *phrase, aim, &problem.space))
        .collect();
    let bounds = model_bound::bounds(&problem.aims);
    for _ in 0..MOST_TANGENTS {
        let found = if bounds.is_empty() {
            let refs: Vec<&Row> = linear.iter().collect();
            program.solve(&refs)?.map(|point| Confirmed {
                x: point.x,
                objective: point.objective,
                rows: linear.clone(),
                multipliers: point.multipliers,
            })
        } else {
            model_bound::solve(&program, &linear, &bounds)?
        };
        let Some(found) = found else {
            return problem.impossible(&program, &linear, &bounds);
        };
        let tangents = problem.tangents(&found.x);
        if tangents.is_empty() {
            return match question.sure {
                Some(probability) => problem.surely(&program, &found, probability),
                None => Ok(problem.possible(found, bounds.is_empty())),
            };
        }
        linear.extend(tangents);
    }
    Err(AdjustTrouble::Unsolvable(KernelError::StepLimit(MOST_TANGENTS)))
}

impl<'a> Problem<'a> {
    fn new(question: &'a AdjustQuestion<'a>) -> Result<Problem<'a>, AdjustTrouble> {
        if question.aims.is_empty() && matches!(question.least, Least::Change | Least::Weights) {
            return Err(AdjustTrouble::NoAims);
        }
        let old = old_chemistry(question)?;
        let taken = taken::take(question, &old)?;
        let glaze = with_held_additions(question.glaze, &taken.aims, question.least.additions());
        let Some(space) = Space::new(&glaze, &question.with, question.fluxes, question.least.additions()) else {
            return Err(AdjustTrouble::UnknownAnalysis(unknown(question)));
        };
        let mut problem = Problem {
            question,
            space,
            phrases: taken.phrases,
            aims: taken.aims,
            distances: None,
            old_unity: old,
            change: None,
        };
        problem.check_aims()?;
        problem.check_chances()?;
        let costs = question.least == Least::Cost
            || problem
                .aims
                .iter()
                .any(|(_, aim)| matches!(aim.quantity, Quantity::Cost));
        if let Some(name) = problem.space.without_price.as_ref().filter(|_| costs) {
            return Err(AdjustTrouble::NoPrice(name.clone()));
        }
        let distances = question.least == Least::Distance
            || problem
                .aims
                .iter()
                .any(|(_, aim)| matches!(aim.quantity, Quantity::Distance));
        if distances {
            problem.distances = Some(problem.measured()?);
        }
        if question.least == Least::Change {
            let old = Old {
                glaze: question.glaze,
                unity: &problem.old_unity,
                fluxes: question.fluxes,
                with: &question.with,
                relaxed: taken.relaxed,
            };
            let target = target::heading_for(&old, &problem.aims, &problem.space);
            problem.change = Some(LeastChange::new(&problem.space, &target).ok_or(AdjustTrouble::NoFlux)?);
        }
        Ok(problem)
    }

    /// Every aim must be about something that is there.
    fn check_aims(&self) -> Result<(), AdjustTrouble> {
        for (phrase, aim) in &self.aims {
            if let Quantity::Share(materials) = &aim.quantity {
                taken::must_be_there(materials, aim, &self.space)?;
            }
            // A limit set's range may be out of reach: that is a clash, not a slip.
            let typed = !matches!(self.question.aims.get(*phrase), Some(Asked::Limits(..)));
            if typed {
                taken::must_be_brought(aim, &self.space)?;
            }
        }
        Ok(())
    }

    /// Chances are worked out for aims that are linear in the analyses.
    fn check_chances(&self) -> Result<(), AdjustTrouble> {
        let linear =
            |quantity: &Quantity| !matches!(quantity, Quantity::Expansion | Quantity::Melt(_) | Quantity::Distance);
        let odd = self.aims.iter().find(|(_, aim)| !linear(&aim.quantity));
        match odd.filter(|_| self.question.sure.is_some()) {
            Some((_, aim)) => Err(AdjustTrouble::NoChance(aim.phrase.clone())),
            None => Ok(()),
        }
    }

    fn measured(&self) -> Result<Distances, AdjustTrouble> {
        let from = self.question.distance_from.unwrap_or(self.question.glaze);
        let analysis = Analysis::of(from, self.question.fluxes, Additions::In).map_err(|_| AdjustTrouble::NoFlux)?;
        Distances::new(&analysis.moles, &self.space, self.question.fluxes).ok_or(AdjustTrouble::NoFlux)
    }

    /// Tangents for every bound on the distance that a point passes.
    fn tangents(&self, x: &[f64]) -> Vec<Row> {
        let Some(distances) = &self.distances else {
            return Vec::new();
        };
        self.aims
            .iter()
            .enumerate()
            .filter(|(_, (_, aim))| matches!(aim.quantity, Quantity::Distance))
            .filter_map(|(number, (phrase, aim))| distances.cut(*phrase, number, aim.high?, x))
            .collect()
    }
}

/// The old glaze's unity formula, which the change is counted from.
fn old_chemistry(question: &AdjustQuestion<'_>) -> Result<OxideMoles, AdjustTrouble> {
    let from = question.distance_from.unwrap_or(question.glaze);
    let analysis = Analysis::of(from, question.fluxes, Additions::In).map_err(|trouble| match trouble {
        NoAnalysis::Unknown(names) => AdjustTrouble::UnknownAnalysis(names),
        NoAnalysis::NothingLeft => AdjustTrouble::NoFlux,
    })?;
    analysis.unity.ok_or(AdjustTrouble::NoFlux)
}

fn unknown(question: &AdjustQuestion<'_>) -> Vec<String> {
    let base = question.glaze.base.iter().map(|portion| &portion.material);
    base.chain(&question.with)
        .filter(|material| material.fired.is_none())
        .map(|material| material.name.clone())
        .collect()
}

/// An addition that is held, as all are or as nobody tells what is in it, and that an aim is
/// about stands at the nearest per cent that the aim allows.
fn with_held_additions(glaze: &Glaze, aims: &[(usize, Aim)], additions: AdditionsAre) -> Glaze {
    let mut glaze = glaze.clone();
    for (_, aim) in aims {
        let Quantity::Share(materials) = &aim.quantity else {
            continue;
        };
        for addition in &mut glaze.additions {
            let only_here = !glaze
                .base
                .iter()
                .any(|portion| portion.material.name == addition.material.name);
            let is_held = additions == AdditionsAre::Held || addition.material.fired.is_none();
            if is_held && only_here && matches!(materials.as_slice(), [only] if only.name == addition.material.name) {
                addition.percent = target::nearest_allowed(aim, addition.percent);
            }
        }
    }
    glaze
}
