//! The invariants of the house (DEVELOPERS.md), held by a test.

use std::fs;
use std::path::{Path, PathBuf};

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

#[track_caller]
fn never(krate: &str, words: &[&str]) {
    for path in rust_files(&root().join("crates").join(krate).join("src")) {
        let code = code(&path);
        for word in words {
            assert!(
                !code.contains(word),
                "{} has `{word}`, which has no place in {krate}",
                path.display()
            );
        }
    }
}

fn dependencies(krate: &str) -> String {
    let manifest = fs::read_to_string(root().join("crates").join(krate).join("Cargo.toml")).unwrap();
    let start = manifest.find("[dependencies]").unwrap();
    manifest[start..].split("\n[").next().unwrap_or_default().to_owned()
}

#[test]
fn core_touches_no_disk_terminal_clock_or_script_engine() {
    never(
        "core",
        &[
            "std::fs",
            "std::net",
            "std::env",
            "std::process",
            "std::time",
            "println!",
            "eprintln!",
            "rhai",
            "stdin(",
        ],
    );
    assert!(!dependencies("core").contains("rhai"));
}

#[test]
fn script_never_prints_and_reads_no_files() {
    never("script", &["println!", "std::fs", "std::net", "stdin("]);
}

#[test]
fn studio_page_and_cli_hold_no_chemistry() {
    let chemistry = ["grams_per_mole", "atomic_weight", "metal_atoms", "add_scaled"];
    never("studio", &chemistry);
    never("cli", &chemistry);
    never("studio", &["println!", "eprintln!"]);
    never(
        "page",
        &[
            "std::fs",
            "std::net",
            "println!",
            "eprintln!",
            "add_scaled",
            "metal_atoms",
        ],
    );
}

#[test]
fn arrows_run_one_way() {
    for (krate, forbidden) in [
        ("core", vec!["glost-script", "glost-studio", "glost-page"]),
        ("script", vec!["glost-studio", "glost-page"]),
        ("studio", vec!["glost-script", "glost-page"]),
        ("page", vec!["glost-studio", "glost-script"]),
    ] {
        let own = dependencies(krate);
        for name in forbidden {
            assert!(!own.contains(name), "{krate} leans on {name}");
        }
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
