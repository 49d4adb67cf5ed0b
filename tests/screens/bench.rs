//! Runs the built `glost` in a folder of its own.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// The day on which everything here happens.
pub const TODAY: &str = "2026-11-25";

/// A folder to run in.
pub struct Bench {
    dir: TempDir,
}

/// What came out.
pub struct Ran {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

impl Ran {
    fn of(output: Output) -> Ran {
        Ran {
            code: output.status.code().unwrap_or(-1),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Bench {
    /// An empty folder: no studio.
    pub fn empty() -> Bench {
        Bench {
            dir: tempfile::tempdir().unwrap(),
        }
    }

    /// A folder with a copy of the example studio.
    pub fn example_studio() -> Bench {
        let bench = Bench::empty();
        let made = bench.run(&["init", "studio", "--example"]);
        assert_eq!(made.code, 0, "{}", made.stderr);
        bench
    }

    pub fn path(&self) -> &Path {
        self.dir.path()
    }

    /// Writes a file, its folders too.
    pub fn file(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.dir.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        path
    }

    pub fn run(&self, arguments: &[&str]) -> Ran {
        self.run_in(".", arguments)
    }

    pub fn run_in(&self, folder: &str, arguments: &[&str]) -> Ran {
        let output = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(arguments)
            .current_dir(self.dir.path().join(folder))
            .env_remove("RUST_BACKTRACE")
            .env_remove("COLUMNS")
            .env("GLOST_TODAY", TODAY)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        Ran::of(output)
    }

    /// Runs it in the studio's folder at a terminal of so many columns.
    pub fn run_at(&self, columns: usize, arguments: &[&str]) -> Ran {
        let output = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(arguments)
            .current_dir(self.dir.path().join("studio"))
            .env_remove("RUST_BACKTRACE")
            .env("COLUMNS", columns.to_string())
            .env("GLOST_TODAY", TODAY)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let ran = Ran::of(output);
        crate::schemas::fits_its_schema(arguments, &ran.stdout);
        ran
    }

    /// Runs it in the studio's folder, to die at a moment of its work on the disk,
    /// counted from 1: a moment lies before and after each change, and in the middle
    /// of each write. Nothing depends on how busy the machine is. Says whether it
    /// died; `false`: its work has fewer moments, and it came to its end.
    pub fn dies(&self, moment: u64, arguments: &[&str]) -> (bool, Ran) {
        let output = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(arguments)
            .current_dir(self.dir.path().join("studio"))
            .env("GLOST_TODAY", TODAY)
            .env("GLOST_STOP_AT_DISK_MOMENT", moment.to_string())
            .stdin(Stdio::null())
            .output()
            .unwrap();
        (output.status.code().is_none(), Ran::of(output))
    }

    /// Runs it with `lines` coming in on stdin.
    pub fn run_told(&self, arguments: &[&str], lines: &str) -> Ran {
        let mut running = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(arguments)
            .current_dir(self.dir.path())
            .env_remove("RUST_BACKTRACE")
            .env_remove("COLUMNS")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdin = running.stdin.take().unwrap();
        let lines = lines.as_bytes().to_vec();
        // It answers while it hears: whoever only wrote would wait for ever.
        let writer = std::thread::spawn(move || {
            // It may end before it has heard everything.
            let _ = stdin.write_all(&lines);
        });
        let ran = Ran::of(running.wait_with_output().unwrap());
        writer.join().unwrap();
        ran
    }

    /// Everything that a person sees, for a snapshot.
    pub fn screen(&self, arguments: &[&str]) -> String {
        let ran = self.run(arguments);
        let quoted: Vec<String> = arguments
            .iter()
            .map(|word| {
                if word.contains([' ', '(', '>']) {
                    format!("\"{word}\"")
                } else {
                    (*word).to_owned()
                }
            })
            .collect();
        let mut screen = format!("$ glost {}\n{}", quoted.join(" "), ran.stdout);
        if !ran.stderr.is_empty() {
            screen.push_str(&format!("--- on stderr\n{}", ran.stderr));
        }
        screen.push_str(&format!("--- exit {}\n", ran.code));
        let widest = ran.stdout.lines().map(|line| line.chars().count()).max().unwrap_or(0);
        assert!(
            widest <= 80 || ["json", "csv", "--over"].iter().any(|wide| arguments.contains(wide)),
            "{widest} columns:\n{screen}"
        );
        for forbidden in ["food safe", "food-safe", "frost proof", "will not craze"] {
            assert!(!screen.to_lowercase().contains(forbidden), "{forbidden}:\n{screen}");
        }
        screen
    }
}
