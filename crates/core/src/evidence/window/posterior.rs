//! The edge of a clay's window, as its pieces teach it.
//!
//! Everything is a sum over grids: the edge every 0.01 over +/- 6 standard deviations of its
//! prior, the line's fall over 15 points, each family's true expansion every 0.02 over +/- 6
//! of its own, by the trapezoid rule. Gauss-Hermite is not good enough here: 0.04 off with
//! 40 points. No sampling, so the same notebook gives the same bits.

use glost_chemistry::read::each_in_parts;
use glost_solve::normal::{cumulative_each, ln_density};

use std::ops::Range;
use std::sync::Arc;

use crate::evidence::notes::Looked;

use super::ageing::Ageing;
use super::curve::{Counted, Curve, Curves, SinceThen};
use super::grid::{Grid, STEP, shift_weights, spread_points};
use super::look::{Edge, Family, FamilyPlace, Witness};
use super::mixture::{Cell, EdgePoints, FamilyLooks, Further, Mixing};
use super::settings::{Belief, WindowSettings};
use super::tables::{LearntTables, Table};
use super::told::ChancesTold;

/// Points of the line's fall and how far they reach, standard deviations.
const FALL_POINTS: (usize, f64) = (15, 3.0);
/// Points of a slope and how far they reach, standard deviations.
const SLOPE_POINTS: (usize, f64) = (33, 4.0);
/// Ends of the edge's grid that hold less than this of the belief are passed by when more is
/// asked of what is learnt.
const NEGLIGIBLE: f64 = 1e-12;
/// The same where possible tiles are only compared.
const NEGLIGIBLE_IN_COMPARING: f64 = 1e-7;

/// One edge of the window on one clay, learnt.
#[derive(Debug, Clone)]
pub struct LearntEdge {
    edge: Edge,
    prior: Belief,
    grid: Grid,
    ageing: Ageing,
    /// The line's falls with what was believed of each before; one of 0 for the floor.
    falls: Vec<(f64, f64)>,
    /// Share of each grid point for each fall; all sum to 1.
    joint: Vec<Vec<f64>>,
    /// The same summed over the falls.
    shares: Vec<f64>,
    curves: Curves,
    lot_weights: Vec<f64>,
    between_pieces: f64,
    between_batches: f64,
    between_lots: f64,
    families: Vec<FamilyLearnt>,
    /// Where tables were kept that aren't kept here.
    tables: LearntTables,
    told: ChancesTold,
}

/// Tables of so many families are kept with what was learnt, 170 kB each; the others' are
/// worked again where they are asked for.
const TABLES_KEPT: usize = 64;

/// So many tables at least are worth a core of their own.
const TABLES_FOR_A_CORE: usize = 2;

/// What was seen of a family, and ln of its chance at each fall and each grid point where it
/// is kept.
#[derive(Debug, Clone)]
struct FamilyLearnt {
    looks: FamilyLooks,
    ln: Option<Arc<Table>>,
}

/// Median and the ends of the 90 % band, 1e-6/K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band90 {
    /// Half lies below it.
    pub median: f64,
    /// 5 % lie below it.
    pub low: f64,
    /// 95 % lie below it.
    pub high: f64,
}

/// Of which pieces something is asked: made as a member of a family, of one of its lots. A
/// lot that no look names is a new one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pieces {
    /// The member.
    pub place: FamilyPlace,
    /// The lot.
    pub lot: usize,
}

/// Pieces of which none had failed when they were looked at, and that may be looked at again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Older {
    pub(super) pieces: u32,
    pub(super) looked: Looked,
    /// Their age at the look that counts, days.
    pub(super) then_days: f64,
    /// Their age today.
    pub(super) now_days: f64,
}

impl LearntEdge {
    /// What these pieces say about an edge of which this was believed before; `fall` is by
    /// how much the line falls in three years.
    pub(super) fn learn(
        edge: Edge,
        settings: &WindowSettings,
        prior: Belief,
        fall: Option<Belief>,
        families: &[Family],
        witnesses: &[Witness],
        tables: &LearntTables,
    ) -> LearntEdge {
        let grid = Grid::around(prior, STEP);
        let falls = match fall {
            Some(fall) => spread_points(fall, FALL_POINTS.0, FALL_POINTS.1, true),
            None => vec![(0.0, 1.0)],
        };
        let mut learnt = LearntEdge {
            edge,
            prior,
            grid,
            ageing: settings.ageing.clone(),
            falls,
            joint: Vec::new(),
            shares: Vec::new(),
            curves: Curves::new(edge, settings.between_pieces, settings.between_batches),
            lot_weights: shift_weights(settings.between_lots),
            between_pieces: settings.between_pieces,
            between_batches: settings.between_batches,
            between_lots: settings.between_lots,
            families: Vec::new(),
            tables: tables.clone(),
            told: ChancesTold::default(),
        };
        let mut members: Vec<Vec<&Witness>> = vec![Vec::new(); families.len()];
        for witness in witnesses {
            if let Some(own) = members.get_mut(witness.place.family) {
                own.push(witness);
            }
        }
        let pairs = families.iter().zip(members);
        let looks: Vec<FamilyLooks> = pairs
            .map(|(family, own)| learnt.looks_of(family, own.into_iter()))
            .collect();
        let (ln, tables) = learnt.after_all(&looks);
        let known = looks.into_iter().zip(tables);
        learnt
            .families
            .extend(known.map(|(looks, ln)| FamilyLearnt { looks, ln }));
        learnt.weigh(ln);
        learnt
    }

    /// ln of what is believed of each fall and each grid point after all looks, and the tables
    /// that are kept. Tables are worked on all cores and summed in the families' order.
    fn after_all(&self, looks: &[FamilyLooks]) -> (Table, Vec<Option<Arc<Table>>>) {
        let (mut ln, mut tables) = (self.before_any_look(), Vec::with_capacity(looks.len()));
        let mut kept = 0;
        for some in looks.chunks(TABLES_KEPT) {
            let work = |looks: &FamilyLooks| (!looks.cells.is_empty()).then(|| self.table_of(looks));
            for table in each_in_parts(some, TABLES_FOR_A_CORE, work) {
                for (row, said) in ln.iter_mut().zip(table.iter().flat_map(|table| table.iter())) {
                    row.iter_mut().zip(said).for_each(|(sum, more)| *sum += more);
                }
                kept += usize::from(table.is_some());
                tables.push(table.filter(|_| kept <= TABLES_KEPT));
            }
        }
        (ln, tables)
    }

    /// The table of a family's looks, worked out where it isn't known.
    fn table_of(&self, looks: &FamilyLooks) -> Arc<Table> {
        let everywhere = EdgePoints {
            low: self.grid.low,
            count: self.grid.count,
        };
        let rows: Vec<usize> = (0..self.falls.len()).collect();
        let work = || self.table(looks, None, &rows, everywhere);
        self.tables.get(self.key(looks), work)
    }

    /// The looks of a family that count, those alike together.
    fn looks_of<'a>(&mut self, family: &Family, witnesses: impl Iterator<Item = &'a Witness>) -> FamilyLooks {
        let mut cells: Vec<Cell> = Vec::new();
        for witness in witnesses {
            for look in witness.latest(self.edge) {
                let counted = Counted {
                    pieces: look.pieces,
                    failed: look.failed(self.edge).unwrap_or(0),
                    found: match self.edge {
                        Edge::Craze => look.looked.finds(),
                        Edge::Shiver => 1.0,
                    },
                };
                let curve = self.curves.of(counted);
                let to_come = self.to_come(look.age_days);
                let FamilyPlace { slope, coordinate, .. } = witness.place;
                let same = |cell: &&mut Cell| {
                    cell.lot == look.lot && cell.slope == slope && (slope.is_none() || cell.coordinate == coordinate)
                };
                let cell = match cells.iter_mut().find(same) {
                    Some(cell) => cell,
                    None => {
                        cells.push(Cell {
                            lot: look.lot,
                            slope,
                            coordinate,
                            batches: Vec::new(),
                        });
                        let last = cells.len() - 1;
                        &mut cells[last]
                    }
                };
                cell.batches.push((curve, to_come, 1.0));
            }
        }
        for cell in &mut cells {
            together(&mut cell.batches);
        }
        let points = |slope: &Belief| spread_points(*slope, SLOPE_POINTS.0, SLOPE_POINTS.1, slope.mean > 0.0);
        FamilyLooks {
            base: family.believed.belief,
            slopes: family.slopes.iter().map(points).collect(),
            cells,
        }
    }

    /// All that the table of a family's looks hangs on.
    fn key(&self, looks: &FamilyLooks) -> Vec<u64> {
        let numbers = [
            self.grid.low,
            self.grid.step,
            self.grid.count as f64,
            self.between_pieces,
            self.between_batches,
            self.between_lots,
            looks.base.mean,
            looks.base.sd,
        ];
        let mut key: Vec<u64> = numbers.iter().map(|number| number.to_bits()).collect();
        key.push(self.edge as u64);
        key.extend(self.falls.iter().map(|(fall, _)| fall.to_bits()));
        for cell in &looks.cells {
            key.extend([cell.lot as u64, cell.batches.len() as u64]);
            let slope = cell.slope.and_then(|slope| looks.slopes.get(slope));
            // The base stands at no slope, whatever its coordinate is written as.
            let points = slope.map_or(0, Vec::len);
            key.push(points as u64);
            if let Some(slope) = slope {
                key.push(cell.slope.map_or(0, |slope| slope as u64));
                key.push(cell.coordinate.to_bits());
                key.extend(slope.iter().flat_map(|(at, weight)| [at.to_bits(), weight.to_bits()]));
            }
            for (curve, to_come, count) in &cell.batches {
                key.extend(self.curves.told(*curve));
                key.extend([to_come.to_bits(), count.to_bits()]);
            }
        }
        key
    }

    /// ln of the chance of a family's looks, and of a further batch, at each fall and point.
    fn table(
        &self,
        looks: &FamilyLooks,
        further: Option<&Further>,
        rows: &[usize],
        points: EdgePoints,
    ) -> Vec<Vec<f64>> {
        let mixing = Mixing {
            edge: self.edge,
            curves: &self.curves,
            lot_weights: &self.lot_weights,
            looks,
            further,
            points,
        };
        rows.iter().map(|row| mixing.row(self.falls[*row].0)).collect()
    }

    /// ln of what is believed of each fall and each grid point before any look.
    fn before_any_look(&self) -> Vec<Vec<f64>> {
        let last = self.grid.count - 1;
        let row = |(_, weight): &(f64, f64)| {
            let points = self.grid.points().enumerate();
            points
                .map(|(index, edge)| {
                    let end: f64 = if index == 0 || index == last { 0.5 } else { 1.0 };
                    weight.ln() + end.ln() + ln_density((edge - self.prior.mean) / self.prior.sd)
                })
                .collect()
        };
        self.falls.iter().map(row).collect()
    }

    /// Shares from ln of each.
    fn weigh(&mut self, ln: Vec<Vec<f64>>) {
        let most = ln.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = ln.iter().flatten().map(|ln| (ln - most).exp()).sum();
        self.joint = ln
            .into_iter()
            .map(|row| row.into_iter().map(|ln| (ln - most).exp() / total).collect())
            .collect();
        self.shares = (0..self.grid.count)
            .map(|point| self.joint.iter().map(|row| row[point]).sum())
            .collect();
    }

    /// What was believed before any piece was looked at.
    pub fn prior(&self) -> Belief {
        self.prior
    }

    /// The edge's value below which this share of the belief lies, 1e-6/K; at three years.
    pub fn quantile(&self, share: f64) -> f64 {
        let mut below = 0.0;
        // Each point's share spreads evenly over the step around it.
        for (index, own) in self.shares.iter().enumerate() {
            if below + own >= share && *own > 0.0 {
                let along = (share - below) / own;
                return self.grid.at(index) + self.grid.step * (along - 0.5);
            }
            below += own;
        }
        self.grid.at(self.grid.count - 1)
    }

    /// Median and 90 % band at three years.
    pub fn band(&self) -> Band90 {
        Band90 {
            median: self.quantile(0.5),
            low: self.quantile(0.05),
            high: self.quantile(0.95),
        }
    }

    /// Median and 90 % band of the line at an age in days: it stands higher while pieces are
    /// young.
    pub fn band_at(&self, age_days: f64) -> Band90 {
        let to_come = 1.0 - self.ageing.fallen_by(age_days);
        let falls = self.falls.iter().zip(&self.joint);
        let mut at: Vec<(f64, f64)> = falls
            .flat_map(|((fall, _), row)| {
                let values = self.grid.points().zip(row);
                values.map(move |(edge, share)| (edge + fall * to_come, *share))
            })
            .filter(|(_, share)| *share > 0.0)
            .collect();
        at.sort_by(|one, other| one.0.total_cmp(&other.0));
        let quantile = |share: f64| {
            let mut below = 0.0;
            let reaches = |(_, own): &&(f64, f64)| {
                below += own;
                below >= share
            };
            at.iter()
                .find(reaches)
                .or(at.last())
                .map_or(self.prior.mean, |(value, _)| *value)
        };
        Band90 {
            median: quantile(0.5),
            low: quantile(0.05),
            high: quantile(0.95),
        }
    }

    /// By how much the line falls in three years, as the pieces teach it: the mean, 1e-6/K.
    pub fn mean_fall(&self) -> f64 {
        let rows = self.falls.iter().zip(&self.joint);
        rows.map(|((fall, _), row)| fall * row.iter().sum::<f64>()).sum()
    }

    /// Mean, 1e-6/K.
    pub fn mean(&self) -> f64 {
        let points = self.grid.points().zip(&self.shares);
        points.map(|(edge, share)| edge * share).sum()
    }

    /// Variance, (1e-6/K)^2.
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        let squares = self.grid.points().zip(&self.shares);
        squares.map(|(edge, share)| (edge - mean).powi(2) * share).sum()
    }

    /// The chance, 0 to 1, that a piece of a future batch fails within three years, of a
    /// glaze whose family nobody looked at: the mean over the edge of
    /// Phi(past / root(sd^2 + pieces^2 + batches^2 + lots^2)).
    pub fn chance(&self, expansion: Belief) -> f64 {
        let spread = [self.between_pieces, self.between_batches, self.between_lots]
            .into_iter()
            .fold(expansion.sd, f64::hypot);
        let weighed = || self.grid.points().zip(&self.shares).filter(|(_, share)| **share > 0.0);
        let past = weighed().map(|(edge, _)| self.edge.past(expansion.mean, edge) / spread);
        let chances = cumulative_each(&past.collect::<Vec<f64>>());
        weighed().zip(chances).map(|((_, share), chance)| chance * share).sum()
    }

    /// Whether that chance is at least `level`.
    pub(super) fn reaches(&self, level: f64, expansion: Belief) -> bool {
        self.told
            .reaches(self.edge, level, expansion, || self.chance(expansion))
    }

    /// The expansion at which that chance is `chance`; its sd may be given as 0. `None`
    /// where the chance is not between 0 and 1.
    pub fn expansion_at(&self, chance: f64, sd: f64) -> Option<f64> {
        if !(chance > 0.0 && chance < 1.0) {
            return None;
        }
        let reach = 12.0 * (self.prior.sd + sd + self.between_pieces + self.between_batches + self.between_lots);
        let (mut low, mut high) = (self.prior.mean - reach, self.prior.mean + reach);
        let rising = self.edge == Edge::Craze;
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let above = self.chance(Belief::new(middle, sd)) > chance;
            if above == rising {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(0.5 * (low + high))
    }

    /// The same chance for a glaze of whose family pieces were looked at: its true expansion
    /// as these teach it, together with the edge.
    pub fn chance_of(&self, pieces: &Pieces) -> f64 {
        let spread = self.between_pieces.hypot(self.between_batches);
        let further = self.further(pieces, Curve::of_a_piece(spread, self.edge), 0.0);
        let rows: Vec<usize> = (0..self.falls.len()).collect();
        self.chance_with(pieces.place.family, &further, &rows, &self.range(NEGLIGIBLE))
            .into_iter()
            .flatten()
            .sum()
    }

    fn further(&self, pieces: &Pieces, curve: Curve, to_come: f64) -> Further {
        Further {
            lot: pieces.lot,
            slope: pieces.place.slope,
            coordinate: pieces.place.coordinate,
            curve,
            to_come,
        }
    }

    /// Grid points that hold any of the belief worth counting.
    fn range(&self, negligible: f64) -> Range<usize> {
        let holds = |share: &f64| *share > negligible;
        let first = self.shares.iter().position(holds).unwrap_or(0);
        let last = self.shares.iter().rposition(holds).unwrap_or(self.grid.count - 1);
        first..last + 1
    }

    /// The joint share of each fall and point in `range` times the chance that a further
    /// batch shows what it is thought to.
    fn chance_with(&self, family: usize, further: &Further, rows: &[usize], range: &Range<usize>) -> Vec<Vec<f64>> {
        self.chance_of_looks(family, &self.families[family].looks, further, rows, range)
    }

    /// The same where the further batch stands in the place of looks that are left out.
    fn chance_of_looks(
        &self,
        family: usize,
        looks: &FamilyLooks,
        further: &Further,
        rows: &[usize],
        range: &Range<usize>,
    ) -> Vec<Vec<f64>> {
        let known = &self.families[family];
        let before = match &known.ln {
            Some(kept) => Some(kept.clone()),
            None => self.has_looks(family).then(|| self.table_of(&known.looks)),
        };
        let points = EdgePoints {
            low: self.grid.at(range.start),
            count: range.len(),
        };
        let after = self.table(looks, Some(further), rows, points);
        let rows = rows.iter().copied().zip(after);
        rows.map(|(row, after)| {
            let shares = &self.joint[row][range.clone()];
            let before = before.as_ref().and_then(|table| table.get(row));
            let before = before.map(|ln| &ln[range.clone()]);
            let chance = |(index, after): (usize, f64)| {
                let before = before.map_or(0.0, |before| before[index]);
                // A base's own weights sum to 1 but for what its grid leaves out.
                let chance = (after - before).exp();
                if chance.is_finite() {
                    chance * shares[index]
                } else {
                    0.0
                }
            };
            after.into_iter().enumerate().map(chance).collect()
        })
        .collect()
    }

    /// By how much of itself the variance is expected to fall once a further batch of `count`
    /// pieces was looked at, at an age in days.
    pub(super) fn expected_reduction(&mut self, pieces: &Pieces, count: u32, age_days: f64) -> f64 {
        let (rows, range, before) = self.compared();
        let to_come = self.to_come(age_days);
        let mut expected = 0.0;
        let mut orders = 1.0;
        for failed in 0..=count {
            if failed > 0 {
                orders *= f64::from(count - failed + 1) / f64::from(failed);
            }
            let curve = self.curves.of(Counted {
                pieces: count,
                failed,
                found: Looked::Unsaid.finds(),
            });
            let further = self.further(pieces, self.curves.get(curve).clone(), to_come);
            let joint = self.chance_with(pieces.place.family, &further, &rows, &range);
            let at: Vec<f64> = (0..range.len())
                .map(|point| orders * joint.iter().map(|row| row[point]).sum::<f64>())
                .collect();
            expected += self.spread_of(range.start, &at);
        }
        1.0 - expected / self.spread_of(range.start, &before)
    }

    /// The same for another look at pieces of which none had failed: it stands in the place of
    /// the earlier one. More failures than a few are told apart no further.
    pub(super) fn expected_reduction_again(&mut self, pieces: &Pieces, older: &Older) -> f64 {
        const TOLD_APART: u32 = 4;
        let (rows, range, before) = self.compared();
        let counted = Counted {
            pieces: older.pieces,
            failed: 0,
            found: older.looked.finds(),
        };
        let (then, now) = (self.to_come(older.then_days), self.to_come(older.now_days));
        let curve = self.curves.of(counted);
        let family = pieces.place.family;
        let Some(looks) = self.families[family]
            .looks
            .without((pieces.place, pieces.lot), curve, then)
        else {
            return 0.0;
        };
        let most = older.pieces.min(TOLD_APART);
        let rest = (most < older.pieces).then_some(SinceThen::MoreThan(most));
        let mut expected = 0.0;
        for since in (0..=most).map(SinceThen::Exactly).chain(rest) {
            let mut at = vec![0.0; range.len()];
            for row in &rows {
                let further_then = self.falls[*row].0 * (then - now);
                let curve = self.curves.again(counted, since, further_then);
                let further = self.further(pieces, curve, now);
                let joint = self.chance_of_looks(family, &looks, &further, &[*row], &range);
                for (sum, more) in at.iter_mut().zip(joint.iter().flatten()) {
                    *sum += more;
                }
            }
            expected += self.spread_of(range.start, &at);
        }
        1.0 - expected / self.spread_of(range.start, &before)
    }

    fn to_come(&self, age_days: f64) -> f64 {
        match self.edge {
            Edge::Craze => 1.0 - self.ageing.fallen_by(age_days),
            Edge::Shiver => 0.0,
        }
    }

    /// The falls and points that possible tiles are compared by, with what is believed of each
    /// point. Every third fall of the line is enough.
    fn compared(&self) -> (Vec<usize>, Range<usize>, Vec<f64>) {
        let rows: Vec<usize> = (0..self.falls.len()).skip(self.falls.len() / 8).step_by(3).collect();
        let range = self.range(NEGLIGIBLE_IN_COMPARING);
        let belief = |point: usize| rows.iter().map(|row| self.joint[*row][point]).sum();
        let before = range.clone().map(belief).collect();
        (rows, range, before)
    }

    /// Variance times weight of unnormalised shares from a grid point on.
    fn spread_of(&self, first: usize, shares: &[f64]) -> f64 {
        let weight: f64 = shares.iter().sum();
        if weight <= 0.0 {
            return 0.0;
        }
        let pairs = || {
            shares
                .iter()
                .enumerate()
                .map(|(index, share)| (self.grid.at(first + index), share))
        };
        let mean = pairs().map(|(edge, share)| edge * share).sum::<f64>() / weight;
        pairs().map(|(edge, share)| (edge - mean).powi(2) * share).sum()
    }

    /// Whether anything of a family was looked at.
    pub fn has_looks(&self, family: usize) -> bool {
        self.families
            .get(family)
            .is_some_and(|family| !family.looks.cells.is_empty())
    }
}

/// Batches alike counted together.
fn together(batches: &mut Vec<(usize, f64, f64)>) {
    batches.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    batches.dedup_by(|later, first| {
        let same = later.0 == first.0 && later.1 == first.1;
        if same {
            first.2 += later.2;
        }
        same
    });
}
