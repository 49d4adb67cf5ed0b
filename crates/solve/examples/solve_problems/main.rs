//! Solves a file of problems and prints one JSON line for each, with the time of the best
//! of repeated solves in microseconds, matrices ready.
//!
//! `cargo run --release -q -p glost-core --example solve_problems -- FILE`

mod problems;

use std::process::ExitCode;
use std::time::{Duration, Instant};

use glost_solve::lp::{LinearProgram, LpOptimum, LpStatus, LpWorkspace};
use glost_solve::nnls::NnlsWorkspace;
use glost_solve::qp::{Hessian, QpOptimum, QpWorkspace, QuadraticProgram};
use glost_solve::subset::{SubsetQuestion, SubsetWorkspace};
use problems::{Change, Fit, Problem, Repair};
use serde_json::{Value, json};

/// Repeats stop after this long, but not before three solves.
const TIME_PER_PROBLEM: Duration = Duration::from_millis(30);

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
    let path = std::env::args().nth(1).ok_or("usage: solve_problems FILE")?;
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{path}: {e}"))?;
    let mut solver = Solver::default();
    for (id, problem) in problems::read(&text).map_err(|e| format!("{path}: {e}"))? {
        let mut line = solver.solve(&problem).map_err(|e| format!("{id}: {e}"))?;
        line["id"] = json!(id);
        println!("{line}");
    }
    Ok(())
}

/// Workspaces kept from problem to problem.
#[derive(Default)]
struct Solver {
    nnls: NnlsWorkspace,
    subset: SubsetWorkspace,
    qp: QpWorkspace,
    lp: LpWorkspace,
}

impl Solver {
    fn solve(&mut self, problem: &Problem) -> Result<Value, String> {
        let told = |e: glost_solve::KernelError| e.to_string();
        match problem {
            Problem::Substitution(fit) => {
                let mut x = vec![0.0; fit.columns.len() / fit.rhs.len().max(1)];
                let micros = best_micros(|| self.nnls.solve_into(&fit.columns, &fit.rhs, None, &mut x).map(drop));
                Ok(json!({"x": x, "micros": micros.map_err(told)?}))
            }
            Problem::BestSubset { fit, free, at_most } => {
                let question = SubsetQuestion {
                    free: *free,
                    at_most: *at_most,
                    wanted: 1,
                    work_limit: u64::MAX,
                };
                let micros = best_micros(|| self.subset.search(&fit.columns, &fit.rhs, question).map(drop));
                let answer = self.subset.solve(&fit.columns, &fit.rhs, question).map_err(told)?;
                let best = answer.best.first().ok_or("no fit")?;
                Ok(json!({"subset": best.members, "x": best.x, "micros": micros.map_err(told)?}))
            }
            Problem::Repair(repair) => self.repair(repair).map_err(told),
            Problem::Change(change) => self.change(change).map_err(told),
            Problem::Cheapest { fit, prices } => self.cheapest(fit, prices),
        }
    }

    /// Least change of what is fired.
    fn change(&mut self, change: &Change) -> Result<Value, glost_solve::KernelError> {
        let (count, rows) = (change.linear.len(), change.rows.len() / change.linear.len());
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&change.hessian),
            linear: &change.linear,
            rows: &change.rows,
            row_lower: &vec![0.0; rows],
            row_upper: &vec![f64::INFINITY; rows],
            lower: &vec![0.0; count],
            upper: &vec![f64::INFINITY; count],
        };
        let mut optimum = QpOptimum::default();
        let feasible = self.qp.solve_into(&program, &mut optimum)?;
        let micros = best_micros(|| self.qp.solve_into(&program, &mut optimum).map(drop))?;
        Ok(json!({"x": feasible.then_some(optimum.x), "micros": micros}))
    }

    /// Least change within the rows, or which rows clash.
    fn repair(&mut self, repair: &Repair) -> Result<Value, glost_solve::KernelError> {
        let count = repair.start.len();
        let linear: Vec<f64> = repair
            .hessian
            .chunks(count)
            .map(|row| -row.iter().zip(&repair.start).map(|(h, x)| h * x).sum::<f64>())
            .collect();
        let program = QuadraticProgram {
            hessian: Hessian::Dense(&repair.hessian),
            linear: &linear,
            rows: &repair.rows,
            row_lower: &repair.row_lower,
            row_upper: &repair.row_upper,
            lower: &vec![0.0; count],
            upper: &vec![f64::INFINITY; count],
        };
        let mut optimum = QpOptimum::default();
        if self.qp.solve_into(&program, &mut optimum)? {
            let micros = best_micros(|| self.qp.solve_into(&program, &mut optimum).map(drop))?;
            return Ok(json!({"x": optimum.x, "micros": micros}));
        }
        // row 0 is the total, which always holds
        let groups: Vec<Option<usize>> = (0..repair.row_lower.len()).map(|row| row.checked_sub(1)).collect();
        let mut clash = None;
        let micros = best_micros(|| {
            clash = self.qp.conflict(&program, &groups)?;
            Ok(())
        })?;
        Ok(json!({"infeasible": true, "conflict": clash, "micros": micros}))
    }

    /// Least cost with every row of the fit within one tolerance.
    fn cheapest(&mut self, fit: &Fit, prices: &[f64]) -> Result<Value, String> {
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
        let mut optimum = LpOptimum::default();
        let mut status = LpStatus::Infeasible;
        let micros = best_micros(|| {
            status = self.lp.solve_into(&program, None, &mut optimum)?;
            Ok(())
        });
        let micros = micros.map_err(|e: glost_solve::KernelError| e.to_string())?;
        match status {
            LpStatus::Optimal => {
                Ok(json!({"x": optimum.x, "micros": micros, "gap": optimum.gap, "steps": optimum.steps}))
            }
            other => Err(format!("{other:?}")),
        }
    }
}

/// Shortest time of repeated calls, in microseconds.
fn best_micros<E>(mut call: impl FnMut() -> Result<(), E>) -> Result<f64, E> {
    let (begin, mut best, mut calls) = (Instant::now(), f64::INFINITY, 0);
    while calls < 3 || begin.elapsed() < TIME_PER_PROBLEM {
        let start = Instant::now();
        call()?;
        best = best.min(start.elapsed().as_secs_f64() * 1e6);
        calls += 1;
    }
    Ok(best)
}
