//! Quadratic programmes where rounding could tell: rows and squares that nearly depend on
//! each other, limits a hair away, numbers large and small.

mod support;

use glost_solve::qp::{Hessian, QpOptimum, QpOutcome, QpWorkspace, QuadraticProgram};
use support::{Draw, product, repair, with_program};

fn vector(draw: &mut Draw, n: usize) -> Vec<f64> {
    (0..n).map(|_| draw.between(-1.0, 1.0)).collect()
}

/// Rows that a point meets, one of them all but the other and a third their difference blown
/// up: what rounding makes of the third is no contradiction.
#[test]
fn rounding_blown_up_by_near_twins_is_no_clash() {
    let mut draw = Draw(25);
    let mut workspace = QpWorkspace::new();
    for case in 0..400 {
        let n = draw.index(4, 9);
        let (hidden, first, apart) = (vector(&mut draw, n), vector(&mut draw, n), vector(&mut draw, n));
        let near = 10f64.powi(-(case % 8));
        let twin = first.iter().zip(&apart).map(|(f, a)| f + near * a).collect();
        let rows = [first, twin, apart];
        let limits: Vec<f64> = rows.iter().map(|row| product(row, &hidden)).collect();
        let program = QuadraticProgram {
            hessian: Hessian::Diagonal(&vec![1.0; n]),
            linear: &vector(&mut draw, n),
            rows: &rows.concat(),
            row_lower: &limits,
            row_upper: &limits,
            lower: &vec![f64::NEG_INFINITY; n],
            upper: &vec![f64::INFINITY; n],
        };
        let outcome = workspace.solve(&program).unwrap();
        let QpOutcome::Optimal(optimum) = outcome else {
            panic!("case {case}, {near:e} apart: {outcome:?}")
        };
        for (row, limit) in rows.iter().zip(&limits) {
            let miss = (product(row, &optimum.x) - limit).abs();
            assert!(miss < 1e-15 / near + 1e-11, "case {case}, {near:e} apart: {miss:e}");
        }
    }
}

/// Of limits missed alike the first is priced; rows come before variables.
#[test]
fn ties_go_to_the_first_limit() {
    let program = QuadraticProgram {
        hessian: Hessian::Dense(&[2.0, 0.5, 0.5, 2.0]),
        linear: &[0.0, 0.0],
        rows: &[3.0, 0.0, 3.0, 0.0],
        row_lower: &[3.0, 3.0],
        row_upper: &[f64::INFINITY; 2],
        lower: &[1.0, f64::NEG_INFINITY],
        upper: &[f64::INFINITY; 2],
    };
    let QpOutcome::Optimal(optimum) = QpWorkspace::new().solve(&program).unwrap() else {
        panic!()
    };
    // y = -1/4, so the slope along x is 2 - 1/8, which a row of three times x shares out
    assert!((optimum.row_multipliers[0] - 0.625).abs() < 1e-12, "{optimum:?}");
    assert_eq!(
        (optimum.row_multipliers[1], &optimum.bound_multipliers[..]),
        (0.0, &[0.0; 2][..])
    );
}

/// Limits and pulls in other units: the same point in those units.
#[test]
fn the_size_of_the_numbers_does_not_matter() {
    let mut draw = Draw(26);
    let mut workspace = QpWorkspace::new();
    for case in 0..60 {
        let count = draw.index(3, 30);
        let mut problem = repair(&mut draw, count, false);
        let QpOutcome::Optimal(here) = with_program(&problem, |p| workspace.solve(p)).unwrap() else {
            panic!("case {case}")
        };
        for size in [1e-12, 1e6] {
            let numbers = [&mut problem.linear, &mut problem.lower, &mut problem.upper];
            numbers.into_iter().flatten().for_each(|value| *value *= size);
            let QpOutcome::Optimal(there) = with_program(&problem, |p| workspace.solve(p)).unwrap() else {
                panic!("case {case}, times {size:e}")
            };
            for (a, b) in here.x.iter().zip(&there.x) {
                assert!((a - b / size).abs() < 1e-6, "case {case}, times {size:e}: {a} {b}");
            }
            let numbers = [&mut problem.linear, &mut problem.lower, &mut problem.upper];
            numbers.into_iter().flatten().for_each(|value| *value /= size);
        }
    }
}

/// A row asks for a hair less than what would be best: a thousand-millionth of the numbers.
#[test]
fn a_limit_a_hair_away_is_met() {
    for size in [1e-6, 1.0, 1e6] {
        let hair = 1e-9 * size;
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&[2.0, 1.0, 1.0, 2.0]),
            linear: &[-3.0 * size, -3.0 * size],
            rows: &[1.0, 0.0],
            row_lower: &[f64::NEG_INFINITY],
            row_upper: &[size - hair],
            lower: &[f64::NEG_INFINITY; 2],
            upper: &[f64::INFINITY; 2],
        };
        let QpOutcome::Optimal(optimum) = QpWorkspace::new().solve(&program).unwrap() else {
            panic!()
        };
        // the other one makes up for half of it, and a hair costs 3/2 of its length
        let off = [optimum.x[0] - size + hair, optimum.x[1] - size - 0.5 * hair];
        assert!(off.iter().all(|off| off.abs() < 1e-3 * hair), "{size}: {off:?}");
        assert!((optimum.row_multipliers[0] + 1.5 * hair).abs() < 1e-3 * hair);
    }
}

/// A square that is all but flat in half of the directions: the slope is still made up by
/// the priced limits.
#[test]
fn the_conditions_hold_however_flat_the_square() {
    let mut draw = Draw(27);
    let mut workspace = QpWorkspace::new();
    for case in 0..450 {
        let n = draw.index(4, 40);
        let flat = 10f64.powi(-(case % 9));
        let steep: Vec<Vec<f64>> = (0..n / 2).map(|_| vector(&mut draw, n)).collect();
        let entry = |i: usize, j: usize| {
            let own = if i == j { flat } else { 0.0 };
            own + steep.iter().map(|s| s[i] * s[j]).sum::<f64>()
        };
        let hessian: Vec<f64> = (0..n * n).map(|at| entry(at / n, at % n)).collect();
        let aim = vector(&mut draw, n);
        let linear: Vec<f64> = hessian.chunks(n).map(|row| -10.0 * product(row, &aim)).collect();
        let rows: Vec<Vec<f64>> = (0..draw.index(1, 2 * n)).map(|_| vector(&mut draw, n)).collect();
        let hidden = vector(&mut draw, n);
        let lower: Vec<f64> = rows.iter().map(|row| product(row, &hidden) - draw.unit()).collect();
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&hessian),
            linear: &linear,
            rows: &rows.concat(),
            row_lower: &lower,
            row_upper: &vec![f64::INFINITY; rows.len()],
            lower: &vec![f64::NEG_INFINITY; n],
            upper: &vec![f64::INFINITY; n],
        };
        let QpOutcome::Optimal(optimum) = workspace.solve(&program).unwrap() else {
            panic!("case {case}")
        };
        let QpOptimum { x, row_multipliers, .. } = &optimum;
        for ((row, lower), price) in rows.iter().zip(&lower).zip(row_multipliers) {
            let room = product(row, x) - lower;
            assert!(room > -1e-11 && *price >= 0.0, "case {case}: {room:e} {price:e}");
            assert!(*price == 0.0 || room < 1e-11, "case {case}: priced but not binding");
        }
        let largest = linear.iter().fold(0.0f64, |a, b| a.max(b.abs()));
        for j in 0..n {
            let slope = product(&hessian[j * n..(j + 1) * n], x) + linear[j];
            let priced: f64 = rows.iter().zip(row_multipliers).map(|(row, y)| row[j] * y).sum();
            let left = (slope - priced).abs() / largest;
            assert!(left < 1e-10, "case {case}, flat {flat:e}: {left:e}");
        }
    }
}

#[test]
fn a_diagonal_is_read_as_the_matrix_it_stands_for() {
    let mut draw = Draw(28);
    for case in 0..40 {
        let n = draw.index(2, 12);
        let diagonal: Vec<f64> = (0..n).map(|_| draw.between(0.2, 5.0)).collect();
        let matrix: Vec<f64> = (0..n * n)
            .map(|at| if at / n == at % n { diagonal[at / n] } else { 0.0 })
            .collect();
        let (linear, row) = (vector(&mut draw, n), vec![1.0; n]);
        let ask = |hessian| {
            let program = QuadraticProgram {
                hessian,
                linear: &linear,
                rows: &row,
                row_lower: &[1.0],
                row_upper: &[2.0],
                lower: &vec![0.0; n],
                upper: &vec![1.0; n],
            };
            QpWorkspace::new().solve(&program)
        };
        let (short, whole) = (ask(Hessian::Diagonal(&diagonal)), ask(Hessian::Dense(&matrix)));
        let (Ok(QpOutcome::Optimal(short)), Ok(QpOutcome::Optimal(whole))) = (short, whole) else {
            panic!("case {case}")
        };
        let all = |o: QpOptimum| [o.x, o.row_multipliers, o.bound_multipliers, vec![o.objective]].concat();
        for (a, b) in all(short).iter().zip(all(whole)) {
            assert!((a - b).abs() < 1e-12, "case {case}: {a} {b}");
        }
    }
}
