//! Every block of README and tour is run, in order, in one folder each: what it
//! shows is what comes out. `UPDATE_README=1 cargo test readme` writes both anew.

use std::path::Path;
use std::process::Command;

use super::bench::{Bench, TODAY};

const FENCE: &str = "```console\n";

fn shell(bench: &Bench, folder: &mut String, command: &str) -> String {
    if let Some(into) = command.strip_prefix("cd ") {
        *folder = format!("{folder}/{into}");
        return String::new();
    }
    let exe = Path::new(env!("CARGO_BIN_EXE_glost"));
    let path = format!(
        "{}:{}",
        exe.parent().unwrap().display(),
        std::env::var("PATH").unwrap_or_default()
    );
    let output = Command::new("sh")
        .args(["-c", command])
        .current_dir(bench.path().join(&*folder))
        .env("PATH", path)
        .env_remove("RUST_BACKTRACE")
        .env("GLOST_TODAY", TODAY)
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap() + String::from_utf8(output.stderr).unwrap().as_str()
}

#[test]
fn the_readme_shows_what_comes_out_and_is_short() {
    let lines = shows_what_comes_out("../../README.md");
    assert!(lines <= 150, "README has {lines} lines: the tour has room for more");
}

#[test]
fn the_tour_shows_what_comes_out() {
    shows_what_comes_out("TOUR.md");
}

/// Runs a document's blocks; gives its number of lines.
fn shows_what_comes_out(name: &str) -> usize {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let readme = std::fs::read_to_string(&path).unwrap();
    let bench = Bench::empty();
    let mut folder = ".".to_owned();
    let mut renewed = String::new();
    let mut rest = readme.as_str();
    let mut blocks = 0;
    while let Some(start) = rest.find(FENCE) {
        let (before, block) = rest.split_at(start + FENCE.len());
        let end = block.find("```\n").unwrap();
        renewed.push_str(before);
        for line in block[..end].lines().filter_map(|line| line.strip_prefix("$ ")) {
            renewed.push_str(&format!("$ {line}\n"));
            let shown: String = shell(&bench, &mut folder, line)
                .lines()
                .map(|line| format!("{}\n", line.trim_end()))
                .collect();
            renewed.push_str(&shown);
        }
        rest = &block[end..];
        blocks += 1;
    }
    renewed.push_str(rest);
    assert!(blocks >= 5, "{name} has {blocks} blocks");
    if std::env::var_os("UPDATE_README").is_some() {
        std::fs::write(&path, &renewed).unwrap();
        return renewed.lines().count();
    }
    assert_eq!(
        renewed, readme,
        "run UPDATE_README=1 cargo test readme and look at what changed"
    );
    readme.lines().count()
}
