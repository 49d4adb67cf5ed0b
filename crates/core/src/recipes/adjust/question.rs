//! The least change of a recipe that meets stated aims, or why there is none.

use std::sync::Arc;

use crate::recipes::aims::{Aim, Phrase, Quantity, aims_of_limits};
use crate::rules::LimitSet;
use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{Additions, Analysis, FluxList, Glaze};
use glost_chemistry::material::Material;
use glost_solve::KernelError;

use super::distance::Distances;
use super::expansion::{self, Confirmed, ExpansionBound};
use super::program::{Least, Program};
use super::rows::{Row, Side, dot, rows, value};
use super::space::Space;

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
    },
}

/// Why there is no answer.
#[derive(Debug, Clone)]
pub enum AdjustTrouble {
    /// The recipe, or a newcomer, has an unknown analysis.
    UnknownAnalysis(Vec<String>),
    /// A cost is asked and this material has no price.
    NoPrice(String),
    /// No aim was given.
    NoAims,
    /// An aim is about a material that is neither in the recipe nor named to come in.
    NotThere(Diagnostic),
    /// A distance is asked from a glaze without flux.
    NoFlux,
    /// The numbers are beyond what can be solved.
    Unsolvable(KernelError),
}

impl From<KernelError> for AdjustTrouble {
    fn from(error: KernelError) -> AdjustTrouble {
        AdjustTrouble::Unsolvable(error)
    }
}

struct Problem<'a> {
    question: &'a AdjustQuestion<'a>,
    space: Space,
    phrases: Vec<String>,
    /// Each aim with the number of its phrase.
    aims: Vec<(usize, Aim)>,
    distances: Option<Distances>,
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
    };
    let mut linear: Vec<Row> = problem
        .aims
        .iter()
        .enumerate()
        .flat_map(|(number, (phrase, aim))| rows(number, *phrase, aim, &problem.space))
        .collect();
    let bounds = expansion::bounds(&problem.aims);
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
            expansion::solve(&program, &linear, &bounds)?
        };
        let Some(found) = found else {
            return problem.impossible(&program, &linear, &bounds);
        };
        let tangents = problem.tangents(&found.x);
        if tangents.is_empty() {
            return Ok(problem.possible(found, bounds.is_empty()));
        }
        linear.extend(tangents);
    }
    Err(AdjustTrouble::Unsolvable(KernelError::StepLimit(MOST_TANGENTS)))
}

impl<'a> Problem<'a> {
    fn new(question: &'a AdjustQuestion<'a>) -> Result<Problem<'a>, AdjustTrouble> {
        if question.aims.is_empty() && question.least == Least::Change {
            return Err(AdjustTrouble::NoAims);
        }
        let Some(space) = Space::new(question.glaze, &question.with, question.fluxes) else {
            let mut unknown: Vec<String> = question
                .glaze
                .unknown_materials()
                .into_iter()
                .map(str::to_owned)
                .collect();
            unknown.extend(
                question
                    .with
                    .iter()
                    .filter(|material| material.fired.is_none())
                    .map(|material| material.name.clone()),
            );
            return Err(AdjustTrouble::UnknownAnalysis(unknown));
        };
        let mut problem = Problem {
            question,
            space,
            phrases: Vec::new(),
            aims: Vec::new(),
            distances: None,
        };
        for asked in &question.aims {
            problem.take(asked)?;
        }
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
        Ok(problem)
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

    fn take(&mut self, asked: &Asked) -> Result<(), AdjustTrouble> {
        let number = self.phrases.len();
        let aims = match asked {
            Asked::Limits(phrase, set) => {
                self.phrases.push(phrase.clone());
                aims_of_limits(set, phrase)
            }
            Asked::Phrase(Phrase::Aim(aim)) => {
                self.phrases.push(aim.phrase.clone());
                vec![aim.clone()]
            }
            Asked::Phrase(Phrase::Keep(material)) => {
                let phrase = format!("keep {}", material.name);
                self.phrases.push(phrase.clone());
                let now = self
                    .space
                    .columns
                    .iter()
                    .find(|column| column.material.name == material.name);
                let low = now.map(|column| column.before).filter(|before| *before > 0.0);
                let Some(low) = low else {
                    let error = Diagnostic::error(
                        "not-in-recipe",
                        format!("there is no `{}` in the base to keep", material.name),
                    );
                    return Err(AdjustTrouble::NotThere(
                        error.help("keep holds a material of the base at its present share or above"),
                    ));
                };
                vec![Aim {
                    phrase,
                    quantity: Quantity::Share(material.clone()),
                    low: Some(low),
                    high: None,
                }]
            }
            Asked::Fit { phrase, low, high } => {
                self.phrases.push(phrase.clone());
                vec![Aim {
                    phrase: phrase.clone(),
                    quantity: Quantity::Expansion,
                    low: *low,
                    high: *high,
                }]
            }
            // Looked up by whoever asks.
            Asked::Phrase(Phrase::Limits(_) | Phrase::Fit { .. }) => Vec::new(),
        };
        for aim in aims {
            if let Quantity::Share(material) = &aim.quantity {
                let known = self
                    .space
                    .columns
                    .iter()
                    .any(|column| column.material.name == material.name);
                if !known && aim.low.is_some_and(|low| low > 0.0) {
                    let message = format!("`{}` is neither in the base nor named with --with", material.name);
                    return Err(AdjustTrouble::NotThere(
                        Diagnostic::error("not-in-recipe", message).help(format!("add --with \"{}\"", material.name)),
                    ));
                }
            }
            self.aims.push((number, aim));
        }
        Ok(())
    }

    fn possible(&self, found: Confirmed, certified: bool) -> AdjustAnswer {
        let mut binding = Vec::new();
        for (row, multiplier) in found.rows.iter().zip(&found.multipliers) {
            let price = multiplier.abs() * dot(&row.denominator, &found.x);
            if price <= 1e-9 {
                continue;
            }
            if let Some((_, aim)) = self.aims.get(row.aim) {
                binding.push(Binding {
                    aim: aim.phrase.clone(),
                    quantity: aim.quantity.name(),
                    bound: row.bound,
                    price,
                    per: format!("1 {} of {}", aim.quantity.unit(), aim.quantity.name()).replace("1  of", "1 of"),
                });
            }
        }
        AdjustAnswer::Possible {
            glaze: Box::new(self.space.recipe(&found.x, self.question.glaze)),
            objective: found.objective,
            certified,
            binding,
        }
    }

    fn impossible(
        &self,
        program: &Program<'_>,
        linear: &[Row],
        bounds: &[ExpansionBound],
    ) -> Result<AdjustAnswer, AdjustTrouble> {
        let certified = bounds.is_empty();
        let mut left: Vec<usize> = (0..self.phrases.len()).collect();
        let first = self.clash(program, linear, bounds, &left)?;
        let mut other_clashes = 0;
        let mut found = first.clone();
        while !found.is_empty() {
            left.retain(|phrase| !found.contains(phrase));
            found = self.clash(program, linear, bounds, &left)?;
            other_clashes += usize::from(!found.is_empty());
        }
        let refs: Vec<&Row> = linear.iter().collect();
        let nearest = self.nearest(program, &refs, bounds)?;
        let misses = nearest
            .as_ref()
            .map(|x| self.misses(program, linear, bounds, x))
            .unwrap_or_default();
        Ok(AdjustAnswer::Impossible {
            clash: first.into_iter().map(|phrase| self.phrases[phrase].clone()).collect(),
            other_clashes,
            nearest: nearest.map(|x| Box::new(self.space.recipe(&x, self.question.glaze))),
            misses,
            certified,
        })
    }

    /// An irreducible clash among these phrases; empty where they hold together.
    fn clash(
        &self,
        program: &Program<'_>,
        linear: &[Row],
        bounds: &[ExpansionBound],
        phrases: &[usize],
    ) -> Result<Vec<usize>, AdjustTrouble> {
        let among =
            |phrases: &[usize]| -> Vec<&Row> { linear.iter().filter(|row| phrases.contains(&row.phrase)).collect() };
        let by_lines = program.clash(&among(phrases))?;
        if !by_lines.is_empty() || bounds.is_empty() {
            return Ok(by_lines);
        }
        let holds = |phrases: &[usize]| -> Result<bool, AdjustTrouble> {
            let own: Vec<Row> = among(phrases).into_iter().cloned().collect();
            let asked: Vec<ExpansionBound> = bounds
                .iter()
                .filter(|bound| phrases.contains(&bound.phrase))
                .cloned()
                .collect();
            if asked.is_empty() {
                return Ok(program.solve(&own.iter().collect::<Vec<_>>())?.is_some());
            }
            Ok(expansion::solve(program, &own, &asked)?.is_some())
        };
        let mut suspects = phrases.to_vec();
        if holds(&suspects)? {
            return Ok(Vec::new());
        }
        let mut index = 0;
        while index < suspects.len() {
            let mut fewer = suspects.clone();
            fewer.remove(index);
            if holds(&fewer)? {
                index += 1;
            } else {
                suspects = fewer;
            }
        }
        Ok(suspects)
    }

    fn nearest(
        &self,
        program: &Program<'_>,
        linear: &[&Row],
        bounds: &[ExpansionBound],
    ) -> Result<Option<Vec<f64>>, AdjustTrouble> {
        if let Some(distances) = self.distances.as_ref().filter(|_| bounds.is_empty()) {
            // Within what else is asked, as near as can be.
            let others: Vec<&Row> = linear
                .iter()
                .copied()
                .filter(|row| !matches!(self.aims[row.aim].1.quantity, Quantity::Distance))
                .collect();
            if let Some(point) = distances.least(&others, &self.space)? {
                return Ok(Some(point.x));
            }
        }
        if let Some(first) = bounds.first()
            && program.solve(linear)?.is_some()
        {
            // The rest holds: go as far towards the expansion as it allows.
            return Ok(expansion::extreme(program, linear, first.side)?.map(|(_, x)| x));
        }
        Ok(program.nearest(linear)?)
    }

    fn misses(&self, program: &Program<'_>, linear: &[Row], bounds: &[ExpansionBound], x: &[f64]) -> Vec<Miss> {
        let mut misses = Vec::new();
        let mut note = |aim: usize, bound: f64, reached: f64| {
            if let Some((_, aim)) = self.aims.get(aim) {
                misses.push(Miss {
                    aim: aim.phrase.clone(),
                    quantity: aim.quantity.name(),
                    bound,
                    reached,
                });
            }
        };
        for row in linear {
            if Program::miss(row, x) > 1e-9
                && let Some(reached) = self
                    .aims
                    .get(row.aim)
                    .and_then(|(_, aim)| value(&aim.quantity, &self.space, x))
            {
                note(row.aim, row.bound, reached);
            }
        }
        for (number, (_, aim)) in self.aims.iter().enumerate() {
            let reached = self.distances.as_ref().map(|distances| distances.of(x));
            if let (Quantity::Distance, Some(most), Some(reached)) = (&aim.quantity, aim.high, reached)
                && reached > most * (1.0 + 1e-6)
            {
                note(number, most, reached);
            }
        }
        for bound in bounds {
            let Some(reached) = expansion::expansion(program, x) else {
                continue;
            };
            let missed = match bound.side {
                Side::Least => bound.bound - reached,
                Side::Most => reached - bound.bound,
            };
            if missed > expansion::MET {
                note(bound.aim, bound.bound, reached);
            }
        }
        misses
    }
}
