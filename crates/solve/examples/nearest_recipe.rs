//! The nearest mix of three powders to a target, none of them below zero.

use glost_solve::KernelError;
use glost_solve::nnls::NnlsWorkspace;

fn main() -> Result<(), KernelError> {
    // Three columns of four rows each: what a gram of each powder brings.
    let columns = [
        0.65, 0.18, 0.0, 0.17, // a feldspar
        0.0, 0.0, 0.56, 0.0, // a chalk
        0.47, 0.38, 0.0, 0.0, // a clay
    ];
    let target = [3.0, 0.4, 0.7, 0.3];
    let found = NnlsWorkspace::new().solve(&columns, &target)?;
    for (powder, grams) in ["feldspar", "chalk", "clay"].iter().zip(&found.x) {
        println!("{powder:<9} {grams:.3}");
    }
    println!("squared distance {:.4}", found.report.squared_distance);
    Ok(())
}
