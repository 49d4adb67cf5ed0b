//! Writes a table of made-up glazes, the same each time, to try and time
//! `glost check --over`:
//! `cargo run --release -p glost-studio --example many_glazes -- 100000 > many.csv`.

use std::io::{self, BufWriter, Write};

/// The base with the most of each, and how often it is in a glaze.
const BASE: [(&str, f64, f64); 12] = [
    ("potash feldspar", 45.0, 0.8),
    ("soda feldspar", 40.0, 0.4),
    ("nepheline", 40.0, 0.2),
    ("silica", 35.0, 1.0),
    ("whiting", 25.0, 0.8),
    ("dolomite", 15.0, 0.4),
    ("wollastonite", 20.0, 0.2),
    ("talc", 15.0, 0.3),
    ("zinc oxide", 8.0, 0.3),
    ("strontium carbonate", 10.0, 0.2),
    ("kaolin", 25.0, 1.0),
    ("colemanite", 15.0, 0.2),
];
const ADDITIONS: [(&str, f64, f64); 4] = [
    ("tin oxide", 6.0, 0.2),
    ("red iron oxide", 8.0, 0.3),
    ("copper carbonate", 4.0, 0.2),
    ("cobalt carbonate", 1.5, 0.2),
];

fn main() -> io::Result<()> {
    let count: u64 = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(1000);
    let mut out = BufWriter::new(io::stdout().lock());
    write!(out, "glaze,cone,use")?;
    for (name, ..) in BASE {
        write!(out, ",{name}")?;
    }
    for (name, ..) in ADDITIONS {
        write!(out, ",+ {name}")?;
    }
    writeln!(out)?;
    let mut state = 1_u64;
    let mut random = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    for number in 1..=count {
        write!(
            out,
            "glaze {number},6,{}",
            if number % 3 == 0 { "tableware" } else { "" }
        )?;
        for (_, most, chance) in BASE.into_iter().chain(ADDITIONS) {
            if random() < chance {
                write!(out, ",{:.1}", most * (0.3 + 0.7 * random()))?;
            } else {
                write!(out, ",")?;
            }
        }
        writeln!(out)?;
    }
    out.flush()
}
