//! What is next to the set that is kept: as many others, one more, one less.

use crate::recipes::swap::SwapTrouble;

use super::answer::Next;
use super::problem::Shelf;
use super::search::Search;
use super::set::Set;

/// How many of each kind are told.
const TOLD: usize = 3;

/// Sets beside `best`; `names` are those of the search's glazes.
pub(super) fn next(
    search: &mut Search<'_>,
    shelf: &Shelf,
    names: &[&str],
    sets: &[Set],
    best: Set,
) -> Result<Vec<Next>, SwapTrouble> {
    let others = sets.iter().filter(|set| **set != best);
    let mut found: Vec<Next> = others
        .map(|set| Next::AsMany {
            with: shelf.of(set.without(best)),
            without: shelf.of(best.without(*set)),
        })
        .collect();
    found.extend(more(search, shelf, names, best)?);
    found.extend(less(search, shelf, names, best)?);
    Ok(found)
}

/// One material more: what keeps most glazes unchanged, then what brings them nearest.
fn more(search: &mut Search<'_>, shelf: &Shelf, names: &[&str], best: Set) -> Result<Vec<Next>, SwapTrouble> {
    let mut found: Vec<(usize, f64, Next)> = Vec::new();
    for member in search.all.without(best).members() {
        let wider = best.with(member);
        let mut unchanged = Vec::new();
        let mut nearer = 0.0;
        for (glaze, name) in search.glazes.iter_mut().zip(names) {
            if glaze.allowed.has(member) && !glaze.keeps_its_own(best) {
                let before = glaze.distance(best)?.unwrap_or(0.0);
                let own = glaze.keeps_its_own(wider);
                let after = if own {
                    0.0
                } else {
                    glaze.distance(wider)?.unwrap_or(before)
                };
                nearer += (before - after).max(0.0);
                unchanged.extend(own.then(|| (*name).to_owned()));
            }
        }
        let with = shelf.materials[member].clone();
        let next = (unchanged.len(), nearer);
        if nearer > 1e-6 || next.0 > 0 {
            found.push((
                next.0,
                next.1,
                Next::OneMore {
                    with,
                    unchanged,
                    nearer,
                },
            ));
        }
    }
    found.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
    Ok(found.into_iter().map(|(_, _, next)| next).take(TOLD).collect())
}

/// One material less: what loses fewest glazes, then what moves them least.
fn less(search: &mut Search<'_>, shelf: &Shelf, names: &[&str], best: Set) -> Result<Vec<Next>, SwapTrouble> {
    let mut found: Vec<(usize, f64, Next)> = Vec::new();
    for member in best.without(search.kept).members() {
        let fewer = best.without(Set::default().with(member));
        let mut lost: Vec<(String, Option<f64>)> = Vec::new();
        for (glaze, name) in search.glazes.iter_mut().zip(names) {
            if !glaze.is_near(fewer, &mut search.work)? {
                lost.push(((*name).to_owned(), glaze.distance(fewer)?));
            }
        }
        let far = lost.iter().map(|(_, distance)| distance.unwrap_or(f64::INFINITY));
        let worst = far.fold(0.0, f64::max);
        let without = shelf.materials[member].clone();
        found.push((lost.len(), worst, Next::OneLess { without, lost }));
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    Ok(found.into_iter().map(|(_, _, next)| next).take(TOLD).collect())
}
