//! Bounds on what a model says, expansion or melt: smooth but not linear, with kinks.
//!
//! Successive linearisation in a trust region: at a point, the model's tangent
//! gives a linear row; the programme is solved with that row and limits on the
//! step; the step is taken if the model itself agrees. From several starts; the
//! best point that the model confirms wins. Not certified: the model is not convex.

use crate::recipes::aims::{Aim, MeltAim, Quantity};
use glost_chemistry::glass::{ExpansionModel, MeltShape, MeltTangent};
use glost_chemistry::oxides::{OXIDE_COUNT, OxideMoles};
use glost_solve::KernelError;

use super::program::{Bounds, Program, TOTAL};
use super::rows::{NO_OXIDE, Row, Side};
use super::space::Role;

const MOST_STEPS: usize = 60;
/// A bound is met when the model misses it by no more than this, 1e-6/K or log10 Pa s.
pub(crate) const MET: f64 = 1e-7;
/// Weight of a miss of one unit beside the objective, raised until the bound holds.
const FIRST_PENALTY: f64 = 10.0;

/// What is bounded.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Model {
    /// The default model's expansion, 1e-6/K.
    Expansion,
    /// log10 of the melt's viscosity in Pa s at a temperature.
    Melt(MeltAim),
}

/// A model's tangent: the mean of one factor per oxide, each mole counting by its weight.
struct Tangent {
    factors: [f64; OXIDE_COUNT],
    weights: [f64; OXIDE_COUNT],
}

impl Model {
    /// Of an aim's quantity; `None` for what no model tells.
    fn of(quantity: &Quantity) -> Option<Model> {
        match quantity {
            Quantity::Expansion => Some(Model::Expansion),
            Quantity::Melt(melt) => Some(Model::Melt(melt.clone())),
            _ => None,
        }
    }

    /// What it says; `None` where it says nothing.
    pub fn value(&self, moles: &OxideMoles) -> Option<f64> {
        match self {
            Model::Expansion => ExpansionModel::default().value(moles),
            Model::Melt(melt) => Some(MeltShape::of(&moles.without(&melt.left_out))?.power_at(melt.at)),
        }
    }

    fn tangent(&self, moles: &OxideMoles) -> Option<Tangent> {
        match self {
            Model::Expansion => {
                let line = ExpansionModel::default().linearise(moles)?;
                Some(Tangent {
                    factors: line.factors,
                    weights: line.weights,
                })
            }
            Model::Melt(melt) => {
                let mut line = MeltTangent::of(&moles.without(&melt.left_out), melt.at)?;
                for oxide in &melt.left_out {
                    line.weights[oxide.index()] = 0.0;
                }
                Some(Tangent {
                    factors: line.factors,
                    weights: line.weights,
                })
            }
        }
    }
}

/// A bound on what a model says.
#[derive(Debug, Clone)]
pub(crate) struct ModelBound {
    pub phrase: usize,
    pub aim: usize,
    pub side: Side,
    pub bound: f64,
    pub model: Model,
}

impl ModelBound {
    /// How far a point is off, in the model's unit: above 0 where it is missed.
    pub fn off(&self, program: &Program<'_>, x: &[f64]) -> f64 {
        match (self.model.value(&program.space.moles(x)), self.side) {
            (None, _) => f64::INFINITY,
            (Some(value), Side::Least) => self.bound - value,
            (Some(value), Side::Most) => value - self.bound,
        }
    }
}

/// The bounds that models tell among these aims, with their phrases.
pub(crate) fn bounds(aims: &[(usize, Aim)]) -> Vec<ModelBound> {
    let mut found = Vec::new();
    for (number, (phrase, aim)) in aims.iter().enumerate() {
        let Some(model) = Model::of(&aim.quantity) else {
            continue;
        };
        let bound = |side, bound| ModelBound {
            phrase: *phrase,
            aim: number,
            side,
            bound,
            model: model.clone(),
        };
        found.extend(aim.low.map(|low| bound(Side::Least, low)));
        found.extend(aim.high.map(|high| bound(Side::Most, high)));
    }
    found
}

/// How far the worst bound is missed, in its model's unit.
pub(crate) fn miss(program: &Program<'_>, bounds: &[ModelBound], x: &[f64]) -> f64 {
    bounds.iter().map(|bound| bound.off(program, x)).fold(0.0, f64::max)
}

/// The tangent at a point as a row; the bound is shifted so that the tangent,
/// not the model, is off by what the model curves away.
fn tangent(program: &Program<'_>, bound: &ModelBound, x: &[f64], shift: f64) -> Option<Row> {
    let line = bound.model.tangent(&program.space.moles(x))?;
    let moved = bound.bound + shift;
    let per_column = |of: &dyn Fn(usize) -> f64| -> Vec<f64> {
        let columns = program.space.columns.iter();
        columns
            .map(|column| {
                let moles = column.moles.as_slice().iter().enumerate();
                moles.map(|(oxide, moles)| moles * of(oxide)).sum()
            })
            .collect()
    };
    Some(Row {
        phrase: bound.phrase,
        aim: bound.aim,
        side: bound.side,
        bound: bound.bound,
        coefficients: per_column(&|oxide| line.weights[oxide] * (line.factors[oxide] - moved)),
        denominator: per_column(&|oxide| line.weights[oxide]),
        per_mole: NO_OXIDE,
    })
}

/// Limits on a step: |x - here| <= radius in units of each material's step.
fn trust_region(program: &Program<'_>, here: &[f64], radius: f64) -> Bounds {
    let reaches = || program.space.columns.iter().map(|column| radius * column.step());
    Bounds {
        lower: here
            .iter()
            .zip(reaches())
            .map(|(here, reach)| (here - reach).max(0.0))
            .collect(),
        upper: here.iter().zip(reaches()).map(|(here, reach)| here + reach).collect(),
    }
}

/// A confirmed point with the rows that were active where it ended.
#[derive(Debug, Clone)]
pub(crate) struct Confirmed {
    pub x: Vec<f64>,
    pub objective: f64,
    pub rows: Vec<Row>,
    pub multipliers: Vec<f64>,
}

/// The best point within linear rows and bounds on expansion that the model
/// confirms; `None` where none was found.
pub(crate) fn solve(
    program: &Program<'_>,
    linear: &[Row],
    bounds: &[ModelBound],
) -> Result<Option<Confirmed>, KernelError> {
    let mut best: Option<Confirmed> = None;
    for start in starts(program, linear)? {
        if let Some(found) = descend(program, linear, bounds, start)?
            && best.as_ref().is_none_or(|best| found.objective < best.objective - 1e-9)
        {
            best = Some(found);
        }
    }
    Ok(best)
}

/// The point without the bounds on expansion, the old recipe, and points on
/// the way from the first to each material alone.
fn starts(program: &Program<'_>, linear: &[Row]) -> Result<Vec<Vec<f64>>, KernelError> {
    let refs: Vec<&Row> = linear.iter().collect();
    let Some(free) = program.solve(&refs)? else {
        return Ok(Vec::new());
    };
    let count = program.space.columns.len();
    let mut starts = vec![free.x.clone()];
    for index in (0..count).filter(|&index| program.space.columns[index].role == Role::Base) {
        let mut towards: Vec<f64> = free.x.iter().map(|grams| 0.7 * grams).collect();
        towards[index] += 0.3 * TOTAL;
        starts.push(towards);
    }
    Ok(starts)
}

fn descend(
    program: &Program<'_>,
    linear: &[Row],
    bounds: &[ModelBound],
    start: Vec<f64>,
) -> Result<Option<Confirmed>, KernelError> {
    let mut here = start;
    let mut radius = 8.0;
    let mut penalty = FIRST_PENALTY;
    let linear_miss = |x: &[f64]| linear.iter().map(|row| Program::miss(row, x)).fold(0.0, f64::max);
    let mut shifts = vec![0.0; bounds.len()];
    let mut last = None;
    for _ in 0..MOST_STEPS {
        let tangents: Option<Vec<Row>> = bounds
            .iter()
            .zip(&shifts)
            .map(|(bound, shift)| tangent(program, bound, &here, *shift))
            .collect();
        let Some(tangents) = tangents else { return Ok(None) };
        let near = trust_region(program, &here, radius);
        let rows: Vec<&Row> = linear.iter().chain(&tangents).collect();
        let Some(point) = program.solve_within(&rows, &near)? else {
            // No point so near meets the tangents: look further.
            radius *= 2.0;
            if radius > 1e3 {
                return Ok(last);
            }
            continue;
        };
        // A miss must cost more than the bound's own price, or no step towards it is taken.
        let priced = rows.iter().zip(&point.multipliers);
        let dearest = priced.fold(0.0, |most: f64, (row, multiplier)| {
            most.max(
                multiplier.abs()
                    * row
                        .denominator
                        .iter()
                        .zip(&point.x)
                        .map(|(d, x)| d * x)
                        .sum::<f64>()
                        .abs(),
            )
        });
        penalty = penalty.max(2.0 * dearest);
        let weight = penalty;
        let merit = |x: &[f64]| program.objective(x) + weight * (miss(program, bounds, x) + 10.0 * linear_miss(x));
        let moved = here
            .iter()
            .zip(&point.x)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        let off = miss(program, bounds, &point.x);
        if off <= MET {
            let kept = linear.len() + tangents.len();
            let found = Confirmed {
                objective: point.objective,
                multipliers: point.multipliers[..kept].to_vec(),
                rows: linear.iter().chain(&tangents).cloned().collect(),
                x: point.x.clone(),
            };
            if last
                .as_ref()
                .is_none_or(|last: &Confirmed| found.objective < last.objective)
            {
                last = Some(found);
            }
            if moved < 1e-9 * TOTAL {
                return Ok(last);
            }
        }
        if moved < 1e-10 * TOTAL && off > MET {
            // Standing still a little outside: pull the tangent in by what is missed.
            for (shift, bound) in shifts.iter_mut().zip(bounds) {
                *shift += if bound.side == Side::Most {
                    -1.01 * off
                } else {
                    1.01 * off
                };
            }
            penalty *= 2.0;
        }
        if merit(&point.x) <= merit(&here) + 1e-12 || off <= MET || moved < 1e-6 {
            here = point.x;
            radius = (radius * 1.5).min(20.0);
        } else {
            radius *= 0.4;
            if radius < 1e-9 {
                return Ok(last);
            }
        }
    }
    Ok(last)
}

/// The least (or most) that a model says within linear rows, for telling how near
/// a bound can be come; found by the same descent.
pub(crate) fn extreme(
    program: &Program<'_>,
    linear: &[&Row],
    wanted: &ModelBound,
) -> Result<Option<(f64, Vec<f64>)>, KernelError> {
    let side = wanted.side;
    let told = |x: &[f64]| wanted.model.value(&program.space.moles(x));
    let Some(start) = program.solve(linear)? else {
        return Ok(None);
    };
    let better = |a: f64, b: f64| if side == Side::Most { a < b - 1e-9 } else { a > b + 1e-9 };
    let mut here = start.x;
    let Some(mut value) = told(&here) else {
        return Ok(None);
    };
    let mut reach = 4.0;
    for _ in 0..MOST_STEPS {
        let bound = ModelBound {
            bound: if side == Side::Most {
                value - reach
            } else {
                value + reach
            },
            ..wanted.clone()
        };
        let Some(row) = tangent(program, &bound, &here, 0.0) else {
            break;
        };
        let rows: Vec<&Row> = linear.iter().copied().chain(std::iter::once(&row)).collect();
        let next = program.solve(&rows)?.and_then(|point| Some((told(&point.x)?, point.x)));
        match next {
            Some((found, x)) if better(found, value) => {
                here = x;
                value = found;
            }
            _ => {
                reach *= 0.5;
                if reach < 1e-4 {
                    break;
                }
            }
        }
    }
    Ok(Some((value, here)))
}
