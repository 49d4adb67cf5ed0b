//! Everything out once, over a studio of 40 invented sheets and 12 glazes: what the first
//! proposal of each swap must never do (common practice, no source), and how near it lies.

use std::path::Path;

use serde_json::Value;

use super::bench::Bench;

/// Colours for which nothing on a shelf can stand in are left out.
const COLOURS_ALONE: [(&str, &str); 4] = [
    ("Kiln black", "red iron oxide"),
    ("Gable blue", "cobalt carbonate"),
    ("Moss stone", "copper carbonate"),
    ("Spring pool", "copper carbonate"),
];
const FLUORIDES: [&str; 2] = ["fluorspar", "soda fluoride"];
const CLAYS: [&str; 6] = [
    "white china clay",
    "sticky china clay",
    "blue ball clay",
    "sandy ball clay",
    "brick clay",
    "white bentonite",
];

fn folder(bench: &Bench, from: &Path, to: &str) {
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("{to}/{}", path.file_name().unwrap().to_str().unwrap());
        if path.is_dir() {
            folder(bench, &path, &name);
        } else {
            bench.file(&name, std::fs::read_to_string(&path).unwrap());
        }
    }
}

fn asked(bench: &Bench, call: &[&str]) -> Value {
    let ran = bench.run_in("studio", &[call, &["--format", "json"]].concat());
    serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{call:?}: {}", ran.stderr))
}

fn amounts(recipe: &Value) -> Vec<(String, f64)> {
    let amounts = recipe.as_object().into_iter().flatten();
    amounts
        .map(|(name, amount)| (name.clone(), amount.as_f64().unwrap()))
        .collect()
}

/// Raw clay of a base, per cent.
fn clay(parts: &[(String, f64)]) -> f64 {
    let all: f64 = parts.iter().map(|part| part.1).sum();
    let clays = parts.iter().filter(|part| CLAYS.contains(&part.0.as_str()));
    100.0 * clays.map(|part| part.1).sum::<f64>() / all
}

/// What is wrong with a first proposal.
fn wrong(old: &Value, raw_ware: bool, best: &Value) -> Vec<String> {
    let (before, after) = (amounts(&old["parts"]), amounts(&best["parts"]));
    let known: Vec<(String, f64)> = [before.clone(), amounts(&old["additions"])].concat();
    let is_new = |name: &str| !known.iter().any(|part| part.0 == name);
    let mut wrong = Vec::new();
    for (name, amount) in [after.clone(), amounts(&best["additions"])].concat() {
        if is_new(&name) && FLUORIDES.contains(&name.as_str()) {
            wrong.push(format!("{name} unasked"));
        }
        if is_new(&name) && after.iter().any(|part| part.0 == name) && amount < 0.5 {
            wrong.push(format!("a trace of {name}: {amount}"));
        }
    }
    let (was, is) = (clay(&before), clay(&after));
    let (low, high) = if raw_ware {
        (20.0, 45.0)
    } else {
        (was.min((was / 2.0).max(8.0)), (was + 8.0).max(25.0))
    };
    if !(low - 1.55..=high + 1.55).contains(&is) {
        wrong.push(format!("raw clay from {was:.1} to {is:.1} %"));
    }
    let findings = best["findings"].as_array().into_iter().flatten();
    let fails = findings.filter(|found| found["new"] == true && found["level"] == "fail");
    wrong.extend(fails.map(|found| format!("new fail: {}", found["message"])));
    wrong
}

/// The glazes as their files have them.
fn glazes(data: &Path) -> Vec<Value> {
    let files = std::fs::read_dir(data.join("glazes")).unwrap();
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.sort();
    let read = |path: &_| serde_yaml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    paths.iter().map(read).collect()
}

#[test]
fn first_proposals_are_ones_that_would_be_mixed() {
    let bench = Bench::empty();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/sallow_lane");
    folder(&bench, &data, "studio");
    let (mut count, mut near, mut all_wrong) = (0, 0, Vec::new());
    for old in glazes(&data) {
        let name = old["glaze"].as_str().unwrap();
        let raw_ware = old["ware"] == "raw";
        for (out, _) in [amounts(&old["parts"]), amounts(&old["additions"])].concat() {
            if COLOURS_ALONE.contains(&(name, out.as_str())) {
                continue;
            }
            let best = asked(&bench, &["swap", name, "--out", &out])["proposals"][0].take();
            count += 1;
            near += usize::from(best["distance"].as_f64().is_some_and(|distance| distance <= 10.0));
            let found = if best.is_null() {
                vec!["none".to_owned()]
            } else {
                wrong(&old, raw_ware, &best)
            };
            all_wrong.extend(found.into_iter().map(|why| format!("{name} without {out}: {why}")));
        }
    }
    println!("{count} swaps, {near} within 10, wrong: {all_wrong:#?}");
    assert_eq!(count, 63);
    assert!(near >= 50, "{near} within 10");
    assert!(20 * all_wrong.len() <= count, "{all_wrong:#?}");
}
