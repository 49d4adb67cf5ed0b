//! Every JSON answer fits its own schema, and every file of the example its own; files
//! that are wrong in their structure don't.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Mutex, OnceLock};

use glost_desk::schema::{StudioFile, answer_schema, answer_words};
use jsonschema::Validator;
use serde_json::Value;

use crate::bench::Bench;

/// Holds what a call answered in JSON against the schema of its command.
pub fn fits_its_schema(arguments: &[&str], stdout: &str) {
    let json = arguments.windows(2).any(|pair| pair == ["--format", "json"]);
    let Ok(answer) = serde_json::from_str::<Value>(stdout) else {
        return;
    };
    let words: Vec<&str> = arguments
        .iter()
        .copied()
        .filter(|word| !word.starts_with('-'))
        .collect();
    let is_known = |word: &str| answer_words().any(|known| known == word);
    let word = match words.as_slice() {
        ["script", second, ..] => format!("script {second}"),
        ["results", ..] if arguments.contains(&"--all") => "results --all".to_owned(),
        ["match", ..] => "reach".to_owned(),
        [first, second, ..] if is_known(&format!("{first} {second}")) => format!("{first} {second}"),
        [first, ..] => (*first).to_owned(),
        [] => return,
    };
    if !json || answer.get("error").is_some() || !is_known(&word) {
        return;
    }
    static KNOWN: OnceLock<Mutex<HashMap<String, Validator>>> = OnceLock::new();
    let mut known = KNOWN.get_or_init(Mutex::default).lock().unwrap();
    let validator = known
        .entry(word.clone())
        .or_insert_with(|| jsonschema::validator_for(&answer_schema(&word).unwrap()).unwrap());
    let wrong: Vec<String> = validator
        .iter_errors(&answer)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    drop(known);
    assert!(wrong.is_empty(), "glost {}:\n{}", arguments.join(" "), wrong.join("\n"));
}

fn of_file(file: StudioFile) -> Validator {
    jsonschema::validator_for(&file.schema()).unwrap()
}

/// As an editor reads it: YAML 1.2.
fn yaml(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap()
}

fn files(folder: &Path) -> Vec<(String, String)> {
    let read = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let texts = read.map(|path| (path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
    texts.collect()
}

#[test]
fn every_file_of_the_example_fits_its_schema() {
    let bench = Bench::example_studio();
    let studio = bench.path().join("studio");
    let mut all = vec![(
        StudioFile::Studio,
        "studio.yaml".to_owned(),
        std::fs::read_to_string(studio.join("studio.yaml")).unwrap(),
    )];
    for (file, folder) in [
        (StudioFile::Material, "materials"),
        (StudioFile::Glaze, "glazes"),
        (StudioFile::Clay, "clays"),
    ] {
        all.extend(
            files(&studio.join(folder))
                .into_iter()
                .map(|(name, text)| (file, name, text)),
        );
    }
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../materials");
    let shipped = files(&shipped).into_iter().filter(|(name, _)| name.ends_with(".yaml"));
    all.extend(shipped.map(|(name, text)| (StudioFile::Material, name, text)));
    assert!(all.len() > 15, "{}", all.len());
    for (file, name, text) in all {
        let wrong: Vec<String> = of_file(file)
            .iter_errors(&yaml(&text))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
    }
}

#[test]
fn nine_of_ten_structural_errors_are_seen() {
    let glaze = "glaze: A\nparts: { silica: 60, whiting: 40 }\n";
    let material = "materials:\n  - name: spar\n    kind: mineral\n    basis: as supplied\n    analysis: { SiO2: 67 }\n    source: sheet\n";
    let clay = "clay: buff\ncone: 6\n";
    let cases = [
        (StudioFile::Glaze, glaze.replace("parts", "part")),
        (StudioFile::Glaze, glaze.replace("glaze: A\n", "")),
        (StudioFile::Glaze, "glaze: A\n".to_owned()),
        (
            StudioFile::Glaze,
            glaze.replace("{ silica: 60, whiting: 40 }", "[silica, whiting]"),
        ),
        (StudioFile::Glaze, glaze.replace("60", "{ a: 1 }")),
        (StudioFile::Glaze, glaze.replace("60", "much")),
        (StudioFile::Glaze, format!("{glaze}use: bath\n")),
        (StudioFile::Glaze, format!("{glaze}atmosphere: smoky\n")),
        (StudioFile::Glaze, format!("{glaze}additions: [tin]\n")),
        (StudioFile::Glaze, format!("{glaze}crackle: maybe\n")),
        (StudioFile::Material, material.replace("SiO2", "SiO3")),
        (StudioFile::Material, material.replace("    source: sheet\n", "")),
        (StudioFile::Material, material.replace("    basis: as supplied\n", "")),
        (StudioFile::Material, material.replace("as supplied", "as found")),
        (StudioFile::Material, material.replace("mineral", "stone")),
        (StudioFile::Material, material.replace("materials:", "material:")),
        (
            StudioFile::Material,
            material.replace("    analysis: { SiO2: 67 }\n", ""),
        ),
        (
            StudioFile::Material,
            material.replace("  - name: spar\n    kind", "  - kind"),
        ),
        (StudioFile::Material, format!("{material}    soluble: a little\n")),
        (StudioFile::Clay, clay.replace("clay", "clai")),
        (StudioFile::Clay, format!("{clay}weighings: {{ soaked: 4 g }}\n")),
        (StudioFile::Clay, format!("{clay}shrinkage: 12 %\n")),
        (StudioFile::Clay, format!("{clay}kind: brick\n")),
        (StudioFile::Studio, "studo: A\n".to_owned()),
        (StudioFile::Studio, "studio: A\nscales: 0.1 g\n".to_owned()),
        (StudioFile::Studio, "studio: A\nscales: { up_to: 3 kg }\n".to_owned()),
        (StudioFile::Studio, "studio: A\ncupp: 250 ml\n".to_owned()),
    ];
    let missed: Vec<&String> = cases
        .iter()
        .filter(|(file, text)| of_file(*file).is_valid(&yaml(text)))
        .map(|(_, text)| text)
        .collect();
    assert!(
        missed.is_empty(),
        "{} of {} unseen: {missed:#?}",
        missed.len(),
        cases.len()
    );
    for (file, text) in [
        (StudioFile::Glaze, glaze),
        (StudioFile::Material, material),
        (StudioFile::Clay, clay),
    ] {
        assert!(of_file(file).is_valid(&yaml(text)), "{text}");
    }
    // As readers of YAML 1.1 see `cone: 04` and `firing: off`.
    let old = serde_json::json!({ "glaze": "A", "parts": { "silica": 1 }, "cone": 4, "firing": false });
    assert!(of_file(StudioFile::Glaze).is_valid(&old));
}

#[test]
fn every_line_of_a_notebook_fits() {
    let bench = Bench::example_studio();
    let note = of_file(StudioFile::Note);
    let noted = bench.run_in(
        "studio",
        &[
            "note",
            "Lamplight clear",
            "--clay",
            "buff stoneware",
            "--age",
            "30d",
            "--crazed",
            "0/5",
        ],
    );
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    let text = std::fs::read_to_string(bench.path().join("studio/notes.jsonl")).unwrap();
    assert!(!text.trim().is_empty());
    for line in text.lines() {
        let line: Value = serde_json::from_str(line).unwrap();
        assert!(note.is_valid(&line), "{line}");
    }
    assert!(!note.is_valid(&serde_json::json!({ "glaze": "A" })));
    assert!(!note.is_valid(&serde_json::json!({ "on": "2026-11-25" })));
}
