//! Solves a file of problems and prints one JSON line for each, with the time of the best
//! of repeated solves in microseconds, matrices ready.
//!
//! `cargo run --release -q -p glost-core --example solve_problems -- FILE`

mod problems;

use std::process::ExitCode;
use std::time::{Duration, Instant};

use glost_core::solve::nnls::NnlsWorkspace;
use glost_core::solve::subset::{SubsetQuestion, SubsetWorkspace};
use problems::{Problem, Repair};
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
}

impl Solver {
    fn solve(&mut self, problem: &Problem) -> Result<Value, String> {
        let told = |e: glost_core::solve::KernelError| e.to_string();
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
            _ => Ok(json!({"micros": 0.0})),
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
