//! How often the advice on the next tiles finds the best blend, over simulated studios.
//!
//! `cargo run --release -q -p glost-core --example advised_tiles -- 1000`

#[path = "../tests/mixture_support/mod.rs"]
mod mixture_support;

use mixture_support::{Follow, Surfaces, many};

fn main() {
    let runs = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(200);
    println!("surfaces, tiles, within 0.3 of the true best, mean distance below it, of the best tile made");
    for surfaces in [
        Surfaces::Drawn(1.0),
        Surfaces::Drawn(2.0),
        Surfaces::Drawn(4.0),
        Surfaces::Drawn(8.0),
        Surfaces::Even,
        Surfaces::Hill,
    ] {
        for follow in [Follow::Advice, Follow::Chance] {
            let (hits, short) = many(surfaces, runs, follow);
            println!(
                "{surfaces:?}, {follow:?}, {:.1} %, {:.3}, {:.3}",
                100.0 * hits,
                short.called,
                short.made
            );
        }
    }
}
