//! A choice of tiles from many points that tells a model most: D-efficiency by
//! exchange.
//!
//! The design is improved by exchanging its points for others while the
//! determinant of X'X grows (Fedorov's exchange, from several starts); X is
//! Scheffe's quadratic model where there are tiles enough, else the linear one.
//! The efficiency shown is a lower bound, against the best weights on the same
//! points (Silvey, Titterington and Torsney's multiplicative rule) and Kiefer and
//! Wolfowitz' equivalence theorem: p / max d.

use nalgebra::{DMatrix, DVector};

use super::region::descending;
use super::tiles::Shares;

/// Starts of the exchange.
const RESTARTS: usize = 24;
/// Rounds after which one start gives up.
const MOST_EXCHANGES: usize = 500;
/// Rounds of the multiplicative rule.
const WEIGHT_ROUNDS: usize = 2_000;

/// Tiles chosen from points.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The tiles, the most of the first end first.
    pub tiles: Vec<Shares>,
    /// D-efficiency at least, 0 to 1.
    pub efficiency_at_least: f64,
    /// Whether the model they were chosen for is quadratic; else linear.
    pub quadratic: bool,
}

/// Chooses so many of the points. `None` for fewer tiles than ends, more than
/// points, or points on which no model of either kind can be fitted.
pub fn spread(points: &[Shares], tiles: usize) -> Option<Spread> {
    let ends = points.first()?.len();
    if tiles < ends || tiles > points.len() {
        return None;
    }
    [true, false].into_iter().find_map(|quadratic| {
        let rows: Vec<DVector<f64>> = points.iter().map(|point| terms(point, quadratic)).collect();
        let terms = rows.first()?.len();
        if tiles < terms {
            return None;
        }
        let (chosen, log_det) = best_exchange(&rows, tiles)?;
        let efficiency = efficiency(&rows, log_det - terms as f64 * (tiles as f64).ln())?;
        let mut tiles: Vec<Shares> = chosen.into_iter().map(|index| points[index].clone()).collect();
        tiles.sort_by(|a, b| descending(a, b));
        Some(Spread {
            tiles,
            efficiency_at_least: efficiency,
            quadratic,
        })
    })
}

/// Scheffe's terms: each share, and for the quadratic model each product of two.
fn terms(shares: &[f64], quadratic: bool) -> DVector<f64> {
    let mut terms = shares.to_vec();
    if quadratic {
        for (index, one) in shares.iter().enumerate() {
            terms.extend(shares[index + 1..].iter().map(|other| one * other));
        }
    }
    DVector::from_vec(terms)
}

/// The inverse of X'X and the logarithm of its determinant.
fn inverse(rows: impl Iterator<Item = (f64, DVector<f64>)>, terms: usize) -> Option<(DMatrix<f64>, f64)> {
    let mut information = DMatrix::zeros(terms, terms);
    for (weight, row) in rows {
        information.ger(weight, &row, &row, 1.0);
    }
    let factor = information.cholesky()?;
    let diagonal = factor.l_dirty().diagonal();
    let log_det = 2.0 * diagonal.iter().map(|entry| entry.ln()).sum::<f64>();
    (log_det.is_finite() && diagonal.iter().all(|entry| *entry > 1e-9)).then(|| (factor.inverse(), log_det))
}

fn best_exchange(rows: &[DVector<f64>], tiles: usize) -> Option<(Vec<usize>, f64)> {
    let mut chance = Chance(0x9e37_79b9_7f4a_7c15);
    let mut best: Option<(Vec<usize>, f64)> = None;
    for _ in 0..RESTARTS {
        let start = chance.choice(rows.len(), tiles);
        if let Some((chosen, log_det)) = exchanged(rows, start)
            && best.as_ref().is_none_or(|known| log_det > known.1 + 1e-9)
        {
            best = Some((chosen, log_det));
        }
    }
    best
}

/// Exchanges a point for another while that helps most. A start on which nothing
/// can be fitted is lifted by a little of every point until it can.
fn exchanged(rows: &[DVector<f64>], mut chosen: Vec<usize>) -> Option<(Vec<usize>, f64)> {
    let terms = rows.first()?.len();
    let little = 1e-6 / rows.len() as f64;
    let lifted = |chosen: &[usize]| {
        let own = chosen.iter().map(|index| (1.0, rows[*index].clone()));
        inverse(own.chain(rows.iter().map(|row| (little, row.clone()))), terms)
    };
    for _ in 0..MOST_EXCHANGES {
        let (inverse, _) = lifted(&chosen)?;
        let projected: Vec<DVector<f64>> = rows.iter().map(|row| &inverse * row).collect();
        let product = |one: usize, other: usize| rows[one].dot(&projected[other]);
        let mut best = (1.0 + 1e-9, None);
        for place in 0..chosen.len() {
            let out = chosen[place];
            for into in (0..rows.len()).filter(|index| !chosen.contains(index)) {
                let growth = (1.0 + product(into, into)) * (1.0 - product(out, out)) + product(into, out).powi(2);
                if growth > best.0 {
                    best = (growth, Some((place, into)));
                }
            }
        }
        let Some((place, into)) = best.1 else { break };
        chosen[place] = into;
    }
    let own = chosen.iter().map(|index| (1.0, rows[*index].clone()));
    let (_, log_det) = inverse(own, terms)?;
    Some((chosen, log_det))
}

/// A lower bound on the D-efficiency of a design whose information a tile has
/// this log-determinant.
fn efficiency(rows: &[DVector<f64>], log_det: f64) -> Option<f64> {
    let terms = rows.first()?.len();
    let mut weights = vec![1.0 / rows.len() as f64; rows.len()];
    let mut bound = None;
    for _ in 0..WEIGHT_ROUNDS {
        let (inverse, best_log_det) = inverse(weights.iter().copied().zip(rows.iter().cloned()), terms)?;
        let spread: Vec<f64> = rows.iter().map(|row| row.dot(&(&inverse * row))).collect();
        let most = spread.iter().copied().fold(0.0, f64::max);
        bound = Some(((log_det - best_log_det) / terms as f64).exp() * terms as f64 / most);
        if most <= terms as f64 * (1.0 + 1e-6) {
            break;
        }
        for (weight, spread) in weights.iter_mut().zip(&spread) {
            *weight *= spread / terms as f64;
        }
    }
    bound.map(|bound| bound.min(1.0))
}

/// The same numbers on every machine and every run (Steele, Lea and Flood's
/// SplitMix64).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// So many different places of `of`.
    fn choice(&mut self, of: usize, count: usize) -> Vec<usize> {
        let mut places: Vec<usize> = (0..of).collect();
        for index in 0..count.min(of) {
            let other = index + (self.next() % (of - index) as u64) as usize;
            places.swap(index, other);
        }
        places.truncate(count);
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tiles::blend::{lattice, region_corners, region_points};

    /// The simplex lattice {q, 2} is the D-optimal design for Scheffe's quadratic
    /// model (J. Kiefer, Annals of Mathematical Statistics 32, 1961, from memory).
    #[test]
    fn six_tiles_of_a_triangle_are_the_lattice() {
        let points = lattice(3, 4).unwrap_or_else(|| panic!("no such design"));
        let Some(found) = spread(&points, 6) else {
            panic!("nothing found");
        };
        let mut wanted = lattice(3, 2).unwrap_or_else(|| panic!("no such design"));
        wanted.sort_by(|a, b| descending(a, b));
        assert_eq!(found.tiles, wanted);
        assert!(found.quadratic && found.efficiency_at_least > 0.9999, "{found:?}");
    }

    #[test]
    fn few_tiles_are_chosen_for_a_linear_model_and_too_few_for_none() {
        let points = region_points(3, &region_corners(3, &[]));
        assert!(spread(&points, 4).is_some_and(|found| !found.quadratic));
        assert_eq!(spread(&points, 2), None);
        assert_eq!(spread(&points, 8), None);
    }

    #[test]
    fn the_same_question_has_the_same_answer() {
        let points = lattice(4, 4).unwrap_or_else(|| panic!("no such design"));
        assert_eq!(spread(&points, 12), spread(&points, 12));
    }
}
