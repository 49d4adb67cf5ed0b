//! Non-negative least squares against the textbook version and against its own conditions.

mod support;

use glost_solve::nnls::NnlsWorkspace;
use glost_solve::{KernelError, plain};
use support::{Draw, ROWS, substitution};

/// No better than the oracle by rounding, no worse by more than 1e-8, as a fit is graded.
fn agrees(squared: f64, oracle: f64) -> bool {
    squared - oracle <= 1e-8 * (1.0 + oracle)
}

#[test]
fn three_thousand_substitutions_reach_the_textbook_optimum() {
    let mut draw = Draw(1);
    let mut workspace = NnlsWorkspace::new();
    let (mut worst, mut oracle_worse) = (0.0f64, 0);
    for case in 0..3000 {
        let count = draw.index(5, 61);
        let fit = substitution(&mut draw, count);
        let solution = workspace.solve(&fit.columns, &fit.rhs).unwrap();
        let squared = plain::squared_distance(&fit.columns, &fit.rhs, &solution.x);
        assert!(solution.x.iter().all(|x| *x >= 0.0 && x.is_finite()), "case {case}");
        let oracle = plain::squared_distance(&fit.columns, &fit.rhs, &plain::nnls(&fit.columns, &fit.rhs));
        if oracle - squared > 1e-8 * (1.0 + squared) {
            oracle_worse += 1;
        }
        worst = worst.max(solution.report.optimality_gap);
        assert!(agrees(squared, oracle), "case {case}: {squared} against {oracle}");
        let reported = solution.report.squared_distance;
        assert!(
            (reported - squared).abs() <= 1e-9 * (1.0 + squared),
            "case {case}: {reported}"
        );
    }
    println!("worst gap {worst:e}; the textbook version fell short {oracle_worse} times");
}

#[test]
fn the_optimum_meets_the_kuhn_tucker_conditions() {
    let mut draw = Draw(2);
    let mut workspace = NnlsWorkspace::new();
    for case in 0..1000 {
        let count = draw.index(5, 61);
        let fit = substitution(&mut draw, count);
        let solution = workspace.solve(&fit.columns, &fit.rhs).unwrap();
        let mut residual = fit.rhs.clone();
        for (column, x) in fit.columns.chunks(ROWS).zip(&solution.x) {
            residual.iter_mut().zip(column).for_each(|(r, a)| *r -= a * x);
        }
        let scale = fit.rhs.iter().map(|v| v * v).sum::<f64>().sqrt();
        for (column, x) in fit.columns.chunks(ROWS).zip(&solution.x) {
            let norm = column.iter().map(|v| v * v).sum::<f64>().sqrt();
            let gradient = column.iter().zip(&residual).map(|(a, r)| a * r).sum::<f64>();
            assert!(gradient <= 1e-10 * norm * scale, "case {case}: could still improve");
            // an amount of norm x |b| may be off by rounding only
            assert!(
                *x == 0.0 || gradient.abs() <= 1e-8 * norm * scale,
                "case {case}: {gradient:e}"
            );
        }
    }
}

#[test]
fn near_twins_do_not_block_the_optimum() {
    let mut draw = Draw(3);
    let mut workspace = NnlsWorkspace::new();
    for case in 0..600 {
        let count = draw.index(4, 30);
        let mut fit = substitution(&mut draw, count);
        let off = 10f64.powi(-(case % 12) - 3);
        let lots: Vec<f64> = fit
            .columns
            .iter()
            .map(|v| v * (1.0 + off * draw.between(-1.0, 1.0)))
            .collect();
        fit.columns.extend(lots);
        let solution = workspace.solve(&fit.columns, &fit.rhs).unwrap();
        let squared = plain::squared_distance(&fit.columns, &fit.rhs, &solution.x);
        let oracle = plain::squared_distance(&fit.columns, &fit.rhs, &plain::nnls(&fit.columns, &fit.rhs));
        assert!(
            agrees(squared, oracle),
            "case {case} off {off:e}: {squared} against {oracle}"
        );
    }
}

#[test]
fn weights_multiply_rows() {
    let mut draw = Draw(4);
    let fit = substitution(&mut draw, 20);
    let weights: Vec<f64> = (0..ROWS).map(|_| draw.between(0.1, 3.0)).collect();
    let weighed: Vec<f64> = fit
        .columns
        .chunks(ROWS)
        .flat_map(|c| c.iter().zip(&weights).map(|(v, w)| v * w))
        .collect();
    let rhs: Vec<f64> = fit.rhs.iter().zip(&weights).map(|(v, w)| v * w).collect();
    let mut workspace = NnlsWorkspace::new();
    let by_weight = workspace
        .solve_weighted(&fit.columns, &fit.rhs, Some(&weights))
        .unwrap();
    assert_eq!(by_weight, workspace.solve(&weighed, &rhs).unwrap());
}

#[test]
fn units_do_not_matter() {
    let mut draw = Draw(5);
    let mut workspace = NnlsWorkspace::new();
    for _ in 0..50 {
        let fit = substitution(&mut draw, 25);
        let scaled: Vec<f64> = fit.columns.iter().map(|v| v * 1e90).collect();
        let rhs: Vec<f64> = fit.rhs.iter().map(|v| v * 1e-60).collect();
        let here = workspace.solve(&fit.columns, &fit.rhs).unwrap();
        let there = workspace.solve(&scaled, &rhs).unwrap();
        let (a, b) = (here.report.squared_distance, there.report.squared_distance * 1e120);
        assert!((a - b).abs() <= 1e-9 * (1.0 + a), "{a} {b}");
    }
}

#[test]
fn a_reused_workspace_gives_the_same_bits() {
    let mut draw = Draw(6);
    let mut workspace = NnlsWorkspace::new();
    let mut x = vec![0.0; 60];
    for _ in 0..200 {
        let count = draw.index(1, 61);
        let fit = substitution(&mut draw, count);
        let report = workspace
            .solve_into(&fit.columns, &fit.rhs, None, &mut x[..count])
            .unwrap();
        let fresh = NnlsWorkspace::new().solve(&fit.columns, &fit.rhs).unwrap();
        assert_eq!((&fresh.x[..], fresh.report), (&x[..count], report));
    }
}

#[test]
fn ties_go_to_the_first_column() {
    let twin = [1.0, 2.0, 1.0, 2.0];
    let solution = NnlsWorkspace::new().solve(&twin, &[1.0, 2.0]).unwrap();
    assert!((solution.x[0] - 1.0).abs() < 1e-15);
    assert_eq!(solution.x[1], 0.0);
}

#[test]
fn empty_and_hopeless_problems_have_answers() {
    let mut workspace = NnlsWorkspace::new();
    assert!(workspace.solve(&[], &[]).unwrap().x.is_empty());
    assert!(workspace.solve(&[], &[1.0]).unwrap().x.is_empty());
    // nothing wanted
    assert_eq!(workspace.solve(&[1.0, 2.0], &[0.0, 0.0]).unwrap().x, [0.0]);
    // nothing to give
    assert_eq!(workspace.solve(&[0.0, 0.0], &[1.0, 2.0]).unwrap().x, [0.0]);
    // only the wrong way
    let away = workspace.solve(&[-1.0, 0.0], &[1.0, 2.0]).unwrap();
    assert_eq!((away.x[0], away.report.squared_distance), (0.0, 5.0));
}

#[test]
fn what_is_not_a_number_is_refused() {
    let mut workspace = NnlsWorkspace::new();
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e200] {
        let refused = workspace.solve(&[1.0, bad], &[1.0, 1.0]);
        assert_eq!(
            refused,
            Err(KernelError::NotFinite {
                what: "columns",
                index: 1
            })
        );
        assert_eq!(
            workspace.solve(&[1.0, 1.0], &[bad, 1.0]),
            Err(KernelError::NotFinite { what: "rhs", index: 0 })
        );
    }
    assert!(matches!(
        workspace.solve(&[1.0; 3], &[1.0; 2]),
        Err(KernelError::Shape { .. })
    ));
    let beyond = workspace.solve_weighted(&[1e130, 1.0], &[1.0; 2], Some(&[1e130, 1.0]));
    assert!(matches!(beyond, Err(KernelError::NotFinite { .. })));
}

/// A column against one that is in use, but for a hair, can't be told from it and is turned
/// away; the members stay as they were, and a column after it still comes in.
#[test]
fn a_column_turned_away_leaves_the_others_as_they_were() {
    let inside = [[1.0, 0.0, 0.0, 0.0], [1.0, 0.0, 0.0, 0.2], [1.0, 1e-7, 1e-4, 0.0]];
    let against = [-1.0, 3e-7, 0.0, 0.0];
    let rhs = [2.0, 1e-3, 0.0, 0.1];
    let without = inside.concat();
    let with: Vec<f64> = inside.concat().into_iter().chain(against).collect();
    let mut workspace = NnlsWorkspace::new();
    let best = plain::squared_distance(&without, &rhs, &plain::nnls(&without, &rhs));
    for columns in [without, with] {
        let squared = workspace.solve(&columns, &rhs).unwrap().report.squared_distance;
        // the last column is worth a millionth of the distance
        assert!((squared - best).abs() < 1e-8 * best, "{squared} {best}");
    }
}
