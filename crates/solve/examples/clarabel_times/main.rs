//! Times Clarabel (its Rust crate, default tolerances) on the repairs of a problem file,
//! for the comparison in `tests/peers`: one JSON line each, as `solve_problems` prints.

#[path = "../solve_problems/problems.rs"]
#[allow(dead_code)]
mod problems;

use std::process::ExitCode;
use std::time::{Duration, Instant};

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT};
use problems::{Problem, Repair};
use serde_json::json;

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<(), String> {
    let path = std::env::args().nth(1).ok_or("usage: clarabel_times FILE")?;
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{path}: {e}"))?;
    for (id, problem) in problems::read(&text)? {
        let Problem::Repair(repair) = problem else {
            continue;
        };
        let (x, micros) = time(&repair)?;
        println!("{}", json!({"id": id, "x": x, "micros": micros}));
    }
    Ok(())
}

/// The point reached (nothing if infeasible) and the best time in microseconds.
fn time(repair: &Repair) -> Result<(Option<Vec<f64>>, f64), String> {
    let n = repair.start.len();
    let dense = |rows: &[f64]| rows.chunks(n).map(|row| row.to_vec()).collect::<Vec<_>>();
    let linear: Vec<f64> = dense(&repair.hessian)
        .iter()
        .map(|row| -row.iter().zip(&repair.start).map(|(h, x)| h * x).sum::<f64>())
        .collect();
    let mut upper_triangle = dense(&repair.hessian);
    for (i, row) in upper_triangle.iter_mut().enumerate() {
        row[..i].fill(0.0);
    }
    let (mut rows, mut limits) = (vec![repair.rows[..n].to_vec()], vec![repair.row_lower[0]]);
    for (i, row) in dense(&repair.rows).into_iter().enumerate().skip(1) {
        if repair.row_lower[i].is_finite() {
            rows.push(row.iter().map(|v| -v).collect());
            limits.push(-repair.row_lower[i]);
        }
        if repair.row_upper[i].is_finite() {
            rows.push(row);
            limits.push(repair.row_upper[i]);
        }
    }
    for j in 0..n {
        rows.push((0..n).map(|k| if k == j { -1.0 } else { 0.0 }).collect());
        limits.push(0.0);
    }
    let cones = [ZeroConeT(1), NonnegativeConeT(rows.len() - 1)];
    let (hessian, rows) = (CscMatrix::from(&upper_triangle), CscMatrix::from(&rows));
    let settings = DefaultSettings {
        verbose: false,
        ..DefaultSettings::default()
    };
    let (begin, mut best, mut calls, mut x) = (Instant::now(), f64::INFINITY, 0, None);
    while calls < 3 || begin.elapsed() < Duration::from_millis(30) {
        let start = Instant::now();
        let mut solver = DefaultSolver::new(&hessian, &linear, &rows, &limits, &cones, settings.clone())
            .map_err(|e| e.to_string())?;
        solver.solve();
        best = best.min(start.elapsed().as_secs_f64() * 1e6);
        let feasible = solver.solution.status != SolverStatus::PrimalInfeasible;
        x = feasible.then_some(solver.solution.x);
        calls += 1;
    }
    Ok((x, best))
}
