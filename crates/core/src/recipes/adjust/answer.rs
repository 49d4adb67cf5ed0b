//! What an adjustment answers: the recipe with what holds it back, or the clash
//! with the recipe that misses least.

use crate::recipes::aims::Quantity;
use glost_chemistry::distance::ChemistryDistance;
use glost_chemistry::oxides::Oxide;

use super::model_bound::{self, Confirmed, ModelBound};
use super::program::Program;
use super::question::{AdjustAnswer, AimChance, Binding, Miss, Problem, Surety, Unasked};
use super::rows::{Row, dot, value};
use super::sure::{self, Spread};
use super::trouble::AdjustTrouble;

/// A price below this is rounding.
const NO_PRICE: f64 = 1e-9;

/// The part by which an oxide that nobody asked about must move to be said
/// before all else (ours).
const MUCH: f64 = 0.1;

impl Problem<'_> {
    /// Oxides that no aim is about and that move by more than a tenth and more
    /// than their tolerance.
    fn unasked(&self, x: &[f64]) -> Vec<Unasked> {
        let Some(unity) = self.space.fluxes.unity(&self.space.moles(x)) else {
            return Vec::new();
        };
        let asked: Vec<Oxide> = self
            .aims
            .iter()
            .flat_map(|(_, aim)| aim.quantity.oxides(&self.space.fluxes))
            .collect();
        let distance = ChemistryDistance::new(&self.old_unity, &self.space.fluxes);
        Oxide::ALL
            .into_iter()
            .filter(|oxide| !asked.contains(oxide))
            .map(|oxide| Unasked {
                oxide,
                before_moles: self.old_unity.get(oxide),
                after_moles: unity.get(oxide),
            })
            .filter(|moved| (moved.after_moles - moved.before_moles).abs() > MUCH * moved.before_moles)
            .filter(|moved| distance.tolerances_off(moved.oxide, &unity).abs() > 1.0)
            .collect()
    }

    /// What holds the answer back: an aim that several rows bind has one price.
    fn binding(&self, found: &Confirmed) -> Vec<Binding> {
        let mut binding: Vec<Binding> = Vec::new();
        for (row, multiplier) in found.rows.iter().zip(&found.multipliers) {
            let price = multiplier.abs() * dot(&row.denominator, &found.x);
            let Some((_, aim)) = self.aims.get(row.aim).filter(|_| price > NO_PRICE) else {
                continue;
            };
            let quantity = aim.quantity.to_string();
            let same = |known: &&mut Binding| known.aim == aim.phrase && known.quantity == quantity;
            if let Some(known) = binding.iter_mut().find(same) {
                known.price += price;
                continue;
            }
            binding.push(Binding {
                aim: aim.phrase.clone(),
                bound: row.bound,
                price,
                per: format!("1 {} of {quantity}", aim.quantity.unit()).replace("1  of", "1 of"),
                quantity,
            });
        }
        binding
    }

    pub(super) fn possible(&self, found: Confirmed, certified: bool) -> AdjustAnswer {
        let binding = self.binding(&found);
        AdjustAnswer::Possible {
            glaze: Box::new(self.space.recipe(&found.x, self.question.glaze)),
            objective: found.objective,
            certified,
            binding,
            unasked: self.unasked(&found.x),
            sure: None,
        }
    }

    pub(super) fn impossible(
        &self,
        program: &Program<'_>,
        linear: &[Row],
        bounds: &[ModelBound],
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
            surest: None,
        })
    }

    /// The recipe whose aims hold with a chance, beside the one found without.
    pub(super) fn surely(
        &self,
        program: &Program<'_>,
        plain: &Confirmed,
        probability: f64,
    ) -> Result<AdjustAnswer, AdjustTrouble> {
        let spread = Spread::of(&self.space);
        let recipe = |x: &[f64]| self.space.recipe(x, self.question.glaze);
        match sure::surely(program, &plain.rows, &spread, probability)? {
            Err(surest) => Ok(AdjustAnswer::Impossible {
                // Below even odds the recipe that doesn't mind the sheets is the measure.
                surest: Some(if surest > 0.5 {
                    surest
                } else {
                    let chances = self.chances(&plain.rows, &spread, &plain.x, &plain.x);
                    chances.iter().fold(0.5, |least: f64, chance| least.min(chance.before))
                }),
                clash: self.phrases.clone(),
                other_clashes: 0,
                nearest: Some(Box::new(recipe(&plain.x))),
                misses: Vec::new(),
                certified: true,
            }),
            Ok(found) => Ok(AdjustAnswer::Possible {
                glaze: Box::new(recipe(&found.x)),
                objective: found.objective,
                certified: true,
                binding: Vec::new(),
                unasked: self.unasked(&found.x),
                sure: Some(Box::new(Surety {
                    asked: probability,
                    chances: self.chances(&plain.rows, &spread, &plain.x, &found.x),
                    without: recipe(&plain.x),
                    without_objective: plain.objective,
                    costliest: found.costliest,
                    unstated: spread.unstated,
                })),
            }),
        }
    }

    fn chances(&self, rows: &[Row], spread: &Spread, before: &[f64], after: &[f64]) -> Vec<AimChance> {
        let aims = self.aims.iter().enumerate();
        aims.map(|(number, (_, aim))| {
            let own: Vec<&Row> = rows.iter().filter(|row| row.aim == number).collect();
            AimChance {
                aim: aim.phrase.clone(),
                quantity: aim.quantity.to_string(),
                before: spread.chance(&own, before),
                after: spread.chance(&own, after),
            }
        })
        .collect()
    }

    /// An irreducible clash among these phrases; empty where they hold together.
    fn clash(
        &self,
        program: &Program<'_>,
        linear: &[Row],
        bounds: &[ModelBound],
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
            let asked: Vec<ModelBound> = bounds
                .iter()
                .filter(|bound| phrases.contains(&bound.phrase))
                .cloned()
                .collect();
            if asked.is_empty() {
                return Ok(program.solve(&own.iter().collect::<Vec<_>>())?.is_some());
            }
            Ok(model_bound::solve(program, &own, &asked)?.is_some())
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
        bounds: &[ModelBound],
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
            return Ok(model_bound::extreme(program, linear, first)?.map(|(_, x)| x));
        }
        Ok(program.nearest(linear)?)
    }

    fn misses(&self, program: &Program<'_>, linear: &[Row], bounds: &[ModelBound], x: &[f64]) -> Vec<Miss> {
        let mut misses = Vec::new();
        let mut note = |aim: usize, bound: f64, reached: f64| {
            if let Some((_, aim)) = self.aims.get(aim) {
                misses.push(Miss {
                    aim: aim.phrase.clone(),
                    quantity: aim.quantity.to_string(),
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
            if bound.off(program, x) > model_bound::MET
                && let Some(reached) = bound.model.value(&self.space.moles(x))
            {
                note(bound.aim, bound.bound, reached);
            }
        }
        misses
    }
}
