//! The best blend for a goal, over every blend of the ends.

use super::region::{descend, lattice_within};

/// What is wanted of the grade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// As much as can be.
    Most,
    /// As little as can be.
    Least,
    /// As near to this as can be.
    Value(f64),
}

impl Goal {
    /// How far a result lies from what is wanted: the less, the better.
    pub(super) fn loss(self, value: f64) -> f64 {
        match self {
            Goal::Most => -value,
            Goal::Least => value,
            Goal::Value(wanted) => (value - wanted).abs(),
        }
    }
}

/// The most blends that the first look takes in.
const FIRST_LOOK: usize = 2000;
/// Steps of a first look, parts of the whole.
const STEPS: [usize; 9] = [2, 3, 4, 5, 6, 8, 10, 20, 40];
/// How many of the first look's best places are followed to the end.
const FOLLOWED: usize = 12;
/// Fitted grades nearer than this share of their range to a wanted value are equally good.
const AS_GOOD: f64 = 1e-9;

/// A surface over the blends, as the search sees it.
pub(super) trait Surface {
    /// The fitted grade.
    fn value(&self, shares: &[f64]) -> f64;
    /// Its variance, in any unit.
    fn variance(&self, shares: &[f64]) -> f64;
}

/// The best blend: a look at a lattice of blends, then downhill from the best of them.
/// For a wanted value, the surest blend among those that reach it.
pub(super) fn best_blend(surface: &dyn Surface, ends: usize, goal: Goal) -> Vec<f64> {
    let mut lattice = lattice_within(ends, FIRST_LOOK, &STEPS);
    lattice.push(vec![1.0 / ends as f64; ends]);
    let loss = |shares: &[f64]| match goal {
        Goal::Most => -surface.value(shares),
        Goal::Least => surface.value(shares),
        Goal::Value(wanted) => (surface.value(shares) - wanted).abs(),
    };
    if let Goal::Value(wanted) = goal
        && let Some(blend) = surest_at(surface, &lattice, wanted)
    {
        return blend;
    }
    let mut ranked: Vec<(f64, &Vec<f64>)> = lattice.iter().map(|blend| (loss(blend), blend)).collect();
    ranked.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut best: Option<(f64, Vec<f64>)> = None;
    for (_, start) in ranked.into_iter().take(FOLLOWED) {
        let found = descend(start, loss);
        let value = loss(&found);
        if best.as_ref().is_none_or(|known| value < known.0) {
            best = Some((value, found));
        }
    }
    best.map_or_else(|| vec![1.0 / ends as f64; ends], |(_, blend)| blend)
}

/// Tiles that a search among them starts from, at most.
const MOST_STARTS: usize = 24;

/// The best blend that could be mixed from the tiles.
pub(super) fn best_among(surface: &dyn Surface, tiles: &[&[f64]], goal: Goal) -> Vec<f64> {
    let mut corners: Vec<&[f64]> = tiles.to_vec();
    corners.sort_by(|one, other| surface.value(one).total_cmp(&surface.value(other)));
    corners.dedup();
    if corners.len() > MOST_STARTS {
        // The highest and the lowest; what lies between is mixed from them.
        let rest = corners.split_off(MOST_STARTS / 2);
        corners.extend_from_slice(&rest[rest.len() - MOST_STARTS / 2..]);
    }
    let mixed = |weights: &[f64]| -> Vec<f64> {
        let ends = corners.first().map_or(0, |corner| corner.len());
        (0..ends)
            .map(|end| {
                corners
                    .iter()
                    .zip(weights)
                    .map(|(corner, weight)| weight * corner[end])
                    .sum()
            })
            .collect()
    };
    let loss = |weights: &[f64]| match goal {
        Goal::Most => -surface.value(&mixed(weights)),
        Goal::Least => surface.value(&mixed(weights)),
        Goal::Value(wanted) => (surface.value(&mixed(weights)) - wanted).abs(),
    };
    let mut best: Option<(f64, Vec<f64>)> = None;
    for start in 0..corners.len() {
        let weights: Vec<f64> = (0..corners.len())
            .map(|place| if place == start { 1.0 } else { 0.0 })
            .collect();
        let found = descend(&weights, loss);
        let value = loss(&found);
        if best.as_ref().is_none_or(|known| value < known.0 - 1e-12) {
            best = Some((value, found));
        }
    }
    best.map_or_else(Vec::new, |(_, weights)| mixed(&weights))
}

/// Among the blends whose fitted grade is the wanted one, the one known best. `None`
/// where the surface doesn't reach it.
fn surest_at(surface: &dyn Surface, lattice: &[Vec<f64>], wanted: f64) -> Option<Vec<f64>> {
    let values: Vec<f64> = lattice.iter().map(|blend| surface.value(blend)).collect();
    let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !(lowest..=highest).contains(&wanted) {
        return None;
    }
    // On the straight way from the surest blend of each side to every blend of the
    // other, the surface crosses the value.
    let surest = |above: bool| {
        (0..lattice.len())
            .filter(|place| (values[*place] >= wanted) == above)
            .min_by(|one, other| {
                surface
                    .variance(&lattice[*one])
                    .total_cmp(&surface.variance(&lattice[*other]))
            })
    };
    let tolerance = AS_GOOD * (highest - lowest);
    let mut best: Option<(f64, Vec<f64>)> = None;
    for from in [surest(true), surest(false)].into_iter().flatten() {
        for to in 0..lattice.len() {
            if (values[to] >= wanted) == (values[from] >= wanted) && (values[to] - wanted).abs() > tolerance {
                continue;
            }
            let crossing = crossing(surface, &lattice[from], &lattice[to], wanted);
            if (surface.value(&crossing) - wanted).abs() > tolerance.max(1e-12) {
                continue;
            }
            let doubt = surface.variance(&crossing);
            if best.as_ref().is_none_or(|known| doubt < known.0) {
                best = Some((doubt, crossing));
            }
        }
    }
    best.map(|(_, blend)| blend)
}

/// Where the surface crosses a value on the way between two blends, by bisection.
fn crossing(surface: &dyn Surface, from: &[f64], to: &[f64], wanted: f64) -> Vec<f64> {
    let between = |along: f64| -> Vec<f64> {
        from.iter()
            .zip(to)
            .map(|(one, other)| one + along * (other - one))
            .collect()
    };
    let starts_above = surface.value(from) >= wanted;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (surface.value(&between(middle)) >= wanted) == starts_above {
            low = middle;
        } else {
            high = middle;
        }
    }
    let near = between(low);
    let far = between(high);
    if (surface.value(&near) - wanted).abs() <= (surface.value(&far) - wanted).abs() {
        near
    } else {
        far
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tiles::mixture::least_squares::dot;
    use crate::tiles::mixture::model::{MixtureModel, row};

    /// A Scheffe surface over three ends.
    struct Known(MixtureModel, Vec<f64>);

    impl Surface for Known {
        fn value(&self, shares: &[f64]) -> f64 {
            dot(&row(&self.0.terms(3), shares), &self.1)
        }
        fn variance(&self, shares: &[f64]) -> f64 {
            dot(shares, shares)
        }
    }

    #[track_caller]
    fn at(found: &[f64], wanted: [f64; 3]) {
        for (one, other) in found.iter().zip(wanted) {
            assert!((one - other).abs() < 2e-6, "{found:?}, not {wanted:?}");
        }
    }

    #[test]
    fn the_best_lies_at_an_end_on_an_edge_or_inside() {
        let surface = |model, coefficients: &[f64]| Known(model, coefficients.to_vec());
        let ends = surface(MixtureModel::Linear, &[3.0, 7.0, 1.0]);
        at(&best_blend(&ends, 3, Goal::Most), [0.0, 1.0, 0.0]);
        at(&best_blend(&ends, 3, Goal::Least), [0.0, 0.0, 1.0]);
        // Along a-b: 2a + 4b + 12ab is highest where 2 - 4 + 12 (1 - 2a) = 0.
        let edge = surface(MixtureModel::Quadratic, &[2.0, 4.0, -20.0, 12.0, 0.0, 0.0]);
        let a = (1.0 - 2.0 / 12.0) / 2.0;
        at(&best_blend(&edge, 3, Goal::Most), [a, 1.0 - a, 0.0]);
        let inside = surface(MixtureModel::Quadratic, &[0.0, 0.0, 0.0, 9.0, 9.0, 9.0]);
        at(&best_blend(&inside, 3, Goal::Most), [1.0 / 3.0; 3]);
        let cubic = surface(MixtureModel::SpecialCubic, &[1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 100.0]);
        at(&best_blend(&cubic, 3, Goal::Most), [1.0 / 3.0; 3]);
    }

    #[test]
    fn of_ends_as_good_the_first_is_named() {
        let ends = Known(MixtureModel::Quadratic, vec![3.0, 3.0, 1.0, -4.0, 0.0, 0.0]);
        at(&best_blend(&ends, 3, Goal::Most), [1.0, 0.0, 0.0]);
    }

    #[test]
    fn a_wanted_value_is_met_where_it_is_known_best() {
        let ends = Known(MixtureModel::Linear, vec![0.0, 10.0, 0.0]);
        let found = best_blend(&ends, 3, Goal::Value(4.0));
        assert!((ends.value(&found) - 4.0).abs() < 1e-9);
        // The variance grows away from the middle: the other two share alike.
        assert!((found[0] - 0.3).abs() < 0.02, "{found:?}");
        let beyond = best_blend(&ends, 3, Goal::Value(12.0));
        at(&beyond, [0.0, 1.0, 0.0]);
    }
}
