//! How soon the advice finds the best of 1,040 measured blends, from random starts.
//!
//! `cargo run --release -q -p glost-core --example measured_blends -- 48 20261129`

#[path = "../tests/measured_support/mod.rs"]
mod measured_support;
#[allow(dead_code, reason = "others use the rest of it")]
#[path = "../tests/mixture_support/mod.rs"]
mod mixture_support;

use measured_support::{Outcome, median, tasks};

fn main() {
    let mut words = std::env::args().skip(1).map(|word| word.parse::<u64>());
    let mut number = |usual: u64| words.next().and_then(Result::ok).unwrap_or(usual);
    let (starts, seed) = (number(48), number(20_261_129));
    println!(
        "table, wanted, median place of the best tile made, in the best ten, median place of the blend called best, band holds, again (of the worse half), low tile called best"
    );
    for task in tasks() {
        let runs: Vec<Outcome> = (0..starts).map(|start| task.run(seed + 7919 * start)).collect();
        let part = |is: fn(&Outcome) -> bool| 100.0 * runs.iter().filter(|run| is(run)).count() as f64 / starts as f64;
        let middle = |of: fn(&Outcome) -> usize| median(runs.iter().map(|run| of(run) as f64).collect());
        println!(
            "{}, {:?}, {} of {}, {:.0} %, {}, {:.0} %, {} ({}), {:.0} %",
            task.name,
            task.goal,
            middle(|run| run.rank),
            task.size(),
            part(|run| run.rank <= 10),
            middle(|run| run.called),
            part(|run| run.held),
            runs.iter().map(|run| run.again).sum::<usize>(),
            runs.iter().map(|run| run.again_bad).sum::<usize>(),
            part(|run| run.low_called),
        );
    }
}
