//! The advice on tables of measured blends and on surfaces of several shapes.

#[allow(dead_code, reason = "others use the rest of it")]
mod family_support;
#[allow(dead_code, reason = "others use the rest of it")]
mod measured_support;
#[allow(dead_code, reason = "others use the rest of it")]
mod mixture_support;

use family_support::{Called, SHAPES, called};
use measured_support::{Outcome, median, tasks};

/// From random tiles and three batches of three, of 1,040 blends: further starts by the
/// example `measured_blends`.
#[test]
fn the_best_of_a_thousand_measured_blends_is_soon_made() {
    const STARTS: u64 = 4;
    let (mut ranks, mut in_ten) = (Vec::new(), 0);
    for task in tasks() {
        let runs: Vec<Outcome> = (0..STARTS).map(|start| task.run(500 + 104_729 * start)).collect();
        for run in &runs {
            println!("{} {:?}: {run:?} of {}", task.name, task.goal, task.size());
            assert!(run.again_bad == 0 && !run.low_called, "{run:?}");
        }
        ranks.extend(runs.iter().map(|run| run.rank as f64));
        in_ten += runs.iter().filter(|run| run.rank <= 10).count();
    }
    let count = ranks.len();
    let rank = median(ranks);
    assert!(rank <= 3.0, "{rank}");
    assert!(in_ten * 10 >= count * 8, "{in_ten} of {count} in the best ten");
}

/// Bands over three ends in whole grades; further ones by the example `surface_families`.
#[test]
fn bands_hold_over_surfaces_of_every_shape() {
    const RUNS: u64 = 4;
    let mut held = 0;
    for shape in SHAPES {
        let each: Vec<Called> = (0..RUNS).map(|run| called(shape, 3, true, 77 + 7919 * run)).collect();
        held += each.iter().filter(|one| one.held).count();
        assert!(each.iter().all(|one| one.again_bad == 0), "{shape:?}");
    }
    let count = SHAPES.len() * RUNS as usize;
    assert!(held * 4 >= count * 3, "{held} of {count} bands hold");
}
