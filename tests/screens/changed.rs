//! Values changed where they stand, things added, things renamed.

use std::fs;
use std::path::Path;

use super::bench::{Bench, Ran};

fn set(bench: &Bench, words: &[&str]) -> Ran {
    bench.run_in("studio", &[&["set"], words].concat())
}

fn read(bench: &Bench, file: &str) -> String {
    fs::read_to_string(bench.path().join("studio").join(file)).unwrap()
}

/// The lines of one text that another hasn't, with their numbers.
fn changed(before: &str, after: &str) -> Vec<String> {
    let old: Vec<&str> = before.split('\n').collect();
    let new: Vec<&str> = after.split('\n').collect();
    let start = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    let end = old[start..]
        .iter()
        .rev()
        .zip(new[start..].iter().rev())
        .take_while(|(old, new)| old == new)
        .count();
    let gone = old[start..old.len() - end].iter().map(|line| format!("- {line}"));
    let come = new[start..new.len() - end].iter().map(|line| format!("+ {line}"));
    gone.chain(come).collect()
}

const SHELF: &str = "\u{feff}# mine\r\nmaterials:\r\n  - name: feldspar A   # by the door\r\n    kind: mineral\r\n    \
                     analysis: { SiO2: 67.0, Al2O3: 18.0, K2O: 10.5, Na2O: 3.0, CaO: 0.5 }\r\n    loss_on_ignition: 0.4\r\n    \
                     basis: as supplied\r\n    price:   '1.60 EUR/kg'   # May\r\n    source: sheet\r\n";

#[test]
fn one_line_changes_and_every_other_byte_stays() {
    let bench = Bench::example_studio();
    bench.file("studio/materials/feldspars.yaml", SHELF);
    let ran = set(&bench, &["potash spar", "price=2.10 EUR/kg"]);
    assert_eq!(ran.code, 2, "no such name: {}", ran.stdout);
    let ran = set(
        &bench,
        &[
            "FELDSPAR a",
            "price=2.10 EUR/kg",
            "lot=04",
            "buyable=yes",
            "analysis.SiO2=66.8",
        ],
    );
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let now = read(&bench, "materials/feldspars.yaml");
    let wanted = SHELF
        .replace("'1.60 EUR/kg'", "'2.10 EUR/kg'")
        .replace("SiO2: 67.0", "SiO2: 66.8")
        .replace("as supplied\r\n", "as supplied\r\n    lot: \"04\"\r\n")
        .replace("# May\r\n", "# May\r\n    buyable: true\r\n");
    assert_eq!(now, wanted);
    insta::assert_snapshot!(ran.stdout);
}

#[test]
fn what_was_changed_as_json() {
    let bench = Bench::example_studio();
    insta::assert_snapshot!(
        set(
            &bench,
            &["Lamplight clear", "cone=8", "additions.tin oxide=4", "--format", "json"]
        )
        .stdout
    );
}

/// Every material, glaze and clay of the example: one key set changes or adds one line,
/// and set back gives the file of before to the byte.
#[test]
fn a_value_set_and_set_back_leaves_the_file_as_it_was() {
    let bench = Bench::example_studio();
    let mut tried = 0;
    for (folder, key, other, name_key) in [
        ("glazes", "water", "1.05 l/kg", "glaze"),
        ("clays", "source", "own bars, 2026", "clay"),
        ("materials", "lot", "Z 99", "- name"),
    ] {
        for file in fs::read_dir(bench.path().join("studio").join(folder)).unwrap() {
            let file = format!("{folder}/{}", file.unwrap().file_name().into_string().unwrap());
            let names: Vec<String> = read(&bench, &file)
                .lines()
                .filter_map(|line| {
                    Some(
                        line.trim()
                            .strip_prefix(name_key)?
                            .strip_prefix(": ")?
                            .trim()
                            .to_owned(),
                    )
                })
                .collect();
            for name in names {
                let before = read(&bench, &file);
                let of = folder.trim_end_matches('s');
                let call = [name.as_str(), &format!("{key}={other}"), "--of", of, "--format", "json"];
                let ran = set(&bench, &call);
                assert_eq!(ran.code, 0, "{name}: {}", ran.stdout);
                let json: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
                let lines = changed(&before, &read(&bench, &file));
                assert!(
                    lines.len() <= 2 && lines.last().is_some_and(|line| line.contains(other)),
                    "{lines:?}"
                );
                if let Some(old) = json["changes"][0]["before"].as_str() {
                    assert_eq!(set(&bench, &[&name, &format!("{key}={old}"), "--of", of]).code, 0);
                    assert_eq!(read(&bench, &file), before, "{name}");
                }
                tried += 1;
            }
        }
    }
    assert!(tried > 30, "{tried}");
}

#[test]
fn what_cannot_be_set_says_why_and_changes_nothing() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/materials/odd.yaml",
        "materials:\n  - &spar { name: odd spar, formula: KAlSi3O8, source: x, hazards: [dust] }\n  - name: odd silica\n    \
         formula: SiO2\n    source: &x sheet\n    lot: &lot K7\n  - name: odd whiting\n    formula: CaCO3\n    source: *x\n    lot: *lot\n",
    );
    let before = read(&bench, "materials/odd.yaml");
    let mut told = String::new();
    for call in [
        ["Lamplight clear", "expansion=6.2"],
        ["Lamplight clear", "wter=0.9 l/kg"],
        ["Lamplight clear", "water=0.9"],
        ["Lamplight clear", "cone=45"],
        ["Lamplight clear", "clay=blue clay"],
        ["Lamplight clear", "glaze=Lamp"],
        ["Lamplight clear", "parts=38"],
        ["feldspar A", "price=2"],
        ["feldspar A", "prise=2 EUR/kg"],
        ["feldspar A", "stock"],
        ["feldspar A", "analysis.SiO2=a lot"],
        ["feldspr A", "price=2 EUR/kg"],
        ["studio", "scales=small"],
        ["studio", "price=2 EUR/kg"],
        ["odd spar", "lot=3"],
        ["odd silica", "lot=L2"],
        ["odd silica", "analysis.SiO2=99"],
        ["odd whiting", "lot=L2"],
    ] {
        let ran = set(&bench, &call);
        assert_eq!(ran.code, 2, "{call:?} {}", ran.stdout);
        told.push_str(&format!(
            "$ glost set \"{}\" \"{}\"\n{}\n",
            call[0], call[1], ran.stderr
        ));
    }
    assert_eq!(read(&bench, "materials/odd.yaml"), before);
    insta::assert_snapshot!(told);
}

#[test]
fn a_file_that_may_not_be_written_stays() {
    let bench = Bench::example_studio();
    let path = bench.path().join("studio/glazes/lamplight_clear.yaml");
    let before = fs::read_to_string(&path).unwrap();
    let mut read_only = fs::metadata(&path).unwrap().permissions();
    read_only.set_readonly(true);
    fs::set_permissions(&path, read_only).unwrap();
    let ran = set(&bench, &["Lamplight clear", "cone=8"]);
    assert_eq!(ran.code, 2, "{}", ran.stdout);
    assert!(ran.stderr.contains("marked as not to be written"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}

/// Dying at any moment leaves the old file or the new one, and nothing beside it that counts.
#[test]
fn a_kill_leaves_the_old_value_or_the_new_one() {
    let bench = Bench::example_studio();
    let old = read(&bench, "glazes/lamplight_clear.yaml");
    let new = old.replace("cone: 9", "cone: 8");
    for moment in 1.. {
        let (died, _) = bench.dies(moment, &["set", "Lamplight clear", "cone=8"]);
        let now = read(&bench, "glazes/lamplight_clear.yaml");
        assert!(now == old || now == new, "moment {moment}: {now}");
        if !died {
            assert_eq!(now, new);
            assert!(moment > 2, "it died nowhere");
            break;
        }
        fs::write(bench.path().join("studio/glazes/lamplight_clear.yaml"), &old).unwrap();
    }
    assert!(Path::new(&bench.path().join("studio")).is_dir());
}

fn add(bench: &Bench, words: &[&str]) -> Ran {
    bench.run_in("studio", &[&["add"], words].concat())
}

#[test]
fn a_clay_a_material_and_a_glaze_are_added_by_one_call_each() {
    let bench = Bench::example_studio();
    let mut told = String::new();
    for call in [
        vec!["clay", "Tern white", "--absorption", "8", "--cone", "06"],
        vec![
            "material",
            "Tern spar",
            "--analysis",
            "SiO2 67.0, Al2O3 18.0, K2O 10.5, Na2O 3.5, loss 0.4",
            "--price",
            "2 EUR/kg",
        ],
        vec!["material", "bone ash", "--analysis", "Ca3(PO4)2"],
        vec!["material", "Tern bag", "--analysis", "unknown", "--lot", "7"],
        vec![
            "glaze",
            "Tern clear",
            "--recipe",
            "Tern spar 40, silica 30, whiting 20, kaolin 10, + 2 % tin oxide",
            "--firing",
            "cone 6",
            "--clay",
            "tern WHITE",
            "--water",
            "0.9 l",
            "--use",
            "tableware",
        ],
    ] {
        let ran = add(&bench, &call);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        told.push_str(&ran.stdout);
    }
    for file in [
        "clays/tern_white",
        "materials/tern_spar",
        "materials/bone_ash",
        "materials/tern_bag",
        "glazes/tern_clear",
    ] {
        told.push_str(&format!("--- {file}.yaml\n{}", read(&bench, &format!("{file}.yaml"))));
    }
    insta::assert_snapshot!(told);
    assert_eq!(bench.run_in("studio", &["unity", "Tern clear"]).code, 0);
    let weighed = bench.run_in("studio", &["weigh", "Tern clear", "--dry", "1 kg"]);
    assert_eq!(weighed.code, 0, "{}", weighed.stderr);
}

#[test]
fn what_cannot_be_added_says_why_and_writes_nothing() {
    let bench = Bench::example_studio();
    let before = fs::read_dir(bench.path().join("studio/materials")).unwrap().count();
    let mut told = String::new();
    for call in [
        vec!["rock", "Tern"],
        vec!["clay", "BUFF stoneware"],
        vec!["clay", "a/b"],
        vec!["clay", "Tern", "--price", "2 EUR/kg"],
        vec!["material", "feldspar A", "--analysis", "CaCO3"],
        vec!["material", "Tern", "--analysis", "hello"],
        vec!["material", "Tern", "--analysis", "CaCO3", "--price", "2"],
        vec!["material", "Tern"],
        vec!["glaze", "Tern", "--recipe", "moonrock 5, silica 20"],
        vec!["glaze", "Tern", "--recipe", "silica 20", "--clay", "Tern white"],
        vec!["glaze", "Lamplight clear", "--recipe", "silica 20"],
    ] {
        let ran = add(&bench, &call);
        assert_eq!(ran.code, 2, "{call:?} {}", ran.stdout);
        told.push_str(&format!("$ glost add {}\n{}\n", call.join(" "), ran.stderr));
    }
    assert_eq!(
        fs::read_dir(bench.path().join("studio/materials")).unwrap().count(),
        before
    );
    assert!(!bench.path().join("studio/glazes/tern.yaml").exists());
    insta::assert_snapshot!(told);
}

#[test]
fn what_a_material_is_made_of_comes_as_a_line_too() {
    let bench = Bench::empty();
    assert_eq!(bench.run(&["init", "studio"]).code, 0);
    let told = bench.run_told(&["--studio", "studio", "add", "material", "Tern bag"], "unknown\n");
    assert_eq!(told.code, 0, "{}", told.stderr);
    assert!(read(&bench, "materials/tern_bag.yaml").contains("analysis: unknown"));
}

/// Whoever takes the `#` away from what waits behind one, with or without a blank after
/// it, has a file that reads.
#[test]
fn what_waits_behind_a_sign_reads_once_that_is_taken_away() {
    for blank in ["", " "] {
        let bench = Bench::empty();
        let made = bench.run_told(
            &["start", "studio"],
            "bought clear\nwhite earthenware\n1060 C\n0.7 l\n0.1 g up to 2 kg\n",
        );
        assert_eq!(made.code, 0, "{}", made.stderr);
        assert_eq!(bench.run(&["init", "other"]).code, 0);
        for studio in ["studio", "other"] {
            let mut taken = 0;
            for file in yaml_files(&bench.path().join(studio)) {
                let text = fs::read_to_string(&file).unwrap();
                let lines = text.lines().map(|line| match waits(line) {
                    Some((indent, rest)) => {
                        taken += 1;
                        format!("{indent}{}\n", rest.strip_prefix(blank).unwrap_or(rest))
                    }
                    None => format!("{line}\n"),
                });
                fs::write(&file, lines.collect::<String>()).unwrap();
            }
            assert!(taken > 2, "{taken} in {studio}");
            let listed = bench.run_in(studio, &["notes"]);
            assert_eq!(listed.code, 0, "{}", listed.stderr);
            for glaze in ["bought clear", "First clear"] {
                let ran = bench.run_in(studio, &["weigh", glaze, "--dry", "1 kg"]);
                let known = (glaze == "bought clear") == (studio == "studio");
                assert!(!known || ran.code == 0, "{}", ran.stderr);
            }
            let clays = bench.run_in(studio, &["clay"]);
            assert_eq!((clays.code, clays.stderr.as_str()), (0, ""));
        }
    }
}

/// A line with a key, or an entry of a list, behind a `#`: its indent and the rest.
fn waits(line: &str) -> Option<(&str, &str)> {
    let (indent, rest) = line.split_once('#')?;
    let key = rest.trim_start().trim_start_matches("- ").split(':').next()?;
    let is_key = !key.is_empty() && key.chars().all(|sign| sign.is_ascii_lowercase() || sign == '_');
    (indent.trim().is_empty() && is_key && rest.contains(": ")).then_some((indent, rest))
}

fn yaml_files(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(yaml_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            found.push(path);
        }
    }
    found
}

#[test]
fn a_line_one_blank_off_is_told_with_its_column() {
    let bench = Bench::example_studio();
    bench.file(
        "studio/clays/tern.yaml",
        "# Your clay.\nclay: \"Tern\"\n absorption: 10   # wt %\n",
    );
    insta::assert_snapshot!(bench.run_in("studio", &["clay", "Tern"]).stderr);
}

#[test]
fn a_page_is_written_with_its_firing_clay_and_water() {
    let bench = Bench::empty();
    bench.file("page.txt", "Blue\nfeldspar 40, silica 30, whiting 20, kaolin 10\n");
    let call = [
        "read",
        "page.txt",
        "--out",
        "blue.yaml",
        "--firing",
        "cone 6",
        "--clay",
        "white clay",
        "--water",
        "0.9 l",
        "--use",
        "tableware",
    ];
    let ran = bench.run(&call);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(!ran.stdout.contains("Not said yet"), "{}", ran.stdout);
    insta::assert_snapshot!(fs::read_to_string(bench.path().join("blue.yaml")).unwrap());
    let bare = bench.run(&["read", "page.txt", "--out", "bare.yaml"]);
    assert!(
        bare.stdout.contains("Not said yet: firing, clay, water"),
        "{}",
        bare.stdout
    );
}
