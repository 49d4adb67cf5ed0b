//! The 185 problems of `tests/peers/problems.json` against their reference optima, on
//! which at least two of scipy, quadprog, Clarabel, HiGHS, SCIP and full enumeration agree.

#[path = "../examples/solve_problems/problems.rs"]
#[allow(dead_code, reason = "others use the rest of it")]
mod problems;

use glost_solve::lp::{LinearProgram, LpOutcome, LpWorkspace};
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::plain::squared_distance;
use glost_solve::qp::{Hessian, QpOutcome, QpWorkspace, QuadraticProgram};
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};
use problems::{Fit, Problem, Repair};
use serde_json::Value;

fn product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Change of a recipe in the units of its steps and tolerances; nothing if impossible.
fn least_change(repair: &Repair) -> Option<f64> {
    let n = repair.start.len();
    let hessian = repair.hessian.chunks(n);
    let linear: Vec<f64> = hessian.map(|row| -product(row, &repair.start)).collect();
    let program = QuadraticProgram {
        hessian: Hessian::Dense(&repair.hessian),
        linear: &linear,
        rows: &repair.rows,
        row_lower: &repair.row_lower,
        row_upper: &repair.row_upper,
        lower: &vec![0.0; n],
        upper: &vec![f64::INFINITY; n],
    };
    let QpOutcome::Optimal(optimum) = QpWorkspace::new().solve(&program).unwrap() else {
        return None;
    };
    let moved: Vec<f64> = optimum.x.iter().zip(&repair.start).map(|(x, x0)| x - x0).collect();
    for (i, row) in repair.rows.chunks(n).enumerate() {
        let value = product(row, &optimum.x);
        assert!(value >= repair.row_lower[i] - 1e-9 && value <= repair.row_upper[i] + 1e-9);
    }
    Some(
        0.5 * repair
            .hessian
            .chunks(n)
            .zip(&moved)
            .map(|(row, d)| d * product(row, &moved))
            .sum::<f64>(),
    )
}

fn least_cost(fit: &Fit, prices: &[f64]) -> f64 {
    let (m, n) = (fit.rhs.len(), prices.len());
    let rows: Vec<f64> = (0..m * n).map(|at| fit.columns[(at % n) * m + at / n]).collect();
    let (lower, upper): (Vec<f64>, Vec<f64>) = fit.rhs.iter().map(|b| (b - 1.0, b + 1.0)).unzip();
    let program = LinearProgram {
        cost: prices,
        rows: &rows,
        row_lower: &lower,
        row_upper: &upper,
        lower: &vec![0.0; n],
        upper: &vec![f64::INFINITY; n],
    };
    match LpWorkspace::new().solve(&program).unwrap() {
        LpOutcome::Optimal(optimum) => optimum.objective,
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_reference_optima_are_reached() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/peers/problems.json");
    let text = std::fs::read_to_string(path).unwrap();
    let file: Value = serde_json::from_str(&text).unwrap();
    let references = file["problems"].as_array().unwrap();
    let problems = problems::read(&text).unwrap();
    assert_eq!(problems.len(), 185);
    for ((id, problem), reference) in problems.iter().zip(references) {
        let reached = match problem {
            Problem::Substitution(fit) => {
                let solution = NnlsWorkspace::new().solve(&fit.columns, &fit.rhs).unwrap();
                Some(squared_distance(&fit.columns, &fit.rhs, &solution.x))
            }
            Problem::BestSubset { fit, free, at_most } => {
                let question = SubsetQuestion {
                    free: *free,
                    at_most: *at_most,
                    wanted: 1,
                    work_limit: u64::MAX,
                };
                let answer = SubsetWorkspace::new().solve(&fit.columns, &fit.rhs, question).unwrap();
                Some(squared_distance(&fit.columns, &fit.rhs, &answer.best[0].x))
            }
            Problem::Repair(repair) => least_change(repair),
            Problem::Cheapest { fit, prices } => Some(least_cost(fit, prices)),
            Problem::Change(_) => panic!("{id}: this file keeps no adjustments"),
        };
        match (reached, reference["ref"]["f"].as_f64()) {
            (Some(reached), Some(best)) => {
                assert!((reached - best).abs() <= 1e-8 * (1.0 + best), "{id}: {reached} {best}");
            }
            (None, None) => assert_eq!(reference["ref"]["infeasible"], true, "{id}"),
            (reached, best) => panic!("{id}: {reached:?} {best:?}"),
        }
    }
}
