//! Aims that hold with a stated chance, as far as the sheets go.
//!
//! Every line of a sheet is off by its tolerance: one standard deviation, normal,
//! independent. An aim `c(a) . x >= 0`, linear in the analyses a, then holds with the
//! chance p where `mean >= z(p) sqrt(sum over lines (dc/da sd x)^2)`: a second-order
//! cone. A material without any tolerance is taken to be off by 1 % of each oxide.
//! Firing, coat and grind are not in it.

use glost_chemistry::material::Deviation;
use glost_solve::cone::{Cone, ConeOutcome, ConeProgram, solve};
use glost_solve::normal;
use glost_solve::qp::Hessian;

use super::program::{Least, NO_BASE, Program, TOTAL};
use super::rows::{Row, Side, dot};
use super::space::{Column, Space};
use super::trouble::AdjustTrouble;

/// Part of each oxide that a sheet without tolerances is taken to be off by (ours).
const UNSTATED: f64 = 0.01;
/// Halvings in the search for the surest recipe: a thousandth of a per cent.
const HALVINGS: usize = 18;
/// The surest that is looked for.
const SUREST: f64 = 0.9999;
/// How far a search inside its end is from it.
const ENOUGH: f64 = 1e-6;
/// Below this part of the most it could be, what a ratio stands over is none.
const NOTHING: f64 = 1e-7;
/// How far the chance found may be from the one asked for.
const CLOSE: f64 = 1e-3;

/// One line of one sheet that may be off, as moles per part of each column.
struct Line {
    deviation: Deviation,
    sheet: String,
    moles_per_part: Vec<f64>,
}

/// All lines that may be off.
pub(super) struct Spread {
    lines: Vec<Line>,
    /// Materials whose sheets state no tolerance.
    pub unstated: Vec<String>,
}

impl Spread {
    /// Of the materials of a space, held additions included.
    pub fn of(space: &Space) -> Spread {
        let mut spread = Spread {
            lines: Vec::new(),
            unstated: Vec::new(),
        };
        for (index, column) in space.columns.iter().enumerate() {
            spread.add(&column.material, index, 1.0, space.columns.len());
            for held in space.held.iter().filter(|_| column.of_base() > 0.0) {
                spread.add(&held.material, index, held.percent / 100.0, space.columns.len());
            }
        }
        spread
    }

    fn add(&mut self, material: &glost_chemistry::material::Material, column: usize, grams: f64, columns: usize) {
        let Some(fired) = &material.fired else { return };
        let mut lines = fired.tolerance.clone();
        if lines.is_empty() {
            if !self.unstated.contains(&material.name) {
                self.unstated.push(material.name.clone());
            }
            let oxides = fired.oxides.iter().map(|(oxide, grams)| (oxide, UNSTATED * grams));
            let known = self.lines.iter().filter(|line| line.sheet == material.name);
            let known: Vec<Deviation> = known.map(|line| line.deviation.clone()).collect();
            lines = if known.is_empty() {
                Deviation::of_sheet(&material.name, oxides)
            } else {
                known
            };
        }
        for deviation in lines {
            let moles = grams * deviation.grams / deviation.oxide.grams_per_mole() / 100.0;
            let same = |line: &Line| line.deviation.moves_with(&deviation) && line.deviation.oxide == deviation.oxide;
            let line = match self.lines.iter().position(same) {
                Some(place) => &mut self.lines[place],
                None => {
                    self.lines.push(Line {
                        moles_per_part: vec![0.0; columns],
                        sheet: material.name.clone(),
                        deviation,
                    });
                    let last = self.lines.len() - 1;
                    &mut self.lines[last]
                }
            };
            line.moles_per_part[column] += moles;
        }
    }

    /// The sheets that may be off.
    pub fn sheets(&self) -> Vec<String> {
        let mut sheets: Vec<String> = Vec::new();
        for line in &self.lines {
            if !sheets.contains(&line.sheet) {
                sheets.push(line.sheet.clone());
            }
        }
        sheets
    }

    /// Rows of the standard deviation of a row's value, one a line; one sheet may
    /// be taken as exact.
    fn of_row(&self, row: &Row, exact: Option<&str>) -> Vec<Vec<f64>> {
        self.lines
            .iter()
            .filter(|line| exact != Some(line.sheet.as_str()))
            .map(|line| {
                let slope = row.per_mole[line.deviation.oxide.index()];
                line.moles_per_part
                    .iter()
                    .map(|moles| slope * moles)
                    .collect::<Vec<f64>>()
            })
            .filter(|own| own.iter().any(|value| *value != 0.0))
            .collect()
    }

    /// Mean and standard deviation of a row's value at a point; the row holds where
    /// the value is at least 0.
    fn value(&self, row: &Row, x: &[f64]) -> (f64, f64) {
        let mean = dot(&row.coefficients, x) * sign(row);
        let variance: f64 = self.of_row(row, None).iter().map(|own| dot(own, x).powi(2)).sum();
        (mean, variance.sqrt())
    }

    /// The chance that all of these rows, bounds of one aim, hold at a point.
    pub fn chance(&self, rows: &[&Row], x: &[f64]) -> f64 {
        let missed: f64 = rows
            .iter()
            .map(|row| {
                if is_over_nothing(row, x) {
                    return 1.0;
                }
                let (mean, deviation) = self.value(row, x);
                let scale = dot(&row.denominator, x).abs().max(f64::MIN_POSITIVE);
                if deviation > 1e-12 * scale {
                    normal::cumulative(-mean / deviation)
                } else if mean < -1e-9 * scale * (1.0 + row.bound.abs()) {
                    1.0
                } else {
                    0.0
                }
            })
            .sum();
        (1.0 - missed).max(0.0)
    }
}

/// Whether a ratio stands over nothing: the row is met, as 0 >= 0, and says nothing.
fn is_over_nothing(row: &Row, x: &[f64]) -> bool {
    let most = row.denominator.iter().copied().fold(0.0, f64::max);
    dot(&row.denominator, x) <= NOTHING * most * x.iter().sum::<f64>()
}

fn sign(row: &Row) -> f64 {
    match row.side {
        Side::Least => 1.0,
        Side::Most => -1.0,
    }
}

/// A row's cone at so many standard deviations.
fn cone(row: &Row, spread: &Spread, deviations: f64, exact: Option<&str>) -> Cone {
    let own = spread.of_row(row, exact);
    Cone {
        linear: row.coefficients.iter().map(|value| sign(row) * value).collect(),
        spread: own.into_iter().flatten().map(|value| deviations * value).collect(),
    }
}

/// The best point at which each row holds with its number of standard deviations;
/// `None` where there is none.
fn best(
    program: &Program<'_>,
    rows: &[Row],
    spread: &Spread,
    deviations: &[f64],
    exact: Option<&str>,
) -> Result<Option<Vec<f64>>, AdjustTrouble> {
    let cones: Vec<Cone> = rows
        .iter()
        .zip(deviations)
        .map(|(row, deviations)| cone(row, spread, *deviations, exact))
        .collect();
    let columns = &program.space.columns;
    let base: Vec<f64> = columns.iter().map(Column::of_base).collect();
    let (diagonal, linear): (Vec<f64>, Vec<f64>);
    let asked = match (program.least, program.change) {
        (Least::Change, Some(change)) => ConeProgram {
            hessian: change.hessian(),
            linear: change.linear(),
            equal_rows: &[],
            equal_to: &[],
            cones: &cones,
        },
        (Least::Cost, _) => {
            diagonal = vec![0.0; columns.len()];
            linear = columns.iter().map(|column| column.cost.unwrap_or(0.0)).collect();
            ConeProgram {
                hessian: Hessian::Diagonal(&diagonal),
                linear: &linear,
                equal_rows: &base,
                equal_to: &[TOTAL],
                cones: &cones,
            }
        }
        _ => {
            diagonal = columns.iter().map(|column| 2.0 / column.step().powi(2)).collect();
            linear = columns
                .iter()
                .zip(&diagonal)
                .map(|(column, curve)| -curve * column.before)
                .collect();
            ConeProgram {
                hessian: Hessian::Diagonal(&diagonal),
                linear: &linear,
                equal_rows: &base,
                equal_to: &[TOTAL],
                cones: &cones,
            }
        }
    };
    let x = match solve(&asked)? {
        ConeOutcome::Optimal(x) => x,
        ConeOutcome::Infeasible => return Ok(None),
    };
    let x: Vec<f64> = x.into_iter().map(|parts| parts.max(0.0)).collect();
    // Rows through the origin are met by nothing at all.
    let some = program.space.base_total(&x) > NO_BASE * TOTAL * 1e3;
    Ok(some.then_some(x))
}

/// A recipe whose aims hold with a chance.
pub(super) struct Found {
    pub x: Vec<f64>,
    pub objective: f64,
    /// The sheet that costs most, with how far the objective would fall were it exact.
    pub costliest: Option<(String, f64)>,
}

/// The best point at which each aim holds with this probability; or, where there is
/// none, how sure one can be at most.
pub(super) fn surely(
    program: &Program<'_>,
    rows: &[Row],
    spread: &Spread,
    probability: f64,
) -> Result<Result<Found, f64>, AdjustTrouble> {
    let Some(Held { x, deviations }) = holding(program, rows, spread, probability)? else {
        return Ok(Err(surest(program, rows, spread, probability)?));
    };
    let objective = program.objective(&x);
    let mut costliest: Option<(String, f64)> = None;
    for sheet in spread.sheets() {
        let Some(other) = best(program, rows, spread, &deviations, Some(&sheet))? else {
            continue;
        };
        let saved = objective - program.objective(&other);
        if saved > ENOUGH * (1.0 + objective) && costliest.as_ref().is_none_or(|known| saved > known.1) {
            costliest = Some((sheet, saved));
        }
    }
    Ok(Ok(Found {
        x,
        objective,
        costliest,
    }))
}

/// A point with each row's number of standard deviations.
struct Held {
    x: Vec<f64>,
    deviations: Vec<f64>,
}

/// The best point at which each aim holds with this probability, with each row's
/// number of standard deviations.
fn holding(
    program: &Program<'_>,
    rows: &[Row],
    spread: &Spread,
    probability: f64,
) -> Result<Option<Held>, AdjustTrouble> {
    let at = |probability: f64| normal::quantile(probability).unwrap_or(0.0).max(0.0);
    let mut deviations = vec![at(probability); rows.len()];
    let short = |row: &Row, x: &[f64]| {
        let own: Vec<&Row> = rows.iter().filter(|other| other.aim == row.aim).collect();
        spread.chance(&own, x) < probability - ENOUGH
    };
    // The two ends of a range share what may go wrong where both are near.
    for _ in 0..2 {
        let Some(x) = best(program, rows, spread, &deviations, None)? else {
            return Ok(None);
        };
        if !rows.iter().any(|row| short(row, &x)) {
            return Ok(Some(Held { x, deviations }));
        }
        for (row, deviations) in rows.iter().zip(&mut deviations) {
            if short(row, &x) {
                *deviations = at(0.5 + 0.5 * probability);
            }
        }
    }
    // A ratio over nothing holds in the cone and with no chance at all.
    let x = best(program, rows, spread, &deviations, None)?;
    let near = |x: &Vec<f64>| {
        rows.iter().all(|row| {
            let own: Vec<&Row> = rows.iter().filter(|other| other.aim == row.aim).collect();
            spread.chance(&own, x) > probability - CLOSE
        })
    };
    Ok(x.filter(near).map(|x| Held { x, deviations }))
}

/// How sure one can be at most, below `probability`.
fn surest(program: &Program<'_>, rows: &[Row], spread: &Spread, probability: f64) -> Result<f64, AdjustTrouble> {
    let (mut low, mut high) = (0.5, probability.min(SUREST));
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holding(program, rows, spread, middle)?.is_some() {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(low)
}
