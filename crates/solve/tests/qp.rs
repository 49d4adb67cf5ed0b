//! Quadratic programmes against Clarabel, an interior-point solver, and by proof: the
//! Kuhn-Tucker conditions for an optimum, the arithmetic of a certificate for a clash.

mod support;

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT};
use glost_solve::KernelError;
use glost_solve::qp::{Certificate, Hessian, QpOptimum, QpOutcome, QpWorkspace, QuadraticProgram};
use support::{Draw, Repair, product, repair, with_program};

/// The largest miss of any limit.
fn worst_miss(problem: &Repair, x: &[f64], keep: impl Fn(usize) -> bool) -> f64 {
    let rows = problem.rows.chunks(problem.count).enumerate().filter(|(i, _)| keep(*i));
    let misses = rows.map(|(i, row)| {
        let value = product(row, x);
        (problem.lower[i] - value).max(value - problem.upper[i])
    });
    misses.chain(x.iter().map(|x| -x)).fold(0.0, f64::max)
}

/// `Hx + q = A'y + z`, signs right, only binding limits priced.
fn assert_optimal(problem: &Repair, optimum: &QpOptimum, case: usize) {
    let n = problem.count;
    let x = &optimum.x;
    assert!(worst_miss(problem, x, |_| true) <= 1e-9, "case {case}");
    for j in 0..n {
        let gradient = product(&problem.hessian[j * n..(j + 1) * n], x) + problem.linear[j];
        let mut priced = optimum.bound_multipliers[j];
        let mut rounding = 0.0;
        for (row, y) in problem.rows.chunks(n).zip(&optimum.row_multipliers) {
            priced += row[j] * y;
            rounding += (row[j] * y).abs();
        }
        // where limits barely allow a point, prices in the millions cancel in this sum
        let allowed = 1e-8 * (1.0 + problem.linear[j].abs()) + 1e-13 * rounding;
        assert!((gradient - priced).abs() <= allowed, "case {case}: {gradient} {priced}");
        assert!(optimum.bound_multipliers[j] >= 0.0);
        assert!(optimum.bound_multipliers[j] == 0.0 || x[j] == 0.0, "case {case}");
    }
    for (i, (row, y)) in problem.rows.chunks(n).zip(&optimum.row_multipliers).enumerate() {
        let value = product(row, x);
        let bound = if *y > 0.0 { problem.lower[i] } else { problem.upper[i] };
        assert!(
            *y == 0.0 || (value - bound).abs() <= 1e-9,
            "case {case}: priced but not binding"
        );
    }
}

/// Clarabel's status and objective at 1e-11.
fn clarabel(problem: &Repair) -> (SolverStatus, f64) {
    let n = problem.count;
    let sparse = |rows: &[Vec<f64>]| CscMatrix::from(&rows.iter().map(|r| r.as_slice().to_vec()).collect::<Vec<_>>());
    let hessian: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            (0..n)
                .map(|j| if j >= i { problem.hessian[i * n + j] } else { 0.0 })
                .collect()
        })
        .collect();
    let mut rows = vec![problem.rows[..n].to_vec()];
    let mut limits = vec![problem.lower[0]];
    for (i, row) in problem.rows.chunks(n).enumerate().skip(1) {
        if problem.upper[i].is_finite() {
            rows.push(row.to_vec());
            limits.push(problem.upper[i]);
        }
        if problem.lower[i].is_finite() {
            rows.push(row.iter().map(|v| -v).collect());
            limits.push(-problem.lower[i]);
        }
    }
    for j in 0..n {
        rows.push((0..n).map(|k| if k == j { -1.0 } else { 0.0 }).collect());
        limits.push(0.0);
    }
    let settings = DefaultSettingsBuilder::default()
        .verbose(false)
        .tol_gap_abs(1e-11)
        .tol_gap_rel(1e-11)
        .tol_feas(1e-11)
        .max_iter(200)
        .build()
        .unwrap();
    let cones = [ZeroConeT(1), NonnegativeConeT(rows.len() - 1)];
    let (hessian, rows) = (sparse(&hessian), sparse(&rows));
    let mut solver = DefaultSolver::new(&hessian, &problem.linear, &rows, &limits, &cones, settings).unwrap();
    solver.solve();
    (solver.solution.status, solver.solution.obj_val)
}

#[test]
fn four_hundred_repairs_are_optimal_and_agree_with_clarabel() {
    let mut given_up = 0;
    let mut draw = Draw(21);
    let mut workspace = QpWorkspace::new();
    for case in 0..400 {
        let count = draw.index(3, 61);
        let problem = repair(&mut draw, count, false);
        let outcome = with_program(&problem, |p| workspace.solve(p)).unwrap();
        let QpOutcome::Optimal(optimum) = outcome else {
            panic!("case {case}: {outcome:?}")
        };
        assert_optimal(&problem, &optimum, case);
        let (status, other) = clarabel(&problem);
        if status != SolverStatus::Solved {
            // limits that barely allow a point stop an interior method; the conditions hold
            given_up += 1;
            continue;
        }
        let distance = optimum.objective - other;
        // the objective is the difference of two terms of this size
        let size = 1.0 + product(&problem.linear, &optimum.x).abs() + other.abs();
        // Clarabel may miss a limit by its tolerance, which is worth the limit's price
        let prices: f64 = optimum.row_multipliers.iter().map(|y| y.abs()).sum();
        assert!(
            distance.abs() <= 1e-8 * size + 1e-10 * prices,
            "case {case}: {} {other}",
            optimum.objective
        );
    }
    assert!(given_up < 10, "{given_up}");
}

/// Weights times rows vanish, weights times limits do not.
fn assert_proof(problem: &Repair, proof: &Certificate, case: usize) {
    let n = problem.count;
    let (mut sum, mut limits, mut size) = (vec![0.0; n], 0.0, 0.0);
    for (i, weight) in &proof.rows {
        let limit = if *weight > 0.0 {
            problem.lower[*i]
        } else {
            problem.upper[*i]
        };
        limits += weight * limit;
        size += (weight * limit).abs();
        for (s, a) in sum.iter_mut().zip(&problem.rows[i * n..]) {
            *s += weight * a;
        }
    }
    for (j, weight) in &proof.bounds {
        assert!(*weight > 0.0, "case {case}: amounts have no upper limit");
        sum[*j] += weight;
    }
    assert!(limits > 1e-9 * size, "case {case}: {limits}");
    // amounts are at most 100 each, so a leftover this small cannot make up for the limits
    let leftover: f64 = sum.iter().map(|s| s.abs()).sum();
    assert!(
        leftover * 100.0 < 0.1 * limits,
        "case {case}: {leftover} against {limits}"
    );
}

#[test]
fn contradictory_repairs_come_with_a_proof_and_an_irreducible_clash() {
    let mut draw = Draw(22);
    let mut workspace = QpWorkspace::new();
    for case in 0..200 {
        let count = draw.index(3, 61);
        let problem = repair(&mut draw, count, true);
        let outcome = with_program(&problem, |p| workspace.solve(p)).unwrap();
        let QpOutcome::Infeasible(proof) = outcome else {
            panic!("case {case}: {outcome:?}")
        };
        assert_proof(&problem, &proof, case);
        let (status, _) = clarabel(&problem);
        assert_eq!(status, SolverStatus::PrimalInfeasible, "case {case}");
        let groups: Vec<Option<usize>> = (0..problem.lower.len()).map(|i| i.checked_sub(1)).collect();
        let clash = with_program(&problem, |p| workspace.conflict(p, &groups))
            .unwrap()
            .unwrap();
        assert!(!clash.is_empty(), "case {case}");
        let subset = |kept: &[usize]| {
            let mut part = Repair {
                rows: vec![],
                lower: vec![],
                upper: vec![],
                hessian: problem.hessian.clone(),
                linear: problem.linear.clone(),
                ..problem
            };
            for i in [0].into_iter().chain(kept.iter().map(|g| g + 1)) {
                part.rows.extend_from_slice(&problem.rows[i * count..(i + 1) * count]);
                part.lower.push(problem.lower[i]);
                part.upper.push(problem.upper[i]);
            }
            part
        };
        let all = subset(&clash);
        match with_program(&all, |p| QpWorkspace::new().solve(p)).unwrap() {
            QpOutcome::Infeasible(proof) => assert_proof(&all, &proof, case),
            QpOutcome::Optimal(_) => panic!("case {case}: the clash can be satisfied"),
        }
        for left_out in &clash {
            let rest: Vec<usize> = clash.iter().copied().filter(|g| g != left_out).collect();
            let part = subset(&rest);
            let outcome = with_program(&part, |p| QpWorkspace::new().solve(p)).unwrap();
            let QpOutcome::Optimal(optimum) = outcome else {
                panic!("case {case}: reducible")
            };
            assert!(worst_miss(&part, &optimum.x, |_| true) <= 1e-9, "case {case}");
        }
    }
}

#[test]
fn a_multiplier_is_the_price_of_its_limit() {
    let mut draw = Draw(23);
    let mut workspace = QpWorkspace::new();
    let mut priced = 0;
    for _ in 0..60 {
        let count = draw.index(5, 20);
        let mut problem = repair(&mut draw, count, false);
        let QpOutcome::Optimal(before) = with_program(&problem, |p| workspace.solve(p)).unwrap() else {
            panic!()
        };
        for i in 1..problem.lower.len() {
            let y = before.row_multipliers[i];
            let nudge = -y.signum() * 1e-6;
            if y.abs() < 1e-3 {
                continue;
            }
            let limits = (problem.lower[i], problem.upper[i]);
            if y > 0.0 {
                problem.lower[i] += nudge
            } else {
                problem.upper[i] += nudge
            }
            let QpOutcome::Optimal(after) = with_program(&problem, |p| workspace.solve(p)).unwrap() else {
                panic!()
            };
            (problem.lower[i], problem.upper[i]) = limits;
            // relaxed a little: the objective falls by price times nudge, unless another
            // limit binds at the same point
            if (after.row_multipliers[i] - y).abs() < 1e-3 * y.abs() {
                let change = (after.objective - before.objective) / nudge;
                assert!((change - y).abs() <= 0.02 * y.abs() + 1e-2, "{change} {y}");
                priced += 1;
            }
        }
    }
    assert!(priced > 20, "{priced}");
}

#[test]
fn groups_of_rows_clash_as_one() {
    // x >= 3 and (x <= 1, y <= 1) and y >= 5, nothing given
    let program = QuadraticProgram {
        hessian: Hessian::Diagonal(&[1.0, 1.0]),
        linear: &[0.0, 0.0],
        rows: &[1.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0, 1.0],
        row_lower: &[3.0, f64::NEG_INFINITY, f64::NEG_INFINITY, 5.0],
        row_upper: &[f64::INFINITY, 1.0, 1.0, f64::INFINITY],
        lower: &[f64::NEG_INFINITY; 2],
        upper: &[f64::INFINITY; 2],
    };
    let mut workspace = QpWorkspace::new();
    let clash = workspace
        .conflict(&program, &[Some(7), Some(4), Some(4), Some(9)])
        .unwrap()
        .unwrap();
    assert!(clash == [4, 7] || clash == [4, 9], "{clash:?}");
    // what always holds contradicts itself
    assert_eq!(workspace.conflict(&program, &[None; 4]), Ok(Some(vec![])));
}

#[test]
fn odd_limits_are_understood() {
    let mut workspace = QpWorkspace::new();
    let open = [f64::INFINITY];
    let mut program = QuadraticProgram {
        hessian: Hessian::Diagonal(&[2.0]),
        linear: &[-8.0],
        rows: &[],
        row_lower: &[],
        row_upper: &[],
        lower: &[1.0],
        upper: &open,
    };
    let value = |outcome: Result<QpOutcome, KernelError>| match outcome {
        Ok(QpOutcome::Optimal(optimum)) => Some(optimum.x[0]),
        Ok(QpOutcome::Infeasible(_)) => None,
        Err(error) => panic!("{error}"),
    };
    assert_eq!(value(workspace.solve(&program)), Some(4.0));
    program.upper = &[3.0];
    assert_eq!(value(workspace.solve(&program)), Some(3.0));
    // fixed
    program.upper = &[1.0];
    assert_eq!(value(workspace.solve(&program)), Some(1.0));
    // crossed
    program.upper = &[0.5];
    assert_eq!(value(workspace.solve(&program)), None);
    // a row of nothing: 0 >= -1 holds, 0 >= 1 does not
    program.upper = &open;
    (program.rows, program.row_upper) = (&[0.0], &open);
    program.row_lower = &[-1.0];
    assert_eq!(value(workspace.solve(&program)), Some(4.0));
    program.row_lower = &[1.0];
    assert_eq!(value(workspace.solve(&program)), None);
    // the same equality twice, then a different one
    (program.rows, program.row_lower, program.row_upper) = (&[1.0, 2.0], &[2.0, 4.0], &[2.0, 4.0]);
    assert_eq!(value(workspace.solve(&program)), Some(2.0));
    (program.row_lower, program.row_upper) = (&[2.0, 5.0], &[2.0, 5.0]);
    assert_eq!(value(workspace.solve(&program)), None);
}

#[test]
fn nothing_to_choose_is_a_programme_too() {
    let mut program = QuadraticProgram {
        hessian: Hessian::Dense(&[]),
        linear: &[],
        rows: &[],
        row_lower: &[],
        row_upper: &[],
        lower: &[],
        upper: &[],
    };
    let mut workspace = QpWorkspace::new();
    assert!(matches!(workspace.solve(&program), Ok(QpOutcome::Optimal(_))));
    (program.row_lower, program.row_upper) = (&[1.0], &[2.0]);
    assert!(matches!(workspace.solve(&program), Ok(QpOutcome::Infeasible(_))));
}

#[test]
fn what_is_not_a_programme_is_refused() {
    let mut workspace = QpWorkspace::new();
    let good = QuadraticProgram {
        hessian: Hessian::Dense(&[1.0, 0.0, 0.0, 1.0]),
        linear: &[0.0, 0.0],
        rows: &[],
        row_lower: &[],
        row_upper: &[],
        lower: &[0.0, 0.0],
        upper: &[1.0, 1.0],
    };
    let flat = QuadraticProgram {
        hessian: Hessian::Dense(&[1.0, 1.0, 1.0, 1.0]),
        ..good
    };
    assert_eq!(
        workspace.solve(&flat),
        Err(KernelError::NotPositiveDefinite { index: 1 })
    );
    let flat = QuadraticProgram {
        hessian: Hessian::Diagonal(&[0.0, 1.0]),
        ..good
    };
    assert_eq!(
        workspace.solve(&flat),
        Err(KernelError::NotPositiveDefinite { index: 0 })
    );
    for bad in [f64::NAN, f64::NEG_INFINITY] {
        let upper = [1.0, bad];
        let wrong = QuadraticProgram { upper: &upper, ..good };
        assert!(matches!(
            workspace.solve(&wrong),
            Err(KernelError::NotFinite { index: 1, .. })
        ));
    }
    let short = QuadraticProgram { lower: &[0.0], ..good };
    assert!(matches!(workspace.solve(&short), Err(KernelError::Shape { .. })));
}

#[test]
fn a_reused_workspace_gives_the_same_bits() {
    let mut draw = Draw(24);
    let mut workspace = QpWorkspace::new();
    for case in 0..120 {
        let count = draw.index(3, 40);
        let problem = repair(&mut draw, count, case % 3 == 0);
        with_program(&problem, |p| {
            assert_eq!(workspace.solve(p), QpWorkspace::new().solve(p))
        });
    }
}
