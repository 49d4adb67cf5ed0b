//! New names for glazes, materials and clays: files, plans and notes follow.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use super::bench::{Bench, Ran};

fn rename(bench: &Bench, words: &[&str]) -> Ran {
    bench.run_in("studio", &[&["rename"], words].concat())
}

fn json(bench: &Bench, words: &[&str]) -> serde_json::Value {
    let ran = bench.run_in("studio", &[words, &["--format", "json"]].concat());
    serde_json::from_str(&ran.stdout).unwrap_or_else(|error| panic!("{words:?}: {error}: {}{}", ran.stdout, ran.stderr))
}

/// The example with a ladder, notes on it, a booked batch and a pre-mix.
fn lived_in() -> Bench {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/mixes.yaml",
        "materials:\n  - name: blue mix\n    recipe: { silica: 97, cobalt carbonate: 3 }   # ours\n    source: own\n",
    );
    bench.file("studio/glazes/blue.yaml", "glaze: Tern blue\r\nparts: { \"Silica\": 30, feldspar B: 70 }\r\nadditions:\r\n  blue mix: 5 # of it\r\nclay: white earthenware\r\nrecommended: [White earthenware, buff stoneware]\r\n");
    bench.file(
        "studio/scripts/check/own.rhai",
        "// says something of Lamplight clear and of silica\nlet x = 1;\n",
    );
    let calls: [&[&str]; 6] = [
        &[
            "kiln",
            "load",
            "--put",
            "Lamplight clear = 3 on white earthenware",
            "--put",
            "Lamplight clear over Tern blue = 2 on white earthenware",
        ],
        &[
            "blend",
            "series",
            "Lamplight clear",
            "--add",
            "silica 0..9 %",
            "--steps",
            "4",
            "--save",
            "ladder",
        ],
        &[
            "note",
            "ladder/A2",
            "--clay",
            "white earthenware",
            "--crazed",
            "2/5",
            "--age",
            "30d",
        ],
        &[
            "note",
            "Lamplight clear",
            "--clay",
            "white earthenware",
            "--crazed",
            "0/5",
            "--age",
            "40d",
        ],
        &[
            "note",
            "Lamplight clear + 3 % silica",
            "--clay",
            "white earthenware",
            "--crazed",
            "1/5",
            "--age",
            "50d",
        ],
        &["weigh", "Lamplight clear", "--dry", "1 kg", "--commit"],
    ];
    for call in calls {
        let ran = bench.run_in("studio", call);
        assert!(ran.code < 2, "{call:?}: {}", ran.stderr);
    }
    bench
}

/// Every glaze's unity formula, by what the glazes are called in the end.
fn chemistry(bench: &Bench, called: impl Fn(&str) -> String) -> BTreeMap<String, Vec<(String, f64)>> {
    let mut all = BTreeMap::new();
    for file in fs::read_dir(bench.path().join("studio/glazes")).unwrap() {
        let text = fs::read_to_string(file.unwrap().path()).unwrap();
        let name = text
            .lines()
            .find_map(|line| line.strip_prefix("glaze: "))
            .unwrap()
            .trim_matches(['"', '\''])
            .to_owned();
        let ran = bench.run_in("studio", &["unity", &name, "--format", "json"]);
        if ran.code == 0 {
            let answer: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
            let unity = answer["unity"].as_object().unwrap();
            let moles = unity
                .iter()
                .map(|(oxide, moles)| (oxide.clone(), moles.as_f64().unwrap()));
            all.insert(called(&name), moles.collect());
        }
    }
    all
}

#[test]
fn a_new_name_is_everywhere_and_no_chemistry_changes() {
    let bench = lived_in();
    let called = |name: &str| name.replace("Lamplight clear", "Tern: clear");
    let before = chemistry(&bench, called);
    let fit = |glaze: &str, clay: &str| {
        let answer = json(&bench, &["fit", glaze, "--clay", clay]);
        (
            answer["pieces"].clone(),
            answer["crazed"].clone(),
            answer["p_craze"].clone(),
        )
    };
    let fits = [
        fit("Lamplight clear", "white earthenware"),
        fit("Lamplight clear + 3 % silica", "white earthenware"),
    ];
    let mut told = String::new();
    for call in [
        ["lamplight CLEAR", "Tern: clear"],
        ["silica", "flint, fine"],
        ["white earthenware", "Tern white"],
    ] {
        let ran = rename(&bench, &call);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        told.push_str(&ran.stdout);
    }
    insta::assert_snapshot!(told);
    assert_eq!(chemistry(&bench, called), before);
    assert!(before.len() > 7, "{}", before.len());
    let now = [
        fit("Tern: clear", "Tern white"),
        fit("Tern: clear + 3 % flint, fine", "Tern white"),
    ];
    assert_eq!(now, fits);
    let notes = json(&bench, &["notes", "Tern: clear"]);
    assert_eq!(notes["notes"][0]["glaze"], "Tern: clear");
    // Still the recipe of the day, in the new words.
    assert_eq!(
        notes["notes"][0]["recipe"],
        json(&bench, &["notes"])["notes"][1]["recipe"]
    );
    assert_eq!(json(&bench, &["batches"])["batches"][0]["glaze"], "Tern: clear");
    let load = &json(&bench, &["kiln"])["firings"][0]["load"];
    assert_eq!(
        (&load[0]["glaze"], &load[0]["clay"], &load[1]["over"]),
        (&"Tern: clear".into(), &"Tern white".into(), &"Tern: clear".into())
    );
    let blue = fs::read_to_string(bench.path().join("studio/glazes/blue.yaml")).unwrap();
    assert_eq!(
        blue,
        "glaze: Tern blue\r\nparts: { \"flint, fine\": 30, feldspar B: 70 }\r\nadditions:\r\n  blue mix: 5 # of it\r\nclay: Tern white\r\nrecommended: [Tern white, buff stoneware]\r\n"
    );
    for folder in ["glazes", "clays", "plans"] {
        for file in fs::read_dir(bench.path().join("studio").join(folder)).unwrap() {
            let path = file.unwrap().path();
            let text = fs::read_to_string(&path).unwrap();
            let told = text
                .lines()
                .filter(|line| !line.starts_with(['#', 'n']) && !line.contains("crystalline silica"));
            let old = told.filter(|line| {
                ["Lamplight", "silica", "white earthenware"]
                    .iter()
                    .any(|old| line.contains(old))
            });
            assert_eq!(old.collect::<Vec<_>>(), Vec::<&str>::new(), "{}", path.display());
        }
    }
}

#[test]
fn a_name_that_is_taken_or_cannot_be_one_is_refused() {
    let bench = lived_in();
    let mut told = String::new();
    for call in [
        vec!["Lamplight clear", "Driftstone satin matt"],
        vec!["Lamplight clear", "a/b"],
        vec!["Lamplight clear", "Lamplight clear"],
        vec!["kaolin", "talc"],
        vec!["buff stoneware", "Red Earthenware"],
        vec!["Lamplite clear", "x"],
        vec!["studio", "x"],
    ] {
        let ran = rename(&bench, &call);
        assert_eq!(ran.code, 2, "{call:?}: {}", ran.stdout);
        told.push_str(&format!(
            "$ glost rename \"{}\" \"{}\"\n{}\n",
            call[0], call[1], ran.stderr
        ));
    }
    insta::assert_snapshot!(told);
    let cased = rename(&bench, &["Lamplight clear", "LAMPLIGHT clear"]);
    assert_eq!(cased.code, 0, "another case is another name: {}", cased.stderr);
}

/// Everything in a studio, file by file; what a kill leaves hidden counts only where it stays.
fn everything(folder: &Path) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder_now) = open.pop() {
        for entry in fs::read_dir(folder_now).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
                all.insert(name, fs::read_to_string(&path).unwrap());
            }
        }
    }
    all
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// Dying at any moment, the next call finds the studio as it was, or renamed throughout.
#[test]
fn a_kill_leaves_the_old_name_or_the_new_one_everywhere() {
    let bench = lived_in();
    let (studio, kept) = (bench.path().join("studio"), bench.path().join("kept"));
    copy(&studio, &kept);
    let old = everything(&studio);
    let call = ["rename", "cobalt carbonate", "cobalt salt"];
    assert_eq!(bench.run_in("studio", &call).code, 0);
    let new = everything(&studio);
    assert_ne!(old, new);
    let (mut as_before, mut renamed) = (0, 0);
    for moment in 1.. {
        fs::remove_dir_all(&studio).unwrap();
        copy(&kept, &studio);
        let (died, _) = bench.dies(moment, &call);
        // Whoever comes next finishes what was begun.
        let next = bench.run_in("studio", &["unity", "Tern blue"]);
        assert!(next.code < 2, "moment {moment}: {}", next.stderr);
        let mut now = everything(&studio);
        now.retain(|name, _| !name.contains(".glost-"));
        if now == new {
            renamed += 1;
        } else {
            let changed = now.iter().filter(|(name, text)| old.get(*name) != Some(text));
            assert_eq!(
                changed.map(|(name, _)| name).collect::<Vec<_>>(),
                Vec::<&String>::new(),
                "moment {moment}"
            );
            assert_eq!(now.len(), old.len(), "moment {moment}");
            as_before += 1;
        }
        if !died {
            break;
        }
    }
    assert!(as_before > 5 && renamed > 5, "{as_before} {renamed}");
}
