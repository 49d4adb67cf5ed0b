//! How near the blend called best comes to the true best, over surfaces of several shapes.
//!
//! `cargo run --release -q -p glost-core --example surface_families -- 60 1`

#[path = "../tests/family_support/mod.rs"]
mod family_support;
#[allow(dead_code, reason = "others use the rest of it")]
#[path = "../tests/measured_support/mod.rs"]
mod measured_support;
#[allow(dead_code, reason = "others use the rest of it")]
#[path = "../tests/mixture_support/mod.rs"]
mod mixture_support;

use family_support::{Called, SHAPES, called};

fn main() {
    let mut words = std::env::args().skip(1).map(|word| word.parse::<u64>());
    let mut number = |usual: u64| words.next().and_then(Result::ok).unwrap_or(usual);
    let (runs, seed) = (number(60), number(1));
    println!(
        "shape, ends, grades, called best below the true best of 5, within 0.3, band holds, bad tiles again, low tile called best"
    );
    for shape in SHAPES {
        for (ends, whole) in [(3, true), (3, false), (4, true), (4, false), (5, true), (5, false)] {
            let each: Vec<Called> = (0..runs)
                .map(|run| called(shape, ends, whole, seed.wrapping_mul(1_000_003) + 7919 * run))
                .collect();
            let part = |is: fn(&Called) -> bool| 100.0 * each.iter().filter(|one| is(one)).count() as f64 / runs as f64;
            println!(
                "{shape:?}, {ends}, {}, {:.2}, {:.0} %, {:.0} %, {}, {:.0} %",
                if whole { "whole" } else { "numbers" },
                each.iter().map(|one| one.short).sum::<f64>() / runs as f64,
                part(|one| one.short <= 0.3),
                part(|one| one.held),
                each.iter().map(|one| one.again_bad).sum::<usize>(),
                part(|one| one.low_called),
            );
        }
    }
}
