//! Points of the classic designs for mixtures, as shares of the ends.
//!
//! Names and counts: NIST/SEMATECH e-Handbook of Statistical Methods, 5.5.4.2
//! (simplex lattice) and 5.5.4.3 (simplex centroid).

use super::tiles::Shares;

/// Most tiles of one plan: more than any kiln of tests holds, and a sign of a
/// slip in the call.
pub const MOST_TILES: usize = 1_000;
/// Most ends of one plan.
pub const MOST_ENDS: usize = 10;

/// The simplex lattice {ends, steps}: every mixture whose shares are whole
/// multiples of 1/steps, from the first end on. There are
/// (ends + steps - 1)! / (steps! (ends - 1)!) of them.
///
/// `None` without ends or steps, or beyond [`MOST_TILES`].
pub fn lattice(ends: usize, steps: usize) -> Option<Vec<Shares>> {
    let count = lattice_size(ends, steps)?;
    let mut points = Vec::with_capacity(count);
    let mut parts = vec![0; ends];
    fill(&mut parts, 0, steps, &mut |parts| {
        points.push(parts.iter().map(|part| *part as f64 / steps as f64).collect());
    });
    Some(points)
}

/// How many points [`lattice`] has; `None` as there.
pub fn lattice_size(ends: usize, steps: usize) -> Option<usize> {
    if ends == 0 || steps == 0 || ends > MOST_ENDS || steps > MOST_TILES {
        return None;
    }
    // One factor after the other: each quotient is a binomial, so whole.
    let mut count: u128 = 1;
    for factor in 1..ends as u128 {
        count = count * (steps as u128 + factor) / factor;
    }
    usize::try_from(count).ok().filter(|count| *count <= MOST_TILES)
}

/// All ways to share `left` out from place `place` on, the first ends most.
fn fill(parts: &mut [usize], place: usize, left: usize, found: &mut impl FnMut(&[usize])) {
    if place + 1 == parts.len() {
        parts[place] = left;
        found(parts);
        return;
    }
    for own in (0..=left).rev() {
        parts[place] = own;
        fill(parts, place + 1, left - own, found);
    }
}

/// The simplex centroid: every set of ends in equal shares, single ends first,
/// then pairs, up to all together; 2^ends - 1 points.
///
/// `None` without ends or beyond nine of them.
pub fn centroid(ends: usize) -> Option<Vec<Shares>> {
    if ends == 0 || ends > 9 {
        return None;
    }
    let mut sets: Vec<Vec<usize>> = (1..1_usize << ends)
        .map(|bits| (0..ends).filter(|end| bits >> end & 1 == 1).collect())
        .collect();
    sets.sort_by(|a: &Vec<usize>, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    Some(
        sets.into_iter()
            .map(|set| {
                let share = 1.0 / set.len() as f64;
                (0..ends)
                    .map(|end| if set.contains(&end) { share } else { 0.0 })
                    .collect()
            })
            .collect(),
    )
}

/// A grid between four corners: first top left, second top right, third bottom
/// left, fourth bottom right; shares are bilinear. Rows from the top.
///
/// `None` for fewer than two rows or columns, or beyond [`MOST_TILES`].
pub fn grid(rows: usize, columns: usize) -> Option<Vec<Vec<Shares>>> {
    let count = rows.checked_mul(columns)?;
    if rows < 2 || columns < 2 || count > MOST_TILES {
        return None;
    }
    let part = |index: usize, of: usize| index as f64 / (of - 1) as f64;
    Some(
        (0..rows)
            .map(|row| {
                let down = part(row, rows);
                (0..columns)
                    .map(|column| {
                        let across = part(column, columns);
                        vec![
                            (1.0 - down) * (1.0 - across),
                            (1.0 - down) * across,
                            down * (1.0 - across),
                            down * across,
                        ]
                    })
                    .collect()
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lattice_has_the_handbooks_counts() {
        // NIST/SEMATECH e-Handbook 5.5.4.2, table 5.2 and text.
        for ((ends, steps), count) in [((3, 2), 6), ((3, 3), 10), ((4, 2), 10), ((4, 3), 20), ((5, 2), 15)] {
            assert_eq!(
                lattice(ends, steps).map(|points| points.len()),
                Some(count),
                "{{{ends},{steps}}}"
            );
            assert_eq!(lattice_size(ends, steps), Some(count));
        }
        for steps in 1..=20 {
            assert_eq!(lattice_size(3, steps), Some((steps + 1) * (steps + 2) / 2));
        }
        assert_eq!(lattice(3, 0), None);
        assert_eq!(lattice(3, 200), None);
    }

    #[test]
    fn the_centroid_has_all_sets() {
        let points = centroid(3).unwrap_or_else(|| panic!("no such design"));
        assert_eq!(points.len(), 7);
        assert_eq!(points[3], [0.5, 0.5, 0.0]);
        assert_eq!(points[6], [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0]);
        assert_eq!(centroid(4).map(|points| points.len()), Some(15));
        assert_eq!(centroid(0), None);
    }

    #[test]
    fn a_grid_has_its_corners_and_its_middle() {
        let rows = grid(5, 5).unwrap_or_else(|| panic!("no such design"));
        assert_eq!(rows.iter().map(Vec::len).sum::<usize>(), 25);
        assert_eq!(rows[0][4], [0.0, 1.0, 0.0, 0.0]);
        assert_eq!(rows[4][0], [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(rows[2][2], [0.25; 4]);
        assert_eq!(grid(1, 5), None);
    }
}
