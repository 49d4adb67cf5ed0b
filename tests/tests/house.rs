//! The invariants of the house (DEVELOPERS.md), held by a test.

use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

#[path = "house/folders.rs"]
mod folders;
#[path = "house/sentences.rs"]
mod sentences;
#[path = "house/words.rs"]
mod words;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            found.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

/// Code before the file's tests, comments taken out.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let before_tests = text.split("#[cfg(test)]").next().unwrap_or_default().to_owned();
    before_tests
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .map(|line| format!("{line}\n"))
        .collect()
}

/// The crates of the house, each with those it may lean on (an arrow may skip a storey,
/// none runs back).
const ARROWS: [(&str, &[&str]); 10] = [
    ("solve", &[]),
    ("chemistry", &["solve"]),
    ("core", &["chemistry", "solve"]),
    ("script", &["core", "chemistry"]),
    ("studio", &["core", "chemistry"]),
    ("desk", &["core", "chemistry", "studio", "script"]),
    ("page", &["desk", "core", "chemistry"]),
    ("web", &["page", "desk", "core", "chemistry", "studio", "script"]),
    ("cli", &["web", "page", "desk", "core", "chemistry", "studio", "script"]),
    ("python", &["cli", "page", "desk", "chemistry"]),
];

fn source_files(krate: &str) -> Vec<PathBuf> {
    rust_files(&root().join("crates").join(krate).join("src"))
}

#[track_caller]
fn never(krate: &str, words: &[&str]) {
    never_outside(krate, "nowhere", words);
}

/// Words that no file has but those below one folder.
#[track_caller]
fn never_outside(krate: &str, folder: &str, words: &[&str]) {
    let folder = root().join("crates").join(krate).join("src").join(folder);
    for path in source_files(krate).iter().filter(|path| !path.starts_with(&folder)) {
        let code = code(path);
        for word in words {
            let whole_word =
                |at: usize| !code[..at].ends_with(|before: char| before.is_alphanumeric() || before == '_');
            assert!(
                !code.match_indices(word).any(|(at, _)| whole_word(at)),
                "{} has `{word}`, which has no place there",
                path.display()
            );
        }
    }
}

/// What each crate of the workspace leans on when it is built, by cargo's own account.
fn dependencies() -> Vec<(String, Vec<String>)> {
    let ran = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let metadata: Value = serde_json::from_slice(&ran.stdout).unwrap();
    let name = |value: &Value| value["name"].as_str().unwrap().to_owned();
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|package| {
            let leans_on = package["dependencies"].as_array().unwrap().iter();
            // Tests may lean on what they like.
            let leans_on = leans_on.filter(|one| one["kind"] != "dev").map(name);
            (name(package), leans_on.collect())
        })
        .collect()
}

fn leans_on(krate: &str) -> Vec<String> {
    let package = match krate {
        "cli" => "glost".to_owned(),
        other => format!("glost-{other}"),
    };
    let found = dependencies().into_iter().find(|(name, _)| *name == package);
    found.unwrap_or_else(|| panic!("no crate {package}")).1
}

#[test]
fn arrows_run_one_way() {
    for (krate, allowed) in ARROWS {
        for name in leans_on(krate) {
            if let Some(ours) = name.strip_prefix("glost-") {
                assert!(allowed.contains(&ours), "{krate} leans on {ours}");
            }
        }
        // And by what is written: a crate can be reached through another's face.
        for path in source_files(krate) {
            let code = code(&path);
            for (other, _) in ARROWS {
                assert!(
                    other == krate || allowed.contains(&other) || !code.contains(&format!("glost_{other}::")),
                    "{} uses {other}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn every_crate_has_its_arrows() {
    let mut named: Vec<&str> = ARROWS.iter().map(|arrow| arrow.0).collect();
    named.sort_unstable();
    let mut there: Vec<String> = fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    there.sort();
    assert_eq!(there, named, "a new crate's arrows are said in ARROWS");
}

#[test]
fn core_has_at_most_nine_rooms() {
    let face = code(&root().join("crates/core/src/lib.rs"));
    let rooms: Vec<&str> = face.lines().filter(|line| line.contains("mod ")).collect();
    assert!(rooms.len() <= 9, "{rooms:?}");
}

/// The words of disk, net, environment, processes, clock and terminal.
const OUTSIDE: [&str; 10] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::process",
    "std::time",
    "SystemTime",
    "println!",
    "eprintln!",
    "stdin(",
    "stdout(",
];

#[test]
fn what_is_known_of_glazes_touches_no_disk_terminal_or_clock() {
    for krate in ["solve", "chemistry", "core"] {
        never(krate, &OUTSIDE);
        never(krate, &["rhai"]);
        assert!(!leans_on(krate).contains(&"rhai".to_owned()));
    }
    never("solve", &["oxide", "Oxide", "glaze", "Glaze"]);
}

#[test]
fn script_never_prints_and_reads_no_files() {
    never("script", &["println!", "std::fs", "std::net", "stdin("]);
}

#[test]
fn the_studio_reaches_the_disk_through_one_trait() {
    let files = [
        "File::",
        "OpenOptions",
        "fs::read",
        "fs::write",
        "fs::create",
        "fs::remove",
        "fs::rename",
        "fs::metadata",
        "fs::canonicalize",
        ".canonicalize()",
        ".exists()",
        ".is_dir()",
        ".metadata()",
        ".symlink_metadata()",
        "tempfile",
    ];
    never_outside("studio", "disk", &files);
}

#[test]
fn studio_desk_page_and_cli_hold_no_chemistry() {
    let chemistry = ["grams_per_mole", "atomic_weight", "metal_atoms", "add_scaled"];
    never("studio", &chemistry);
    never("cli", &chemistry);
    never("page", &["add_scaled", "metal_atoms"]);
    never("studio", &["println!", "eprintln!"]);
    never("page", &["std::fs", "std::net", "println!", "eprintln!"]);
}

#[test]
fn the_desk_parses_no_arguments_and_asks_no_clock() {
    never(
        "desk",
        &["clap", "rhai::", "std::time", "SystemTime", "println!", "eprintln!"],
    );
    let leans_on = leans_on("desk");
    for terminal in ["clap", "rhai", "ctrlc", "jiff"] {
        assert!(!leans_on.contains(&terminal.to_owned()), "desk leans on {terminal}");
    }
}

/// The 95th of a hundred, and the last.
fn p95_and_longest<T: Ord + Clone>(mut lengths: Vec<T>) -> (T, T) {
    lengths.sort();
    (
        lengths[lengths.len() * 95 / 100].clone(),
        lengths[lengths.len() - 1].clone(),
    )
}

fn all_source_files() -> Vec<PathBuf> {
    ARROWS.iter().flat_map(|arrow| source_files(arrow.0)).collect()
}

#[test]
fn files_are_short() {
    let lines = |path: &PathBuf| fs::read_to_string(path).unwrap().lines().count();
    let (usual, longest) = p95_and_longest(
        all_source_files()
            .iter()
            .map(|path| (lines(path), path.clone()))
            .collect(),
    );
    assert!(usual.0 <= 400, "the 95th of a hundred files has {usual:?} lines");
    assert!(longest.0 <= 700, "{longest:?}");
}

/// Each function's lines, from its name to the brace under its first column, as rustfmt
/// sets them.
fn functions(path: &Path) -> Vec<(usize, String)> {
    let code = code(path);
    let lines: Vec<&str> = code.lines().collect();
    let mut found = Vec::new();
    for (start, line) in lines.iter().enumerate() {
        let own = line.trim_start();
        let words = own.split(['(', '<']).next().unwrap();
        if words.split_whitespace().rev().nth(1).is_none_or(|word| word != "fn") {
            continue;
        }
        let end = format!("{}}}", &line[..line.len() - own.len()]);
        let length = lines[start..].iter().position(|line| *line == end);
        let one_line = line.ends_with('}');
        let signature_only = lines[start..].iter().position(|line| line.ends_with(';'));
        let opens = lines[start..].iter().position(|line| line.ends_with('{'));
        if let (Some(length), false) = (length, one_line)
            && opens.is_some_and(|opens| signature_only.is_none_or(|only| opens < only))
        {
            found.push((length + 1, format!("{words} in {}", path.display())));
        }
    }
    found
}

#[test]
fn functions_are_short() {
    let all: Vec<(usize, String)> = all_source_files().iter().flat_map(|path| functions(path)).collect();
    assert!(all.len() > 2_500, "only {} functions found", all.len());
    let (usual, longest) = p95_and_longest(all);
    assert!(usual.0 <= 47, "the 95th of a hundred functions has {usual:?} lines");
    assert!(longest.0 <= 120, "{longest:?}");
}

/// The most places in each crate where an absent value becomes an empty one. Few are
/// the truth; those who add one take another away.
const EMPTY_FOR_ABSENT: [(&str, usize); 9] = [
    ("solve", 2),
    ("chemistry", 2),
    ("core", 20),
    ("script", 8),
    ("studio", 5),
    ("desk", 6),
    ("page", 12),
    ("web", 3),
    ("cli", 3),
];

#[test]
fn little_is_empty_in_silence() {
    for (krate, most) in EMPTY_FOR_ABSENT {
        let count = |path: &PathBuf| fs::read_to_string(path).unwrap().matches("unwrap_or_default").count();
        let found: usize = source_files(krate).iter().map(count).sum();
        assert!(
            found <= most,
            "{found} times unwrap_or_default in {krate}, at most {most}"
        );
    }
}

#[test]
fn the_top_level_holds_what_the_design_says() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "crates",
        "scripts",
        "materials",
        "tests",
        "target",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_str()),
            "{name} at the top level"
        );
    }
}

#[test]
fn every_shipped_material_names_its_source() {
    for path in fs::read_dir(root().join("materials"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
    {
        let text = fs::read_to_string(&path).unwrap();
        let names = text
            .lines()
            .filter(|line| line.trim_start().starts_with("- name:"))
            .count();
        let sources = text
            .lines()
            .filter(|line| line.trim_start().starts_with("source:"))
            .count();
        assert!(
            names > 0 && names == sources,
            "{}: {names} materials, {sources} sources",
            path.display()
        );
    }
}

/// A snapshot whose test is gone pins nothing and misleads whoever reads it.
#[test]
fn every_snapshot_has_its_test() {
    let screens = root().join("tests/screens");
    let text: String = rust_files(&screens)
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    let words: HashSet<&str> = text
        .split(|sign: char| !(sign.is_alphanumeric() || sign == '_'))
        .collect();
    // Names that a loop makes begin or end alike: `misspelt_{key}`.
    let begun: Vec<&str> = text
        .split('"')
        .filter_map(|piece| Some(piece.split_once('{')?.0))
        .filter(|begun| begun.len() > 3 && begun.ends_with(['_', ' ']))
        .collect();
    let ended: Vec<&str> = text
        .split('"')
        .filter_map(|piece| Some(piece.strip_prefix('{')?.split_once('}')?.1))
        .filter(|ended| ended.len() > 5 && ended.starts_with('_'))
        .collect();
    let has_test = |own: &str| {
        // Several of one test are numbered.
        let own = match own.rsplit_once('-') {
            Some((first, number)) if number.bytes().all(|sign| sign.is_ascii_digit()) => first,
            _ => own,
        };
        words.contains(own)
            || text.contains(&format!("\"{own}\""))
            || begun.iter().any(|begun| own.starts_with(begun))
            || ended.iter().any(|ended| own.ends_with(ended))
    };
    let names = fs::read_dir(screens.join("snapshots")).unwrap();
    let names = names.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let orphans: Vec<String> = names
        .filter(|name| name.ends_with(".snap"))
        .filter(|name| {
            let own = name.trim_end_matches(".snap").rsplit("__").next().unwrap_or(name);
            !has_test(own)
        })
        .collect();
    assert!(orphans.is_empty(), "no test has these snapshots: {orphans:?}");
}
