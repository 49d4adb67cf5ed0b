//! Packages that would lock or corrupt a studio, and what lies where a package would.

use serde_json::Value;

use super::bench::{Bench, Ran};

const MANIFEST: &str = "name: club\nversion: 1.2\nauthor: the kiln club\nlicence: MIT\napi: 1\n";
const SPAR: &str = "materials:\n  - { name: club spar, kind: mineral, basis: as supplied, source: club sheet, loss_on_ignition: 0.4, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3, CaO: 0.5 } }\n";
const CLEAR: &str = "glaze: Club clear\ncone: 9\nparts: { club spar: 40, silica: 30, whiting: 20, kaolin: 10 }\n";

fn rule(title: &str, body: &str) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"{title}\", source: \"the club\" }};\nfn check(glaze, option) {{ {body} }}\n"
    )
}

fn with(files: &[(&str, &str)]) -> Bench {
    let bench = Bench::example_studio();
    bench.file("club/package.yaml", MANIFEST);
    for (name, text) in files {
        bench.file(&format!("club/{name}"), text);
    }
    bench
}

fn ask(bench: &Bench, call: &[&str]) -> Ran {
    let mut all = call.to_vec();
    all.extend(["--studio", "studio"]);
    bench.run(&all)
}

fn json(bench: &Bench, call: &[&str]) -> (i32, Value) {
    let mut all = call.to_vec();
    all.extend(["--format", "json"]);
    let ran = ask(bench, &all);
    let json = serde_json::from_str(&ran.stdout).unwrap_or_else(|why| panic!("{why}: {}{}", ran.stdout, ran.stderr));
    (ran.code, json)
}

#[test]
fn bad_sheets_recipes_and_tables_do_not_come_in() {
    for (file, text, said) in [
        (
            "materials/club.yaml",
            "materials: { club spar: 1 }\n",
            "materials/club.yaml:1:12",
        ),
        (
            "materials/club.yaml",
            "materials:\n  - { name: club spar, kind: mineral, basis: as supplied, source: x, analysis: { SiO2: 34 } }\n",
            "materials/club.yaml:2",
        ),
        (
            "glazes/club.yaml",
            "glaze: Odd\nparts: { nosuch: 100 }\n",
            "glazes/club.yaml:2:10",
        ),
        ("data/sales.csv", "a,b\n\"1,2\n", "data/sales.csv:2"),
    ] {
        let bench = with(&[(file, text)]);
        let ran = ask(&bench, &["script", "add", "club", "--yes"]);
        assert_eq!(ran.code, 2, "{file}: {}", ran.stdout);
        assert!(ran.stderr.contains(said), "{file}: {}", ran.stderr);
        assert!(!bench.path().join("studio/scripts.lock").exists(), "{file}");
    }
}

/// However it got in, a bad sheet stops whoever needs it, and `remove` works.
#[test]
fn a_bad_sheet_that_is_in_locks_nothing() {
    let bench = with(&[("materials/club.yaml", SPAR), ("glazes/club.yaml", CLEAR)]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    let broken = "materials: { club spar: 1 }\n";
    let hash = |text: &str| -> String {
        use sha2::{Digest, Sha256};
        Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
    };
    bench.file("studio/scripts/from/club/materials/club.yaml", broken);
    let lock = std::fs::read_to_string(bench.path().join("studio/scripts.lock")).unwrap();
    bench.file("studio/scripts.lock", lock.replace(&hash(SPAR), &hash(broken)));
    assert_eq!(ask(&bench, &["check", "Lamplight clear"]).code, 0);
    assert_eq!(ask(&bench, &["script", "list"]).code, 0);
    assert_eq!(ask(&bench, &["unity", "Club clear"]).code, 2);
    // Nor does a studio.yaml that can't be read.
    bench.file("studio/studio.yaml", "studio: [\n");
    let gone = ask(&bench, &["script", "remove", "club"]);
    assert_eq!(gone.code, 0, "{}", gone.stderr);
    assert!(!bench.path().join("studio/scripts/from/club").exists());
}

#[test]
fn what_came_with_a_package_is_read_and_never_written() {
    let bench = with(&[("materials/club.yaml", SPAR), ("glazes/club.yaml", CLEAR)]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    for call in [
        &["set", "Club clear", "cone=8"][..],
        &["rename", "Club clear", "Mine"],
        &["set", "club spar", "price=3 EUR/kg"],
    ] {
        let ran = ask(&bench, call);
        assert_eq!(ran.code, 2, "{call:?}: {}", ran.stdout);
        assert!(
            ran.stderr.contains("from the package `club`"),
            "{call:?}: {}",
            ran.stderr
        );
    }
    assert!(
        !std::fs::read_to_string(bench.path().join("studio/notes.jsonl"))
            .unwrap_or_default()
            .contains("renamed")
    );
    assert_eq!(ask(&bench, &["check", "Lamplight clear"]).code, 0);
    assert_eq!(ask(&bench, &["keep", "Club clear", "Mine"]).code, 0);
}

/// Whoever reads a number of it sees whose recipe it is.
#[test]
fn a_glaze_of_a_package_is_signed() {
    let bench = with(&[("materials/club.yaml", SPAR), ("glazes/club.yaml", CLEAR)]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    let signed = "the recipe came with the package club 1.2";
    for call in [
        &["unity", "Club clear"][..],
        &["unity", "Club clear", "--format", "json"],
        &["weigh", "Club clear", "--dry", "1 kg"],
        &["weigh", "Club clear", "--dry", "1 kg", "--format", "json"],
        &["swap", "Club clear", "--out", "club spar"],
    ] {
        let ran = ask(&bench, call);
        let words = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(signed), "{call:?}: {}{}", ran.stdout, ran.stderr);
    }
    let card = ask(&bench, &["card", "Club clear"]).stdout;
    assert!(card.contains("Came with the package: club 1.2"), "{card}");
    assert!(
        !ask(&bench, &["unity", "Lamplight clear"])
            .stdout
            .contains("came with the package")
    );
}

#[test]
fn a_folder_without_a_lock_entry_is_no_dead_end() {
    let bench = with(&[("check/own.rhai", &rule("Own", "glaze.caution(\"x\", \"said\");"))]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    std::fs::remove_file(bench.path().join("studio/scripts.lock")).unwrap();
    let stray = ask(&bench, &["script", "remove", "club"]);
    assert!(
        stray.code == 2 && stray.stderr.contains("script add PATH"),
        "{}",
        stray.stderr
    );
    // By its path it isn't run either.
    let by_path = ask(
        &bench,
        &[
            "check",
            "Lamplight clear",
            "--script",
            "studio/scripts/from/club/check/own.rhai",
        ],
    );
    assert!(
        by_path.code == 2 && by_path.stderr.contains("came in with no package"),
        "{}",
        by_path.stderr
    );
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    // Somebody's own in such a folder is not lost.
    std::fs::remove_file(bench.path().join("studio/scripts.lock")).unwrap();
    bench.file("studio/scripts/from/club/check/mine.rhai", "// mine");
    let kept = ask(&bench, &["script", "add", "club", "--yes"]);
    assert!(
        kept.code == 2 && kept.stderr.contains("check/mine.rhai"),
        "{}",
        kept.stderr
    );
    assert!(bench.path().join("studio/scripts/from/club/check/mine.rhai").exists());
}

#[test]
fn the_lock_is_held_to_what_a_package_says_of_itself() {
    let bench = with(&[("materials/club.yaml", SPAR)]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    let lock = std::fs::read_to_string(bench.path().join("studio/scripts.lock")).unwrap();
    bench.file("studio/scripts.lock", lock.replace("\"1.2\"", "\"9.9\""));
    let ran = ask(&bench, &["check", "Lamplight clear"]);
    assert!(ran.code == 3 && ran.stderr.contains("scripts.lock"), "{}", ran.stderr);
}

#[test]
fn a_package_without_a_word_of_itself_is_told_what_it_lacks() {
    let bench = Bench::example_studio();
    bench.file("club/hh/check/h.rhai", "x");
    let ran = ask(&bench, &["script", "add", "club", "--yes"]);
    assert!(
        ran.code == 2 && ran.stderr.contains("holds no package.yaml"),
        "{}",
        ran.stderr
    );
    for (lacks, text) in [
        ("author", "name: club\nversion: 1\nlicence: MIT\napi: 1\n"),
        ("licence", "name: club\nversion: 1\nauthor: me\napi: 1\n"),
        ("api", "name: club\nversion: 1\nauthor: me\nlicence: MIT\n"),
    ] {
        let bench = Bench::example_studio();
        bench.file("club/package.yaml", text);
        let ran = ask(&bench, &["script", "add", "club", "--yes"]);
        assert!(
            ran.code == 2 && ran.stderr.contains(&format!("`{lacks}`")),
            "{lacks}: {}",
            ran.stderr
        );
    }
}

/// Its tests see its own materials; one that never ends takes nothing in, and says so.
#[test]
fn tests_of_a_package_see_its_materials_and_end() {
    let sees = format!(
        "{}fn test_it(t) {{ t.expect(t.check(#{{ parts: #{{ \"club spar\": 60, silica: 40 }} }}), \"x\"); }}\n",
        rule("Own", "glaze.caution(\"x\", \"said\");")
    );
    let bench = with(&[("materials/club.yaml", SPAR), ("check/own.rhai", &sees)]);
    let ran = ask(&bench, &["script", "add", "club", "--yes"]);
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
    assert_eq!(ask(&bench, &["script", "test", "check/own"]).code, 0);
    let endless = format!("{}fn test_it(t) {{ while true {{ }} }}\n", rule("Own", ""));
    let bench = with(&[("check/own.rhai", &endless)]);
    let ran = ask(&bench, &["script", "add", "club", "--yes"]);
    assert!(
        ran.code == 3 && ran.stdout.contains("Nothing was taken in"),
        "{}{}",
        ran.stdout,
        ran.stderr
    );
}

#[test]
fn a_package_is_taken_in_by_a_plain_yes() {
    let bench = with(&[("materials/club.yaml", SPAR)]);
    let call = ["script", "add", "club", "--studio", "studio"];
    let no = bench.run_told(&call, "yikes\n");
    assert!(
        no.code == 1 && !bench.path().join("studio/scripts.lock").exists(),
        "{}",
        no.stdout
    );
    let yes = bench.run_told(&call, "Yes\n");
    assert_eq!(yes.code, 0, "{}", yes.stderr);
    insta::assert_snapshot!(
        "a_package_taken_in_by_a_yes",
        format!("{}--- on stderr\n{}", yes.stdout, yes.stderr)
    );
}

#[test]
fn a_package_in_place_of_a_shipped_script_says_so() {
    let bench = with(&[(
        "check/barium.rhai",
        &rule("Barium", "glaze.caution(\"BaO\", \"said\");"),
    )]);
    assert_eq!(ask(&bench, &["script", "add", "club", "--yes"]).code, 0);
    let (_, answer) = json(&bench, &["check", "Lamplight clear"]);
    let findings = answer["findings"].as_array().unwrap();
    let found = findings.iter().find(|one| one["script"] == "check/barium").unwrap();
    assert_eq!(found["whose"], "from club 1.2, instead of the shipped");
    // What was changed here is told before it is renewed.
    bench.file("studio/scripts/from/club/check/barium.rhai", "// other\n");
    let ran = ask(&bench, &["script", "update", "club", "--yes"]);
    assert!(ran.stdout.contains("check/barium.rhai changed"), "{}", ran.stdout);
}
