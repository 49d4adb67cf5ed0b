//! What all looks at one family say, at each fall of the line and each place of the edge.
//!
//! A member's true expansion is that of its base plus a slope times its coordinate plus the
//! shifts of its lot and its batch. The batch's shift is in the [`Curve`]; the lot's is mixed
//! over the lattice of differences of true expansion and edge; slopes are summed point by
//! point; the base's own value comes last.

use glost_solve::lattice::{ln_mixtures, ln_shifted, table_length};

use super::curve::{Curve, CurveSum, Curves};
use super::grid::{Grid, STEP, TRUE_STEP};
use super::look::{Edge, FamilyPlace};
use super::settings::Belief;

/// Points of a second and further slope whose members were made of several lots: all slopes
/// and lots hang together then, and every pair of points is worked.
const POINTS_OF_FURTHER_SLOPES: usize = 7;

/// Looks at one member made of one lot.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cell {
    pub(super) lot: usize,
    pub(super) slope: Option<usize>,
    pub(super) coordinate: f64,
    /// Of each batch alike: its curve, the share of the fall still to come at its age, and
    /// how many there are.
    pub(super) batches: Vec<(usize, f64, f64)>,
}

/// What was seen of a family.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FamilyLooks {
    pub(super) base: Belief,
    /// Points and weights of each slope.
    pub(super) slopes: Vec<Vec<(f64, f64)>>,
    pub(super) cells: Vec<Cell>,
}

impl FamilyLooks {
    /// Without one look at a batch of these pieces, told by its curve and the fall still to come
    /// at its age; `None` where it isn't among them.
    pub(super) fn without(
        &self,
        (place, lot): (FamilyPlace, usize),
        curve: usize,
        to_come: f64,
    ) -> Option<FamilyLooks> {
        let mut looks = self.clone();
        let FamilyPlace { slope, coordinate, .. } = place;
        let is_of =
            |cell: &Cell| cell.lot == lot && cell.slope == slope && (slope.is_none() || cell.coordinate == coordinate);
        let cell = looks.cells.iter().position(is_of)?;
        let batches = &mut looks.cells[cell].batches;
        let batch = batches
            .iter()
            .position(|known| known.0 == curve && known.1 == to_come)?;
        batches[batch].2 -= 1.0;
        if batches[batch].2 < 0.5 {
            batches.remove(batch);
        }
        if looks.cells[cell].batches.is_empty() {
            looks.cells.remove(cell);
        }
        Some(looks)
    }
}

/// A further batch that is thought of.
pub(super) struct Further {
    pub(super) lot: usize,
    pub(super) slope: Option<usize>,
    pub(super) coordinate: f64,
    pub(super) curve: Curve,
    /// The share of the fall still to come at its age.
    pub(super) to_come: f64,
}

/// Where the edge is asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgePoints {
    pub(super) low: f64,
    pub(super) count: usize,
}

/// Everything that the sums need.
pub(super) struct Mixing<'a> {
    pub(super) edge: Edge,
    pub(super) curves: &'a Curves,
    pub(super) lot_weights: &'a [f64],
    pub(super) looks: &'a FamilyLooks,
    pub(super) further: Option<&'a Further>,
    pub(super) points: EdgePoints,
}

/// A slope's tables in one lot, one for each of its points.
type SlopeTables = Vec<Option<Vec<f64>>>;

/// What one lot gives: what doesn't hang on a slope shared with other lots, and the tables of
/// those that do.
struct LotTables {
    alone: Vec<f64>,
    shared: Vec<SlopeTables>,
}

impl Mixing<'_> {
    /// ln of the chance of all looks at the edge's points.
    pub(super) fn row(&self, fall: f64) -> Vec<f64> {
        let base = Grid::around(self.looks.base, TRUE_STEP);
        let weights = base.normal_weights(self.looks.base);
        let length = table_length(weights.len(), self.points.count);
        let last = self.points.low + STEP * self.points.count.saturating_sub(1) as f64;
        let lattice = Lattice {
            low: base.low - last - STEP * (self.lot_weights.len() / 2) as f64,
            length: length + self.lot_weights.len() - 1,
        };
        let lots = self.lots();
        let shared = self.shared_slopes(&lots);
        let tables: Vec<LotTables> = lots
            .iter()
            .map(|lot| self.lot_tables(*lot, &shared, fall, lattice))
            .collect();
        let mut sum = LnSum::new(length);
        for (choice, ln_weight) in self.choices(&shared) {
            let mut all = vec![0.0; length];
            for table in &tables {
                for (sum, more) in all.iter_mut().zip(ln_shifted(self.lot_weights, &table.at(&choice))) {
                    *sum += more;
                }
            }
            sum.add(&all, ln_weight);
        }
        ln_mixtures(&weights, &sum.finish(), self.points.count)
    }

    fn lots(&self) -> Vec<usize> {
        let mut lots: Vec<usize> = self.looks.cells.iter().map(|cell| cell.lot).collect();
        lots.extend(self.further.map(|further| further.lot));
        lots.sort_unstable();
        lots.dedup();
        lots
    }

    /// Slopes whose members were made of several lots.
    fn shared_slopes(&self, lots: &[usize]) -> Vec<usize> {
        let in_lot = |slope: usize, lot: usize| {
            let of_cell = |cell: &Cell| cell.lot == lot && cell.slope == Some(slope);
            self.looks.cells.iter().any(of_cell)
                || self
                    .further
                    .is_some_and(|further| further.lot == lot && further.slope == Some(slope))
        };
        let several = |slope: &usize| lots.iter().filter(|lot| in_lot(*slope, **lot)).count() > 1;
        (0..self.looks.slopes.len()).filter(several).collect()
    }

    /// Which points of the shared slopes go together, with ln of their weight.
    fn choices(&self, shared: &[usize]) -> Vec<(Vec<usize>, f64)> {
        let mut choices = vec![(Vec::new(), 0.0)];
        for (rank, slope) in shared.iter().enumerate() {
            let points = self.points_of(*slope, rank);
            choices = choices
                .into_iter()
                .flat_map(|(choice, ln)| {
                    points.iter().enumerate().map(move |(index, (_, weight))| {
                        let mut longer: Vec<usize> = choice.clone();
                        longer.push(index);
                        (longer, ln + weight.ln())
                    })
                })
                .collect();
        }
        choices
    }

    /// Points of a slope that is shared between lots; fewer from the second such slope on.
    fn points_of(&self, slope: usize, rank: usize) -> Vec<(f64, f64)> {
        let all = &self.looks.slopes[slope];
        if rank == 0 || all.len() <= POINTS_OF_FURTHER_SLOPES {
            return all.clone();
        }
        let every = all.len() / POINTS_OF_FURTHER_SLOPES;
        let kept: Vec<(f64, f64)> = all.iter().copied().skip(every / 2).step_by(every).collect();
        let total: f64 = kept.iter().map(|(_, weight)| weight).sum();
        kept.into_iter()
            .map(|(value, weight)| (value, weight / total))
            .collect()
    }

    fn lot_tables(&self, lot: usize, shared: &[usize], fall: f64, lattice: Lattice) -> LotTables {
        let mut alone = self
            .sum(lot, None, 0.0, fall, lattice)
            .unwrap_or_else(|| vec![0.0; lattice.length]);
        for slope in (0..self.looks.slopes.len()).filter(|slope| !shared.contains(slope)) {
            let mut sum = LnSum::new(lattice.length);
            let mut any = false;
            for (value, weight) in &self.looks.slopes[slope] {
                if let Some(table) = self.sum(lot, Some(slope), *value, fall, lattice) {
                    sum.add(&table, weight.ln());
                    any = true;
                }
            }
            if any {
                for (all, more) in alone.iter_mut().zip(sum.finish()) {
                    *all += more;
                }
            }
        }
        let tables = shared.iter().enumerate().map(|(rank, slope)| {
            let points = self.points_of(*slope, rank);
            let at = points
                .iter()
                .map(|(value, _)| self.sum(lot, Some(*slope), *value, fall, lattice));
            at.collect()
        });
        LotTables {
            alone,
            shared: tables.collect(),
        }
    }

    /// The curves of one lot along one slope (or of its base) at one value of the slope.
    fn sum(&self, lot: usize, slope: Option<usize>, value: f64, fall: f64, lattice: Lattice) -> Option<Vec<f64>> {
        let mut sum = CurveSum::new(lattice.low, lattice.length);
        // Below the line by what it has still to fall; the floor of shivering doesn't fall.
        let moved = |coordinate: f64, to_come: f64| match self.edge {
            Edge::Craze => value * coordinate - fall * to_come,
            Edge::Shiver => value * coordinate,
        };
        let cells = self.looks.cells.iter();
        let mut moves: Vec<(usize, f64, f64)> = cells
            .filter(|cell| cell.lot == lot && cell.slope == slope)
            .flat_map(|cell| {
                let moved = move |(curve, to_come, times): &(usize, f64, f64)| {
                    (*curve, moved(cell.coordinate, *to_come), *times)
                };
                cell.batches.iter().map(moved)
            })
            .collect();
        moves.sort_by_key(|(curve, _, _)| *curve);
        for of_curve in moves.chunk_by(|one, other| one.0 == other.0) {
            let places: Vec<(f64, f64)> = of_curve.iter().map(|(_, moved, times)| (*moved, *times)).collect();
            if let Some((curve, _, _)) = of_curve.first() {
                sum.add(self.curves.get(*curve), &places);
            }
        }
        if let Some(further) = self.further.filter(|one| one.lot == lot && one.slope == slope) {
            sum.add(&further.curve, &[(moved(further.coordinate, further.to_come), 1.0)]);
        }
        sum.finish()
    }
}

#[derive(Debug, Clone, Copy)]
struct Lattice {
    low: f64,
    length: usize,
}

impl LotTables {
    /// The lot's table at these points of the shared slopes.
    fn at(&self, choice: &[usize]) -> Vec<f64> {
        let mut table = self.alone.clone();
        for (tables, index) in self.shared.iter().zip(choice) {
            if let Some(Some(more)) = tables.get(*index) {
                for (all, more) in table.iter_mut().zip(more) {
                    *all += more;
                }
            }
        }
        table
    }
}

/// A sum of chances given by their logarithms, point by point.
struct LnSum {
    most: Vec<f64>,
    sum: Vec<f64>,
}

impl LnSum {
    fn new(length: usize) -> LnSum {
        LnSum {
            most: vec![f64::NEG_INFINITY; length],
            sum: vec![0.0; length],
        }
    }

    fn add(&mut self, ln: &[f64], ln_weight: f64) {
        for ((most, sum), ln) in self.most.iter_mut().zip(&mut self.sum).zip(ln) {
            let ln = ln + ln_weight;
            if ln > *most {
                *sum = *sum * (*most - ln).exp() + 1.0;
                *most = ln;
            } else {
                *sum += (ln - *most).exp();
            }
        }
    }

    fn finish(self) -> Vec<f64> {
        let ln = self.most.into_iter().zip(self.sum);
        ln.map(|(most, sum)| most + sum.ln()).collect()
    }
}
