//! The notebook is kept: killed at any moment, written to by two at once, on a
//! full disk. What was acknowledged is there; what is there can be read.

use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

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
        .map(|line| serde_json::from_str::<Value>(line).unwrap())
        .map(|version| (version["glaze"].clone(), version["version"].clone()))
        .collect();
    for note in read["notes"].as_array().unwrap() {
        let named = (note["glaze"].clone(), note["version"].clone());
        assert!(recorded.contains(&named), "{named:?} was never recorded");
    }
}

fn killed_at_random(times: u64) {
    let bench = Bench::example_studio();
    let mut kept = Vec::new();
    // How long one takes when nobody kills it.
    let start = Instant::now();
    for round in 0..4 {
        let text = format!("whole {round}");
        let output = glost(&bench, &["note", "bought clear", "--text", &text, "--format", "json"]).output();
        kept.push((text, acknowledged(&output.unwrap().stdout).unwrap()));
    }
    let longest = u64::try_from(start.elapsed().as_micros() / 3).unwrap();
    let mut random = 0x9E37_79B9_7F4A_7C15_u64;
    for round in 0..times {
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let text = format!("round {round}");
        // Every second time the recipe has changed, so that a version is recorded first.
        let recipe = format!(
            "glaze: Changing\nparts: {{ silica: {}, whiting: 20 }}\n",
            30 + round / 2
        );
        bench.file("studio/glazes/changing.yaml", recipe);
        let glaze = ["Changing", "bought clear"][usize::from(round % 5 == 4)];
        let mut child = glost(
            &bench,
            &["note", glaze, "--crazed", "0/5", "--text", &text, "--format", "json"],
        )
        .spawn()
        .unwrap();
        std::thread::sleep(Duration::from_micros(random % longest));
        let _ = child.kill();
        let mut stdout = Vec::new();
        child.stdout.take().unwrap().read_to_end(&mut stdout).unwrap();
        child.wait().unwrap();
        if let Some(line) = acknowledged(&stdout) {
            kept.push((text, line));
        }
        // Now and then power fails too: the last line is cut off.
        if round % 10 == 9 {
            let path = bench.path().join("studio/notes.jsonl");
            let mut torn = std::fs::read(&path).unwrap();
            torn.extend_from_slice(br#"{"on": "2026-11-25", "gla"#);
            std::fs::write(&path, &torn).unwrap();
            let lines = torn.iter().filter(|byte| **byte == b'\n').count() + 1;
            let ran = bench.run_in("studio", &["note", "--void", &lines.to_string(), "--text", "power cut"]);
            assert_eq!(ran.code, 0, "{}", ran.stderr);
        }
    }
    assert!(kept.len() > 4, "none of {times} came through");
    all_there(&bench, &kept);
}

#[test]
fn killed_at_random_sixty_times() {
    killed_at_random(60);
}

#[test]
#[ignore = "half a minute: cargo test -p glost --test screens killed -- --ignored"]
fn killed_at_random_five_hundred_times() {
    killed_at_random(500);
}

#[test]
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
