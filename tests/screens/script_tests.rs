//! `glost script test` while somebody writes, and what scripts may take together.

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};

use serde_json::Value;

use super::bench::Bench;

/// A check whose one test holds, or doesn't.
fn check(holds: bool) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"t\", source: \"own\" }};\n\
         fn check(glaze, option) {{ }}\n\
         fn test_it(t) {{ t.claim({holds}, \"told\"); }}\n"
    )
}

/// Ended with the test, whatever becomes of it.
struct Watching(Child);

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn watched_scripts_are_tested_again_whenever_one_is_saved() {
    let bench = Bench::example_studio();
    bench.file("studio/scripts/check/own.rhai", check(true));
    let running = Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(["script", "test", "check/own", "--watch"])
        .current_dir(bench.path().join("studio"))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut watching = Watching(running);
    let mut said = BufReader::new(watching.0.stderr.take().unwrap()).lines();
    // It says so once a round is over: then the next text is saved.
    let mut round = || said.any(|line| line.unwrap().starts_with("watching:"));
    assert!(round());
    for text in [check(false), "fn check(".to_owned(), check(true)] {
        bench.file("studio/scripts/check/own.rhai", text);
        assert!(round());
    }
    watching.0.kill().unwrap();
    let mut told = String::new();
    watching.0.stdout.take().unwrap().read_to_string(&mut told).unwrap();
    let of_it: Vec<&str> = told.lines().filter(|line| line.contains("check/own")).collect();
    assert!(of_it.len() >= 3 && of_it[0].contains("holds"), "{told}");
    assert!(
        told.contains("told") && of_it[of_it.len() - 1].contains("holds"),
        "{told}"
    );
}

/// Counted, not timed: each test has its time where that is asked, none has one else.
#[test]
fn times_are_told_where_they_are_asked_for() {
    let bench = Bench::empty();
    let times = |arguments: &[&str]| -> Vec<Option<f64>> {
        let ran = bench.run(arguments);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let answer: Value = serde_json::from_str(&ran.stdout).unwrap();
        let tests = answer["tests"].as_array().unwrap().iter();
        tests.map(|test| test["milliseconds"].as_f64()).collect()
    };
    let asked = times(&["script", "test", "alkali-balance", "--times", "--format", "json"]);
    assert_eq!(asked.len(), 3);
    assert!(
        asked.iter().all(|time| time.is_some_and(|time| time >= 0.0)),
        "{asked:?}"
    );
    let others = times(&["script", "test", "alkali-balance", "--format", "json"]);
    assert_eq!(others, [None; 3]);
    let text = bench.run(&["script", "test", "alkali-balance", "--times"]).stdout;
    let timed = text
        .lines()
        .filter(|line| line.contains(" ms  check/alkali-balance, test_"));
    assert_eq!(timed.count(), 3, "{text}");
}

/// Each keeps its own bounds; together they are more than the call may take.
#[test]
fn scripts_of_one_call_share_a_bound() {
    let bench = Bench::empty();
    let long = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\", source: \"own\" };\n\
                fn check(glaze, option) { let n = 0; while n < 40_000 { n += 1; } }\n";
    bench.file("one.rhai", long);
    bench.file("two.rhai", long);
    let call = [
        "check",
        "Lamplight clear",
        "--script",
        "one.rhai",
        "--script",
        "two.rhai",
    ];
    assert_eq!(bench.run(&call).code, 0);
    // A thousandth of a second is less than the first of them takes anywhere.
    let ran = bench.run(&[&call[..], &["--script-time", "0.001"]].concat());
    assert_eq!(ran.code, 3, "{}", ran.stderr);
    assert!(ran.stderr.contains("together took more than 0.001 s"), "{}", ran.stderr);
    assert!(ran.stderr.contains("--script-time"), "{}", ran.stderr);
    for odd in ["0", "-1", "soon", "1e400"] {
        assert_eq!(
            bench.run(&[&call[..], &["--script-time", odd]].concat()).code,
            2,
            "{odd}"
        );
    }
}

/// What a check is about decides whether it is run; what nobody knows is never passed over.
#[test]
fn a_check_runs_only_where_there_is_what_it_is_about() {
    let bench = Bench::example_studio();
    let about = |more: &str| {
        format!(
            "const ABOUT = #{{ api: 1, kind: \"check\", title: \"t\", source: \"own\", {more} }};\n\
             fn check(glaze, option) {{ print(\"ran\"); }}\n"
        )
    };
    bench.file("cobalt.rhai", about("only_with: [\"CoO\", \"fluorine\"]"));
    bench.file(
        "studio/materials/powder.yaml",
        "materials:\n  - { name: a powder, kind: powder, analysis: unknown, source: its bag }\n",
    );
    let ran = |parts: &str, additions: &str| -> bool {
        let additions = if additions.is_empty() {
            String::new()
        } else {
            format!("additions: {{ {additions} }}\n")
        };
        bench.file("g.yaml", format!("glaze: G\nparts: {{ {parts} }}\n{additions}"));
        let ran = bench.run(&[
            "--studio",
            "studio",
            "check",
            "g.yaml",
            "--script",
            "cobalt.rhai",
            "--format",
            "json",
        ]);
        assert_eq!(ran.code, 0, "{}", ran.stdout);
        let answer: Value = serde_json::from_str(&ran.stdout).unwrap();
        assert_eq!(answer["findings"][0]["level"], "nothing found");
        ran.stderr.contains("ran")
    };
    assert!(!ran("silica: 30, whiting: 20", "red iron oxide: 2"));
    assert!(ran("silica: 30, whiting: 20", "cobalt carbonate: 1"));
    assert!(ran("silica: 30, whiting: 20, fluorspar: 1", ""));
    assert!(ran("silica: 30, a powder: 20", ""), "nobody tells what is in it");
    let of_limits = "const ABOUT = #{ api: 1, kind: \"limits\", title: \"t\", only_with: [\"CoO\"] };\n\
                     fn limits(glaze, option) { #{ SiO2: [2, 4] } }\n";
    for (text, place) in [
        (
            about("only_with: [\"C0O\"]"),
            "`C0O` is no oxide that Glost knows cobalt.rhai:1:80",
        ),
        (of_limits.to_owned(), "`only_with` goes with scripts of kind `check`"),
    ] {
        bench.file("cobalt.rhai", text);
        let ran = bench.run(&["check", "Lamplight clear", "--script", "cobalt.rhai"]);
        assert!(
            ran.code == 2 && ran.stderr.replace("\n", " ").contains(place),
            "{}",
            ran.stderr
        );
    }
}
