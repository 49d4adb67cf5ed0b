//! The notebook is kept: killed at any moment, written to by two at once, on a
//! full disk. What was acknowledged is there; what is there can be read.

use std::io::Read;
use std::process::{Command, Stdio};
use std::time::Duration;

use serde_json::Value;

use super::bench::{Bench, TODAY};

fn glost(bench: &Bench, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_glost"));
    command
        .args(arguments)
        .current_dir(bench.path().join("studio"))
        .env("GLOST_TODAY", TODAY)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    command
}

fn notes(bench: &Bench) -> Value {
    let ran = bench.run_in("studio", &["notes", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    serde_json::from_str(&ran.stdout).unwrap()
}

/// The line an answer acknowledges; `None` where it was cut short.
fn acknowledged(stdout: &[u8]) -> Option<usize> {
    let answer: Value = serde_json::from_slice(stdout).ok()?;
    usize::try_from(answer["line"].as_u64()?).ok()
}

/// Each text that was acknowledged stands on its line, and every line is whole.
#[track_caller]
fn all_there(bench: &Bench, kept: &[(String, usize)]) {
    let read = notes(bench);
    assert_eq!(read["unread"], serde_json::json!([]));
    for (text, line) in kept {
        let note = read["notes"]
            .as_array()
            .unwrap()
            .iter()
            .find(|note| note["line"] == *line);
        assert_eq!(note.unwrap()["text"], *text, "line {line}");
    }
    let versions = std::fs::read_to_string(bench.path().join("studio/versions.jsonl")).unwrap();
    let recorded: Vec<(Value, Value)> = versions
        .lines()
        // A line that a kill tore is passed by when it is read, too.
        .filter_map(|line| serde_json::from_str::<Value>(line).ok())
        .map(|version| (version["glaze"].clone(), version["version"].clone()))
        .collect();
    for note in read["notes"].as_array().unwrap() {
        let named = (note["glaze"].clone(), note["version"].clone());
        assert!(recorded.contains(&named), "{named:?} was never recorded");
    }
}

/// A glaze whose recipe is another one each time, so that a version is recorded before the note.
fn changing(bench: &Bench, round: u64) {
    let recipe = format!("glaze: Changing\nparts: {{ silica: {}, whiting: 20 }}\n", 30 + round);
    bench.file("studio/glazes/changing.yaml", recipe);
}

/// Power fails: the last line is cut off. The next note closes it, and takes it back.
fn cut_off(bench: &Bench) {
    let path = bench.path().join("studio/notes.jsonl");
    let mut torn = std::fs::read(&path).unwrap();
    torn.extend_from_slice(br#"{"on": "2026-11-25", "gla"#);
    std::fs::write(&path, &torn).unwrap();
    take_back_torn(bench);
}

/// Takes the last line back where it was torn.
fn take_back_torn(bench: &Bench) {
    let torn = std::fs::read(bench.path().join("studio/notes.jsonl")).unwrap();
    let lines = torn.iter().filter(|byte| **byte == b'\n').count() + 1;
    let ran = bench.run_in("studio", &["note", "--void", &lines.to_string(), "--text", "power cut"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}

fn is_torn(bench: &Bench) -> bool {
    let notes = std::fs::read(bench.path().join("studio/notes.jsonl")).unwrap_or_default();
    notes.last().is_some_and(|last| *last != b'\n')
}

#[test]
fn killed_at_every_moment() {
    let bench = Bench::example_studio();
    let (mut kept, mut torn) = (Vec::new(), 0);
    let mut moment = 0;
    loop {
        moment += 1;
        changing(&bench, moment);
        let text = format!("moment {moment}");
        let call = [
            "note", "Changing", "--crazed", "0/5", "--text", &text, "--format", "json",
        ];
        let (died, ran) = bench.dies(moment, &call);
        if let Some(line) = acknowledged(ran.stdout.as_bytes()) {
            kept.push((text, line));
        }
        if is_torn(&bench) {
            torn += 1;
            take_back_torn(&bench);
        }
        if !died {
            assert_eq!(ran.code, 0, "{}", ran.stderr);
            break;
        }
    }
    // Two files, each opened, written to and synced.
    assert!(moment > 2 * 7, "only {moment} moments");
    assert_eq!(torn, 1, "half of the note is written at one moment");
    assert!(!kept.is_empty());
    cut_off(&bench);
    all_there(&bench, &kept);
}

/// Real kills, at moments that nothing counts. Whether few or many come through
/// depends on the machine, and nothing here does.
#[test]
#[ignore = "long: cargo test -p glost --test screens killed -- --ignored"]
#[allow(
    clippy::disallowed_methods,
    reason = "real kills come at moments that nothing counts"
)]
fn killed_at_random_five_hundred_times() {
    let bench = Bench::example_studio();
    let mut kept = Vec::new();
    let mut random = 0x9E37_79B9_7F4A_7C15_u64;
    let kills: u64 = std::env::var("GLOST_KILLS").map_or(500, |text| text.parse().unwrap());
    for round in 0..kills {
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let text = format!("round {round}");
        // Every second time the recipe has changed, so that a version is recorded first.
        changing(&bench, round / 2);
        let glaze = ["Changing", "bought clear"][usize::from(round % 5 == 4)];
        let mut child = glost(
            &bench,
            &["note", glaze, "--crazed", "0/5", "--text", &text, "--format", "json"],
        )
        .spawn()
        .unwrap();
        std::thread::sleep(Duration::from_micros(random % 60_000));
        // It may have come to its end.
        let _ = child.kill();
        let mut stdout = Vec::new();
        child.stdout.take().unwrap().read_to_end(&mut stdout).unwrap();
        child.wait().unwrap();
        if let Some(line) = acknowledged(&stdout) {
            kept.push((text, line));
        }
        if is_torn(&bench) {
            take_back_torn(&bench);
        }
        if round % 10 == 9 {
            cut_off(&bench);
        }
    }
    println!(
        "\nfigure: notes killed {kills} times, {} acknowledged, none lost",
        kept.len()
    );
    all_there(&bench, &kept);
}

#[test]
#[allow(clippy::disallowed_methods, reason = "a lost writer fails the test")]
fn two_writers_at_once() {
    let bench = Bench::example_studio();
    let mut kept: Vec<(String, usize)> = Vec::new();
    std::thread::scope(|scope| {
        let writers: Vec<_> = ["Ebba", "Odd"]
            .into_iter()
            .map(|writer| {
                let bench = &bench;
                scope.spawn(move || {
                    let write = |round: u32| {
                        let text = format!("{writer} {round}");
                        let call = [
                            "note",
                            "Lamplight clear",
                            "--crazed",
                            "0/5",
                            "--text",
                            &text,
                            "--format",
                            "json",
                        ];
                        let output = glost(bench, &call).output().unwrap();
                        (text, acknowledged(&output.stdout).unwrap())
                    };
                    (0..15).map(write).collect::<Vec<_>>()
                })
            })
            .collect();
        for writer in writers {
            kept.extend(writer.join().unwrap());
        }
    });
    let mut lines: Vec<usize> = kept.iter().map(|note| note.1).collect();
    lines.sort_unstable();
    assert_eq!(lines, (1..=30).collect::<Vec<_>>());
    all_there(&bench, &kept);
    let versions = std::fs::read_to_string(bench.path().join("studio/versions.jsonl")).unwrap();
    assert_eq!(versions.lines().count(), 1, "both mean the same recipe");
}

/// A limit on the size of files stands in for a full disk: the write ends in the middle.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_notebook_as_it_was() {
    let bench = Bench::example_studio();
    let path = bench.path().join("studio/notes.jsonl");
    for _ in 0..3 {
        assert_eq!(
            bench
                .run_in("studio", &["note", "bought clear", "--crazed", "0/5"])
                .code,
            0
        );
    }
    let before = std::fs::read(&path).unwrap();
    let text = "x".repeat(3000);
    let output = Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 2; exec \"$0\" note \"bought clear\" --text \"$1\"",
        ])
        .args([env!("CARGO_BIN_EXE_glost"), &text])
        .current_dir(bench.path().join("studio"))
        .env("GLOST_TODAY", TODAY)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("can't be written") && said.contains("nothing was added"),
        "{said}"
    );
    assert_eq!(std::fs::read(&path).unwrap(), before);
    assert_eq!(
        bench
            .run_in("studio", &["note", "bought clear", "--crazed", "0/5"])
            .code,
        0
    );
    all_there(&bench, &[]);
}

#[test]
#[allow(
    clippy::disallowed_methods,
    reason = "it holds as well where the note isn't waiting yet"
)]
fn a_notebook_that_another_program_replaced_while_waiting_is_the_one_written_to() {
    let bench = Bench::example_studio();
    let path = bench.path().join("studio/notes.jsonl");
    assert_eq!(
        bench
            .run_in("studio", &["note", "bought clear", "--crazed", "0/5"])
            .code,
        0
    );
    let old = std::fs::OpenOptions::new().append(true).open(&path).unwrap();
    old.lock().unwrap();
    let child = glost(&bench, &["note", "bought clear", "--text", "late", "--format", "json"])
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_millis(150));
    let new = bench.path().join("studio/notes.new");
    std::fs::copy(&path, &new).unwrap();
    std::fs::rename(&new, &path).unwrap();
    drop(old);
    let output = child.wait_with_output().unwrap();
    let line = acknowledged(&output.stdout).unwrap();
    all_there(&bench, &[("late".to_owned(), line)]);
}
