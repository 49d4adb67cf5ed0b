//! What Glost leans on: licences that allow it, nothing that nobody uses, and
//! everything with its reason in DEVELOPERS.md.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// Licences under which a crate may come in; one of an expression's is enough.
const ALLOWED: [&str; 13] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "Unlicense",
    "0BSD",
    "CC0-1.0",
    "Unicode-3.0",
    // Asks only that changes to its own files stay open; we change none.
    "MPL-2.0+",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// The machine that compiles, `x86_64-unknown-linux-gnu`: what other machines need
/// isn't here.
fn host() -> String {
    let output = Command::new("rustc").arg("-vV").output().unwrap();
    let told = String::from_utf8(output.stdout).unwrap();
    let host = told.lines().find_map(|line| line.strip_prefix("host: "));
    host.unwrap().to_owned()
}

fn metadata() -> Value {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--offline"])
        .args(["--filter-platform", &host()])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or("")
}

/// Whether an expression of SPDX can be met: every part between ANDs by one of its ORs.
fn allowed(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], "").replace('/', " OR ");
    plain
        .split(" AND ")
        .all(|part| part.split(" OR ").any(|one| ALLOWED.contains(&one.trim())))
}

#[test]
fn every_licence_allows_it() {
    let metadata = metadata();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 40);
    for package in packages {
        let licence = text(package, "license");
        assert!(
            allowed(licence),
            "{} is under `{licence}`, which the list in this test doesn't allow",
            text(package, "name")
        );
    }
    assert!(allowed("MIT OR Apache-2.0") && allowed("(MIT OR Apache-2.0) AND Unicode-3.0"));
    assert!(!allowed("GPL-3.0-only") && !allowed("MIT AND GPL-3.0-only") && !allowed(""));
}

fn all_code(folder: &Path) -> String {
    let mut code = String::new();
    let Ok(entries) = fs::read_dir(folder) else { return code };
    for path in entries.map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            code.push_str(&all_code(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            code.push_str(&fs::read_to_string(&path).unwrap());
        }
    }
    code
}

#[test]
fn nothing_is_depended_on_and_not_used() {
    let metadata = metadata();
    let members: BTreeSet<&str> = metadata["workspace_members"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    for package in metadata["packages"].as_array().unwrap() {
        if !members.contains(text(package, "id")) {
            continue;
        }
        let folder = Path::new(text(package, "manifest_path")).parent().unwrap();
        let (own, tests) = (all_code(&folder.join("src")), all_code(folder));
        let screens = all_code(&root().join("tests/screens"));
        for dependency in package["dependencies"].as_array().unwrap() {
            let name = dependency["rename"].as_str().unwrap_or(text(dependency, "name"));
            // The program's library has a name of its own.
            let imported = if name == "glost" { "glost_cli" } else { name };
            let word = format!("{}::", imported.replace('-', "_"));
            // The tests' own package is nothing but tests.
            let for_tests = dependency["kind"].as_str() == Some("dev") || folder == root().join("tests");
            let used = if for_tests {
                tests.contains(&word) || screens.contains(&word)
            } else {
                own.contains(&word)
            };
            assert!(used, "{} doesn't use {name}", text(package, "name"));
        }
    }
}

#[test]
fn every_dependency_has_its_reason() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let reasons = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let start = manifest.find("[workspace.dependencies]").unwrap();
    let list = manifest[start..].split("\n[").next().unwrap();
    let names: Vec<&str> = list
        .lines()
        .skip(1)
        .filter_map(|line| line.split_once(" = "))
        .map(|(name, _)| name)
        .filter(|name| !name.starts_with("glost-"))
        .collect();
    assert!(names.len() > 10);
    for name in names {
        assert!(reasons.contains(name), "DEVELOPERS.md doesn't say why {name} is here");
    }
}
