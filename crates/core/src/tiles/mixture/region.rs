//! Places in a mixture: lattices of blends, the way uphill, what the tiles span.

use glost_solve::nnls::NnlsWorkspace;

/// The smallest step of the search, as a share.
const FINEST: f64 = 1e-9;
/// A search ends after so many moves in any case.
const MOST_MOVES: usize = 20_000;
/// Blends nearer than this to what the tiles span count as inside (shares, root of the
/// sum of squares): plans print 0.333.
const ON_THE_EDGE: f64 = 5e-3;

/// All blends of `ends` in steps of one part in `parts`, the first ends foremost.
pub(super) fn lattice(ends: usize, parts: usize) -> Vec<Vec<f64>> {
    fn fill(left: usize, ends: usize, parts: usize, begun: &mut Vec<f64>, out: &mut Vec<Vec<f64>>) {
        if ends == 1 {
            begun.push(left as f64 / parts as f64);
            out.push(begun.clone());
            begun.pop();
            return;
        }
        for take in (0..=left).rev() {
            begun.push(take as f64 / parts as f64);
            fill(left - take, ends - 1, parts, begun, out);
            begun.pop();
        }
    }
    let mut out = Vec::new();
    if ends > 0 && parts > 0 {
        fill(parts, ends, parts, &mut Vec::new(), &mut out);
    }
    out
}

/// How many blends a lattice has: `(ends + parts - 1)! / (parts! (ends - 1)!)`.
fn lattice_size(ends: usize, parts: usize) -> usize {
    (1..ends).fold(1, |count, place| count * (parts + place) / place)
}

/// The finest lattice of these steps with at most so many blends.
pub(super) fn lattice_within(ends: usize, most: usize, steps: &[usize]) -> Vec<Vec<f64>> {
    let parts = steps
        .iter()
        .copied()
        .filter(|parts| lattice_size(ends, *parts) <= most)
        .max()
        .unwrap_or(2);
    lattice(ends, parts)
}

/// From a blend to the nearest one where no small move of a share from one end to
/// another makes the loss less.
///
/// Moves between two ends span every direction that a blend can go, so for a smooth loss
/// the place it stops at is a true one.
pub(super) fn descend(start: &[f64], loss: impl Fn(&[f64]) -> f64) -> Vec<f64> {
    let mut here = start.to_vec();
    let mut least = loss(&here);
    let mut step: f64 = 0.25;
    let mut moves = 0;
    while step > FINEST && moves < MOST_MOVES {
        let mut moved = false;
        for from in 0..here.len() {
            for to in 0..here.len() {
                let amount = step.min(here[from]);
                if from == to || amount <= 0.0 {
                    continue;
                }
                let mut there = here.clone();
                there[from] = if amount < here[from] { here[from] - amount } else { 0.0 };
                there[to] += amount;
                let value = loss(&there);
                if value < least {
                    (here, least, moved) = (there, value, true);
                    moves += 1;
                }
            }
        }
        if !moved {
            step *= 0.5;
        }
    }
    here
}

/// Whether a blend lies among the tiles: whether it could be mixed from them.
pub(super) fn spanned<'a>(blend: &[f64], tiles: impl Iterator<Item = &'a [f64]>) -> bool {
    // The row of ones makes the mixture's shares sum to one.
    const WEIGHT: f64 = 10.0;
    let mut columns = Vec::new();
    for tile in tiles {
        columns.extend_from_slice(tile);
        columns.push(WEIGHT);
    }
    let mut target = blend.to_vec();
    target.push(WEIGHT);
    NnlsWorkspace::new()
        .solve(&columns, &target)
        .is_ok_and(|solution| solution.report.squared_distance.sqrt() <= ON_THE_EDGE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lattices_have_the_count_of_the_handbook() {
        // NIST/SEMATECH e-Handbook 5.5.4.2: {q, m}.
        for (ends, parts, count) in [(3, 2, 6), (3, 3, 10), (4, 2, 10), (4, 3, 20), (5, 2, 15)] {
            let blends = lattice(ends, parts);
            assert_eq!(blends.len(), count);
            assert_eq!(lattice_size(ends, parts), count);
            assert!(
                blends
                    .iter()
                    .all(|blend| (blend.iter().sum::<f64>() - 1.0).abs() < 1e-12)
            );
        }
    }

    #[test]
    fn the_way_down_ends_at_the_bottom_or_at_an_edge() {
        let inside = |x: &[f64]| (x[0] - 0.2).powi(2) + 3.0 * (x[1] - 0.5).powi(2) + (x[0] - 0.2) * (x[1] - 0.5);
        let found = descend(&[1.0, 0.0, 0.0], inside);
        assert!(
            (found[0] - 0.2).abs() < 1e-6 && (found[1] - 0.5).abs() < 1e-6,
            "{found:?}"
        );
        let found = descend(&[0.2, 0.3, 0.5], |x| -x[2]);
        assert_eq!(found, [0.0, 0.0, 1.0]);
    }

    #[test]
    fn a_blend_outside_of_the_tiles_is_told_from_one_between_them() {
        let tiles = [[0.6, 0.2, 0.2], [0.2, 0.6, 0.2], [0.2, 0.2, 0.6]];
        let among = |blend: &[f64]| spanned(blend, tiles.iter().map(|tile| &tile[..]));
        assert!(among(&[0.4, 0.4, 0.2]));
        assert!(among(&[0.334, 0.333, 0.333]));
        assert!(!among(&[0.7, 0.15, 0.15]));
    }
}
