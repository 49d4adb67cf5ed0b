//! Aims as rows: every bound on a ratio is linear once multiplied out.
//!
//! `numerator(x) / denominator(x) >= low` is `sum x_j (n_j - low d_j) >= 0`.

use crate::recipes::aims::{Aim, Quantity, R2O};
use crate::rules::Subject;
use glost_chemistry::glaze::FluxList;
use glost_chemistry::oxides::{OXIDE_COUNT, Oxide};

use super::space::{Column, Space};

/// Which side of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Least,
    Most,
}

/// One bound of one aim.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// Number of the phrase that asked for it.
    pub phrase: usize,
    /// Number of the aim among all aims.
    pub aim: usize,
    pub side: Side,
    pub bound: f64,
    /// Coefficients, one a column: the row is >= 0 for `Least`, <= 0 for `Most`.
    pub coefficients: Vec<f64>,
    /// Denominator per gram of each column.
    pub denominator: Vec<f64>,
    /// What a mole more of each oxide does to the row; 0 for what hangs on no oxide.
    pub per_mole: [f64; OXIDE_COUNT],
}

/// A row that hangs on no oxide of a sheet.
pub(crate) const NO_OXIDE: [f64; OXIDE_COUNT] = [0.0; OXIDE_COUNT];

/// An oxide with how many moles a mole of it counts for.
type Term = (Oxide, f64);

/// The oxides above and below the line of a quantity.
fn sides(quantity: &Quantity, fluxes: &FluxList) -> (Vec<Term>, Vec<Term>) {
    let once = |oxides: Vec<Oxide>| oxides.into_iter().map(|oxide| (oxide, 1.0)).collect();
    let fluxing = || Oxide::ALL.map(|oxide| (oxide, fluxes.weight(oxide))).to_vec();
    match quantity {
        Quantity::Chemistry(Subject::SilicaToAlumina) => (once(vec![Oxide::SiO2]), once(vec![Oxide::Al2O3])),
        Quantity::Chemistry(_) | Quantity::Sum(_) => (once(quantity.oxides(fluxes)), fluxing()),
        Quantity::Ratio(above, below) => (once(above.oxides(fluxes)), once(below.oxides(fluxes))),
        _ => (Vec::new(), Vec::new()),
    }
}

fn slopes(above: &[Term], below: &[Term], bound: f64) -> [f64; OXIDE_COUNT] {
    let mut slopes = NO_OXIDE;
    for (oxide, weight) in above {
        slopes[oxide.index()] += weight;
    }
    for (oxide, weight) in below {
        slopes[oxide.index()] -= bound * weight;
    }
    slopes
}

/// Numerator and denominator of a linear quantity per gram of each column;
/// `None` for what is not linear: expansion and distance.
pub(crate) fn ratio(quantity: &Quantity, space: &Space) -> Option<(Vec<f64>, Vec<f64>)> {
    let columns = &space.columns;
    let base = || columns.iter().map(Column::of_base).collect::<Vec<f64>>();
    let flux = || columns.iter().map(|column| column.flux).collect::<Vec<f64>>();
    Some(match quantity {
        Quantity::Chemistry(Subject::Oxide(oxide)) => (space.oxides(&[*oxide]), flux()),
        Quantity::Chemistry(Subject::Sum(_, oxides)) => (space.oxides(oxides), flux()),
        Quantity::Chemistry(Subject::AlkaliShare) => (space.oxides(&R2O), flux()),
        Quantity::Chemistry(Subject::SilicaToAlumina) => (space.oxides(&[Oxide::SiO2]), space.oxides(&[Oxide::Al2O3])),
        Quantity::LossOnIgnition => (
            columns.iter().map(|column| 100.0 * column.loss).collect(),
            columns.iter().map(|column| column.dry).collect(),
        ),
        Quantity::Cost => (
            columns
                .iter()
                .map(|column| 1000.0 * column.cost.unwrap_or(0.0))
                .collect(),
            columns.iter().map(|column| column.weight).collect(),
        ),
        Quantity::Sum(sum) => (space.oxides(&sum.oxides(&space.fluxes)), flux()),
        Quantity::Ratio(above, below) => (
            space.oxides(&above.oxides(&space.fluxes)),
            space.oxides(&below.oxides(&space.fluxes)),
        ),
        Quantity::Share(materials) => {
            let named = |name: &str| materials.iter().any(|material| material.name == name);
            // What is held on top counts with the base that it stands on.
            let held = space.held.iter().filter(|held| named(&held.material.name));
            let held: f64 = held.map(|held| held.percent).sum();
            let own = |column: &Column| if named(&column.material.name) { 100.0 } else { 0.0 };
            (
                columns
                    .iter()
                    .map(|column| own(column) + held * column.of_base())
                    .collect(),
                base(),
            )
        }
        Quantity::RawClay => (
            columns
                .iter()
                .map(|column| 100.0 * column.of_base() * column.material.raw_clay_fraction)
                .collect(),
            base(),
        ),
        Quantity::Expansion | Quantity::Melt(_) | Quantity::Distance => return None,
    })
}

/// The rows of a linear aim, none for the others.
pub(crate) fn rows(number: usize, phrase: usize, aim: &Aim, space: &Space) -> Vec<Row> {
    let Some((numerator, denominator)) = ratio(&aim.quantity, space) else {
        return Vec::new();
    };
    let (above, below) = sides(&aim.quantity, &space.fluxes);
    let row = |side: Side, bound: f64| Row {
        per_mole: slopes(&above, &below, bound),
        phrase,
        aim: number,
        side,
        bound,
        coefficients: numerator.iter().zip(&denominator).map(|(n, d)| n - bound * d).collect(),
        denominator: denominator.clone(),
    };
    let least = aim.low.map(|low| row(Side::Least, low));
    let most = aim.high.map(|high| row(Side::Most, high));
    least.into_iter().chain(most).collect()
}

pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The value of a linear quantity at a point; `None` for a ratio over nothing.
pub(crate) fn value(quantity: &Quantity, space: &Space, x: &[f64]) -> Option<f64> {
    let (numerator, denominator) = ratio(quantity, space)?;
    let below = dot(&denominator, x);
    (below > 0.0).then(|| dot(&numerator, x) / below)
}

impl Row {
    /// A step of the bound that a maker would notice: 2 % of it and a little.
    pub fn noticeable(&self) -> f64 {
        0.02 * self.bound.abs() + 0.002
    }
}

/// Whether any column brings one of these oxides.
pub(crate) fn brought(oxides: &[Oxide], space: &Space) -> bool {
    space.oxides(oxides).iter().any(|moles| *moles > 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Silica of at most 3.5 where each Fe2O3 counts as two FeO: SiO2 - 3.5 (CaO + 2 Fe2O3) <= 0.
    #[test]
    fn a_bound_over_fluxes_counts_each_flux_by_its_weight() {
        let found = slopes(&[(Oxide::SiO2, 1.0)], &[(Oxide::CaO, 1.0), (Oxide::Fe2O3, 2.0)], 3.5);
        let wanted = [(Oxide::SiO2, 1.0), (Oxide::CaO, -3.5), (Oxide::Fe2O3, -7.0)];
        for oxide in Oxide::ALL {
            let slope = wanted.iter().find(|term| term.0 == oxide).map_or(0.0, |term| term.1);
            assert_eq!(found[oxide.index()], slope, "{oxide}");
        }
    }
}
