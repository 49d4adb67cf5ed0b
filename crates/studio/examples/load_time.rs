//! Prints how long it takes to open a workplace and to find a glaze, in a
//! folder without a studio and in a copy of the example studio:
//! `cargo run --release -p glost-studio --example load_time`.

use std::path::Path;
use std::time::Instant;

use glost_studio::{Workplace, init, shipped_library};

fn main() -> std::io::Result<()> {
    let outer = tempfile::tempdir()?;
    let nowhere = outer.path().join("nowhere");
    let studio = outer.path().join("studio");
    std::fs::create_dir(&nowhere)?;
    if init(&studio, true).is_err() {
        return Ok(());
    }
    for round in ["first", "again", "again"] {
        time(&format!("{round}: no studio"), &nowhere);
        time(&format!("{round}: in a studio"), &studio);
    }
    let start = Instant::now();
    let library = shipped_library();
    println!(
        "shipped materials alone: {:.2?}, {} of them",
        start.elapsed(),
        library.iter().count()
    );
    if let Ok(status) = std::fs::read_to_string("/proc/self/status") {
        let peak = status.lines().find(|line| line.starts_with("VmHWM"));
        println!("{}", peak.unwrap_or_default());
    }
    Ok(())
}

fn time(what: &str, cwd: &Path) {
    let start = Instant::now();
    let Ok(workplace) = Workplace::open(None, &[], cwd) else {
        return println!("{what}: does not open");
    };
    let opened = start.elapsed();
    let found = workplace.glaze("Lamplight clear").is_ok();
    let named = start.elapsed();
    let all = workplace.all_glazes().0.len();
    println!(
        "{what}: open {opened:.2?}, glaze by name {:.2?} ({found}), all {all} glazes {:.2?}",
        named - opened,
        start.elapsed() - named
    );
}
