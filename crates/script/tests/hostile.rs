//! Scripts that mean harm, each in a process of its own: every one ends soon,
//! with an exit code that means something, and without much memory.

mod support;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use glost_core::diagnostic::Source;
use glost_script::{Checked, CountingAllocator, Script, ScriptFailure};

#[global_allocator]
static MEMORY: CountingAllocator = CountingAllocator;

const LONGEST: Duration = Duration::from_secs(4);
const MOST_MEGABYTES: u64 = 300;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile")
}

fn run(path: &Path) -> (i32, String) {
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = match Script::load("check/hostile", Source::from_text("hostile.rhai", &text)) {
        Ok(script) => script,
        Err(why) => return (2, support::said(&why)),
    };
    match script.check(&glaze, &scene, &[]) {
        Ok(Checked { failure: None, .. }) => (0, "ran to its end".to_owned()),
        Ok(Checked {
            failure: Some(failure), ..
        }) => (1, support::said(&failure.diagnostic)),
        Err(ScriptFailure { kind, diagnostic, .. }) => {
            let code = match kind {
                glost_script::FailureKind::BrokeBounds => 3,
                _ => 2,
            };
            (code, support::said(&diagnostic))
        }
    }
}

/// Not a test by itself: the process that one hostile script runs in.
#[test]
#[ignore = "run by every_hostile_script_ends, once for each script"]
fn one_hostile_script() {
    let Ok(path) = std::env::var("HOSTILE_SCRIPT") else {
        return;
    };
    let (code, said) = run(Path::new(&path));
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak: u64 = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .and_then(|rest| rest.trim().strip_suffix(" kB"))
        .and_then(|kilobytes| kilobytes.trim().parse().ok())
        .unwrap_or(0);
    println!("PEAK {} SAID {said}", peak / 1024);
    std::process::exit(code);
}

#[test]
fn every_hostile_script_ends() {
    let mut scripts: Vec<PathBuf> = std::fs::read_dir(folder())
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default();
    scripts.sort();
    assert!(scripts.len() >= 61, "only {} hostile scripts found", scripts.len());
    let mut complaints = Vec::new();
    for path in scripts {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let start = Instant::now();
        let output = Command::new(std::env::current_exe().unwrap_or_default())
            .args(["--exact", "one_hostile_script", "--ignored", "--nocapture"])
            .env("HOSTILE_SCRIPT", &path)
            .output();
        let Ok(output) = output else {
            complaints.push(format!("{name}: did not start"));
            continue;
        };
        let took = start.elapsed();
        let shown = format!(
            "{}{}",
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        );
        let peak = shown
            .split("PEAK ")
            .nth(1)
            .and_then(|rest| rest.split(' ').next()?.parse::<u64>().ok());
        let code = output.status.code();
        println!(
            "{name:22} {code:?} {:.2} s {peak:?} MB {}",
            took.as_secs_f64(),
            last_line(&shown)
        );
        if !matches!(code, Some(0..=3)) || took > LONGEST || peak.is_some_and(|peak| peak > MOST_MEGABYTES) {
            complaints.push(format!("{name}: {code:?} in {took:?}, {peak:?} MB\n{shown}"));
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

fn last_line(shown: &str) -> &str {
    shown.lines().find_map(|line| line.split("SAID ").nth(1)).unwrap_or("")
}
