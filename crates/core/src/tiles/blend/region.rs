//! A part of the mixtures of some glazes, cut out by linear bounds, and its
//! extreme points.

use glost_chemistry::diagnostic::{Diagnostic, of_typed, under};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Library;
use glost_chemistry::quantity::parse_number;

use super::tiles::Shares;

/// Two shares closer than this are one.
const SAME: f64 = 1e-9;
/// The most ends of a cut region: the corners of more aren't all visited.
pub const MOST_REGION_ENDS: usize = 6;
/// The most bounds on it.
pub const MOST_BOUNDS: usize = 12;

/// A bound on shares: low <= sum of coefficient times share <= high, in per cent.
#[derive(Debug, Clone, PartialEq)]
pub struct ShareBound {
    /// What a whole tile of each end has, in per cent.
    pub coefficients: Vec<f64>,
    /// The least.
    pub low: Option<f64>,
    /// The most.
    pub high: Option<f64>,
    /// As typed.
    pub text: String,
}

const HELP: &str = "such as \"end 1 <= 60 %\", \"end 2 in 10..40 %\", \"end 1 + end 2 <= 70 %\" or \"rutile <= 3 %\"";

impl ShareBound {
    /// Reads `end 1 <= 60 %`, `end 2 in 10..40 %`, `end 1 + end 2 <= 70 %`, or a
    /// material's share of base (or on base): `rutile <= 3 %`.
    ///
    /// # Errors
    /// No bound, an end or material that isn't there, a range upside down.
    pub fn parse(text: &str, ends: &[Glaze], library: &Library) -> Result<ShareBound, Diagnostic> {
        let wrong = |message: String| Diagnostic::error("bad-bound", message).help(HELP);
        let number = |text: &str| {
            parse_number(text.trim().trim_end_matches('%'))
                .map(|read| read.value)
                .map_err(|why| wrong(under(text.trim(), why.message)))
        };
        let (what, low, high) = if let Some((what, bound)) = text.split_once("<=") {
            (what, None, Some(number(bound)?))
        } else if let Some((what, bound)) = text.split_once(">=") {
            (what, Some(number(bound)?), None)
        } else if let Some((what, range)) = text.split_once(" in ") {
            let (low, high) = range
                .split_once("..")
                .ok_or_else(|| wrong(of_typed(text, "gives no range")))?;
            (what, Some(number(low)?), Some(number(high)?))
        } else {
            return Err(wrong(of_typed(text, "says no bound")));
        };
        if low.zip(high).is_some_and(|(low, high)| low > high) {
            return Err(wrong(under(text, "the least lies above the most")));
        }
        let mut coefficients = vec![0.0; ends.len()];
        for term in what.split('+') {
            add_term(term.trim(), ends, library, &mut coefficients).map_err(wrong)?;
        }
        Ok(ShareBound {
            coefficients,
            low,
            high,
            text: text.trim().to_owned(),
        })
    }
}

fn add_term(term: &str, ends: &[Glaze], library: &Library, coefficients: &mut [f64]) -> Result<(), String> {
    if let Some(place) = term.strip_prefix("end ") {
        let place: usize = place.trim().parse().map_err(|_| of_typed(term, "names no end"))?;
        let own = place.checked_sub(1).and_then(|index| coefficients.get_mut(index));
        *own.ok_or_else(|| format!("there is no end {place} among {}", ends.len()))? += 100.0;
        return Ok(());
    }
    let material = library
        .find(term)
        .ok_or_else(|| of_typed(term, "is neither an end nor a material"))?;
    if !ends.iter().any(|end| end.holds(material)) {
        return Err(format!("no end holds `{}`", material.name));
    }
    for (own, end) in coefficients.iter_mut().zip(ends) {
        let portions = end.portions().filter(|portion| portion.material.name == material.name);
        *own += portions.map(|portion| portion.percent).sum::<f64>();
    }
    Ok(())
}

/// One side of a bound: sum of coefficient times share >= 0, the bound taken in
/// (shares sum to 1).
struct HalfSpace(Vec<f64>);

impl HalfSpace {
    fn of(&self, shares: &[f64]) -> f64 {
        self.0
            .iter()
            .zip(shares)
            .map(|(coefficient, share)| coefficient * share)
            .sum()
    }
}

/// An extreme point with the sides it lies on.
#[derive(Debug, Clone)]
pub struct Corner {
    /// Its shares.
    pub shares: Shares,
    /// Numbers of the sides that it lies on.
    pub sides: Vec<usize>,
}

fn half_spaces(ends: usize, bounds: &[ShareBound]) -> Vec<HalfSpace> {
    let mut sides: Vec<HalfSpace> = (0..ends)
        .map(|end| HalfSpace((0..ends).map(|other| f64::from(u8::from(other == end))).collect()))
        .collect();
    for bound in bounds {
        // In shares of 1 rather than per cent, so that one tolerance serves all.
        let side = |sign: f64, limit: f64| {
            HalfSpace(
                bound
                    .coefficients
                    .iter()
                    .map(|coefficient| sign * (coefficient - limit) / 100.0)
                    .collect(),
            )
        };
        sides.extend(bound.low.map(|low| side(1.0, low)));
        sides.extend(bound.high.map(|high| side(-1.0, high)));
    }
    sides
}

/// The extreme points of the region, the most of the first end first. Empty where
/// no mixture meets every bound.
///
/// Every set of ends - 1 sides is met and kept where it lies inside all others.
pub fn region_corners(ends: usize, bounds: &[ShareBound]) -> Vec<Corner> {
    let sides = half_spaces(ends, bounds);
    let mut corners: Vec<Corner> = Vec::new();
    let mut chosen: Vec<usize> = (0..ends.saturating_sub(1)).collect();
    loop {
        if let Some(shares) = meet(&sides, &chosen, ends)
            && sides.iter().all(|side| side.of(&shares) >= -SAME)
            && !corners.iter().any(|known| same(&known.shares, &shares))
        {
            corners.push(Corner {
                sides: (0..sides.len())
                    .filter(|side| sides[*side].of(&shares).abs() <= SAME)
                    .collect(),
                shares,
            });
        }
        if !next_choice(&mut chosen, sides.len()) {
            break;
        }
    }
    corners.sort_by(|a, b| descending(&a.shares, &b.shares));
    corners
}

pub(super) fn descending(one: &[f64], other: &[f64]) -> std::cmp::Ordering {
    one.iter()
        .zip(other)
        .map(|(a, b)| b.total_cmp(a))
        .find(|order| order.is_ne())
        .unwrap_or(std::cmp::Ordering::Equal)
}

pub(super) fn same(one: &[f64], other: &[f64]) -> bool {
    one.iter().zip(other).all(|(a, b)| (a - b).abs() <= 1e-7)
}

/// The next set of places in order; `false` after the last.
fn next_choice(chosen: &mut [usize], of: usize) -> bool {
    let count = chosen.len();
    for place in (0..count).rev() {
        if chosen[place] + count - place < of {
            chosen[place] += 1;
            for later in place + 1..count {
                chosen[later] = chosen[later - 1] + 1;
            }
            return true;
        }
    }
    false
}

/// Where these sides meet on the plane of shares that sum to 1.
fn meet(sides: &[HalfSpace], chosen: &[usize], ends: usize) -> Option<Shares> {
    let mut rows = nalgebra::DMatrix::from_element(ends, ends, 1.0);
    for (row, side) in chosen.iter().enumerate() {
        let side = sides.get(*side)?;
        for (column, coefficient) in side.0.iter().enumerate() {
            rows[(row, column)] = *coefficient;
        }
    }
    let mut right = nalgebra::DVector::zeros(ends);
    right[ends - 1] = 1.0;
    let decomposed = rows.full_piv_lu();
    if decomposed.determinant().abs() < 1e-10 {
        return None;
    }
    let shares = decomposed.solve(&right)?;
    // What is nothing but for the last bits is nothing.
    let tidy = |share: &f64| if share.abs() <= SAME { 0.0 } else { *share };
    let shares: Vec<f64> = shares.iter().map(tidy).collect();
    let total: f64 = shares.iter().sum();
    shares
        .iter()
        .all(|share| share.is_finite())
        .then(|| shares.iter().map(|share| share / total).collect())
}

/// Points to choose tiles from: the corners, the middles of edges, the middle of
/// each side, and the middle of all.
pub fn region_points(ends: usize, corners: &[Corner]) -> Vec<Shares> {
    let mut points: Vec<Shares> = corners.iter().map(|corner| corner.shares.clone()).collect();
    let mut add = |of: &[&Corner]| {
        let point: Shares = (0..ends)
            .map(|end| of.iter().map(|corner| corner.shares[end]).sum::<f64>() / of.len() as f64)
            .collect();
        if !points.iter().any(|known| same(known, &point)) {
            points.push(point);
        }
    };
    for (index, one) in corners.iter().enumerate() {
        for other in &corners[..index] {
            let shared = one.sides.iter().filter(|side| other.sides.contains(side)).count();
            // Two corners on all sides of a line but one dimension are its ends.
            if shared + 2 >= ends {
                add(&[one, other]);
            }
        }
    }
    let sides = corners
        .iter()
        .flat_map(|corner| corner.sides.iter().copied())
        .max()
        .unwrap_or(0);
    for side in 0..=sides {
        let on: Vec<&Corner> = corners.iter().filter(|corner| corner.sides.contains(&side)).collect();
        if on.len() > 2 {
            add(&on);
        }
    }
    let all: Vec<&Corner> = corners.iter().collect();
    if !all.is_empty() {
        add(&all);
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bound(coefficients: &[f64], low: Option<f64>, high: Option<f64>) -> ShareBound {
        ShareBound {
            coefficients: coefficients.to_vec(),
            low,
            high,
            text: String::new(),
        }
    }

    #[test]
    fn without_bounds_the_corners_are_the_ends() {
        let corners = region_corners(3, &[]);
        let shares: Vec<&Shares> = corners.iter().map(|corner| &corner.shares).collect();
        assert_eq!(
            shares,
            [&vec![1.0, 0.0, 0.0], &vec![0.0, 1.0, 0.0], &vec![0.0, 0.0, 1.0]]
        );
        // Corners, three middles of edges, one middle of all.
        assert_eq!(region_points(3, &corners).len(), 7);
    }

    #[test]
    fn a_share_held_between_bounds_cuts_the_triangle() {
        // x1 in 20..60 %: a strip with four corners, worked out by hand.
        let corners = region_corners(3, &[bound(&[100.0, 0.0, 0.0], Some(20.0), Some(60.0))]);
        assert_eq!(corners.len(), 4);
        let has = |wanted: [f64; 3]| corners.iter().any(|corner| same(&corner.shares, &wanted));
        assert!(has([0.6, 0.4, 0.0]) && has([0.6, 0.0, 0.4]) && has([0.2, 0.8, 0.0]) && has([0.2, 0.0, 0.8]));
    }

    #[test]
    fn what_cannot_be_has_no_corners() {
        assert!(region_corners(3, &[bound(&[100.0, 100.0, 100.0], None, Some(50.0))]).is_empty());
    }
}
