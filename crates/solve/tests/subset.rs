//! Best subset against solving every subset.

mod support;

use glost_solve::plain;
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};
use support::{Draw, Fit, ROWS, substitution};

fn question(free: usize, at_most: usize, wanted: usize) -> SubsetQuestion {
    SubsetQuestion {
        free,
        at_most,
        wanted,
        work_limit: u64::MAX,
    }
}

/// The answer's own claims: amounts, members, count, order, distance.
fn holds_together(fit: &Fit, asked: SubsetQuestion, case: usize) -> Vec<f64> {
    let mut workspace = SubsetWorkspace::new();
    let answer = workspace.solve(&fit.columns, &fit.rhs, asked).unwrap();
    assert!(answer.proven);
    let best = workspace.search(&fit.columns, &fit.rhs, asked);
    assert_eq!(best, Ok(answer.best[0].squared_distance), "case {case}");
    for subset in &answer.best {
        let used: Vec<usize> = (asked.free..fit.count).filter(|j| subset.x[*j] > 0.0).collect();
        assert_eq!(used, subset.members, "case {case}");
        assert!(used.len() <= asked.at_most, "case {case}");
        assert!(subset.x.iter().all(|x| *x >= 0.0 && x.is_finite()));
        let squared = plain::squared_distance(&fit.columns, &fit.rhs, &subset.x);
        let reported = subset.squared_distance;
        assert!((squared - reported).abs() <= 1e-9 * (1.0 + squared), "case {case}");
    }
    assert!(
        answer
            .best
            .windows(2)
            .all(|w| w[0].squared_distance <= w[1].squared_distance)
    );
    answer.best.iter().map(|s| s.squared_distance).collect()
}

#[test]
fn the_best_subset_is_the_best_of_all() {
    let mut draw = Draw(11);
    for case in 0..150 {
        let count = draw.index(2, 16);
        let free = draw.index(0, 4.min(count));
        let at_most = draw.index(1, 4);
        let fit = substitution(&mut draw, count);
        let found = holds_together(&fit, question(free, at_most, 1), case);
        let all = plain::best_subsets(&fit.columns, &fit.rhs, free, at_most, 1);
        let excess = found[0] - all[0].0;
        assert!(
            excess <= 1e-8 * (1.0 + all[0].0),
            "case {case}: {} {}",
            found[0],
            all[0].0
        );
    }
}

#[test]
fn the_next_best_fits_are_the_next_best_of_all() {
    let mut draw = Draw(12);
    for case in 0..150 {
        let count = draw.index(2, 14);
        let free = draw.index(0, 4.min(count));
        let at_most = draw.index(1, 4);
        let wanted = draw.index(2, 6);
        let fit = substitution(&mut draw, count);
        let found = holds_together(&fit, question(free, at_most, wanted), case);
        let all = plain::best_subsets(&fit.columns, &fit.rhs, free, at_most, wanted);
        assert_eq!(found.len(), all.len(), "case {case}");
        for (found, (all, _)) in found.iter().zip(&all) {
            // lots a hair apart may be counted as one from either side: 1e-6 in a row
            // moves the squared distance by up to 2e-6 times the distance
            let tolerance = 1e-8 * (1.0 + all) + 1e-5 * all.sqrt();
            assert!((found - all).abs() <= tolerance, "case {case}: {found} {all}");
        }
    }
}

/// As many as there are: each subset's own fit is in the list, those of few columns too.
#[test]
fn all_that_differ_are_told_where_all_are_wanted() {
    let mut draw = Draw(19);
    for case in 0..20 {
        let (count, free) = (7, case % 3);
        let columns: Vec<f64> = (0..count * ROWS).map(|_| draw.between(0.1, 2.0)).collect();
        let rhs: Vec<f64> = (0..ROWS).map(|_| draw.between(1.0, 4.0)).collect();
        let fit = Fit { columns, rhs, count };
        let found = holds_together(&fit, question(free, 4, 200), case);
        let all = plain::best_subsets(&fit.columns, &fit.rhs, free, 4, 200);
        assert_eq!(found.len(), all.len(), "case {case}");
        for (found, (all, _)) in found.iter().zip(&all) {
            assert!((found - all).abs() <= 1e-8 * (1.0 + all), "case {case}: {found} {all}");
        }
    }
}

/// Two lots whose fits are the same within 0.000001 in each row: the nearer one is named. By
/// hand, 0.0000001 of the second row at a miss of 5 is worth 0.000001 of 25.
#[test]
fn of_two_lots_a_hair_apart_the_nearer_is_named() {
    let answer = SubsetWorkspace::new().solve(&[1.0, 0.0, 1.0, 1e-7], &[1.0, 5.0], question(0, 1, 1));
    let best = &answer.unwrap().best[0];
    assert_eq!(best.members, [1]);
    assert!((25.0 - best.squared_distance - 1e-6).abs() < 1e-9, "{best:?}");
}

/// Enough columns that the tree branches before it enumerates.
#[test]
fn branching_agrees_with_enumeration() {
    let mut draw = Draw(13);
    for case in 0..6 {
        let fit = substitution(&mut draw, 40);
        let free = case % 3;
        let found = holds_together(&fit, question(free, 3, 1), case);
        let all = plain::best_subsets(&fit.columns, &fit.rhs, free, 3, 1);
        assert!(found[0] - all[0].0 <= 1e-8 * (1.0 + all[0].0), "case {case}");
    }
}

/// Columns much alike and nothing that meets the aim: one after another the best are often
/// missed, so that the tree has to find them. The work it takes is told, and stays small.
#[test]
fn among_columns_much_alike_the_best_three_are_found() {
    let mut draw = Draw(18);
    let mut work = 0;
    for case in 0..60 {
        let count = 24;
        let columns: Vec<f64> = (0..count * ROWS).map(|_| draw.between(0.2, 1.0)).collect();
        let rhs: Vec<f64> = (0..ROWS).map(|_| draw.between(1.0, 9.0)).collect();
        let fit = Fit { columns, rhs, count };
        let found = holds_together(&fit, question(0, 3, 1), case);
        let all = plain::best_subsets(&fit.columns, &fit.rhs, 0, 3, 1);
        let excess = found[0] - all[0].0;
        assert!(excess <= 1e-8 * (1.0 + all[0].0), "case {case}: {excess}");
        let asked = question(0, 3, 1);
        work += SubsetWorkspace::new()
            .solve(&fit.columns, &fit.rhs, asked)
            .unwrap()
            .work;
    }
    assert!(work < 50_000, "{work}");
}

#[test]
fn twins_are_named_and_count_once() {
    let mut draw = Draw(14);
    let fit = substitution(&mut draw, 8);
    let doubled: Vec<f64> = fit
        .columns
        .iter()
        .copied()
        .chain(fit.columns.iter().map(|v| v * 3.7))
        .collect();
    let mut workspace = SubsetWorkspace::new();
    let single = workspace.solve(&fit.columns, &fit.rhs, question(0, 2, 3)).unwrap();
    let twice = workspace.solve(&doubled, &fit.rhs, question(0, 2, 3)).unwrap();
    for (a, b) in single.best.iter().zip(&twice.best) {
        assert_eq!(a.members, b.members);
        assert!((a.squared_distance - b.squared_distance).abs() < 1e-9);
        for (member, twins) in b.members.iter().zip(&b.twins) {
            assert!(twins.contains(&(member + 8)));
        }
    }
}

#[test]
fn a_work_limit_stops_and_says_so() {
    let mut draw = Draw(15);
    let fit = substitution(&mut draw, 60);
    let mut asked = question(0, 4, 1);
    asked.work_limit = 50;
    let answer = SubsetWorkspace::new().solve(&fit.columns, &fit.rhs, asked).unwrap();
    assert!(!answer.proven && !answer.best.is_empty());
}

/// Forward selection by the textbook version: one column after another, each the best then.
fn one_after_another(fit: &Fit, at_most: usize) -> f64 {
    let distance = |chosen: &[usize]| {
        let columns = chosen
            .iter()
            .flat_map(|j| fit.columns[j * ROWS..(j + 1) * ROWS].to_vec());
        let columns: Vec<f64> = columns.collect();
        plain::squared_distance(&columns, &fit.rhs, &plain::nnls(&columns, &fit.rhs))
    };
    let mut chosen: Vec<usize> = Vec::new();
    for _ in 0..at_most {
        let with = |j: usize| distance(&[&chosen[..], &[j]].concat());
        let next = (0..fit.count).min_by(|i, j| with(*i).total_cmp(&with(*j)));
        chosen.extend(next);
    }
    distance(&chosen)
}

#[test]
fn stopped_at_once_it_is_as_good_as_choosing_one_after_another() {
    let mut draw = Draw(17);
    for case in 0..10 {
        let fit = substitution(&mut draw, 30);
        let mut asked = question(0, 3, 1);
        asked.work_limit = 1;
        let answer = SubsetWorkspace::new().solve(&fit.columns, &fit.rhs, asked).unwrap();
        let (found, plain) = (answer.best[0].squared_distance, one_after_another(&fit, 3));
        assert!(!answer.proven, "case {case}");
        assert!(
            found <= plain + 1e-6 * (1.0 + plain),
            "case {case}: {found}, not {plain}"
        );
    }
}

#[test]
fn empty_and_hopeless_problems_have_answers() {
    let mut workspace = SubsetWorkspace::new();
    assert!(workspace.solve(&[], &[], question(0, 3, 2)).unwrap().best.len() <= 1);
    let nothing = workspace.solve(&[0.0; 44], &[1.0; ROWS], question(0, 2, 2)).unwrap();
    assert_eq!(nothing.best.len(), 1);
    assert_eq!(nothing.best[0].members, [0usize; 0]);
    assert!(workspace.solve(&[1.0], &[1.0], question(2, 1, 1)).is_err());
    let none = workspace.solve(&[1.0], &[1.0], question(0, 0, 1)).unwrap();
    assert_eq!(none.best[0].x, [0.0]);
}

#[test]
fn a_reused_workspace_gives_the_same_answer() {
    let mut draw = Draw(16);
    let mut workspace = SubsetWorkspace::new();
    for _ in 0..40 {
        let count = draw.index(5, 40);
        let fit = substitution(&mut draw, count);
        let asked = question(draw.index(0, 4), draw.index(1, 5), draw.index(1, 4));
        let again = workspace.solve(&fit.columns, &fit.rhs, asked).unwrap();
        assert_eq!(
            again,
            SubsetWorkspace::new().solve(&fit.columns, &fit.rhs, asked).unwrap()
        );
    }
}
