//! A studio with scripts of its own: whose text said so, what is broken, what is off.

use serde_json::Value;
use sha2::{Digest, Sha256};

use super::bench::Bench;

const LOUD: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Loud\", source: \"own\",
    options: #{ least: #{ value: 9, min: 0, max: 20, help: \"least silica\" } } };
fn check(glaze, option) {
    print(\"looked\");
    if glaze.unity.SiO2 < option.least { glaze.caution(\"SiO2\", \"low\"); }
}
";

fn studio() -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/scripts/check/loud.rhai", LOUD);
    bench
}

fn json(bench: &Bench, arguments: &[&str]) -> (i32, Value) {
    let mut all = arguments.to_vec();
    all.extend(["--studio", "studio", "--format", "json"]);
    let ran = bench.run(&all);
    let json = serde_json::from_str(&ran.stdout).unwrap_or_else(|why| panic!("{why}: {}{}", ran.stdout, ran.stderr));
    (ran.code, json)
}

fn of_script<'a>(answer: &'a Value, script: &str) -> Vec<&'a Value> {
    let findings = answer["findings"].as_array().unwrap();
    findings.iter().filter(|finding| finding["script"] == script).collect()
}

#[test]
fn findings_are_signed_with_the_hash_of_the_text() {
    let bench = studio();
    // Line ends of another system are the same text.
    bench.file("studio/scripts/check/loud.rhai", LOUD.replace('\n', "\r\n"));
    bench.file(
        "studio/studio.yaml",
        "studio: Own\nscripts: { check/loud: { least: 12 } }\n",
    );
    let (_, answer) = json(&bench, &["check", "Lamplight clear"]);
    let found = of_script(&answer, "check/loud")[0];
    let whole: String = Sha256::digest(LOUD).iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(found["hash"], whole[..12]);
    assert_eq!(
        (&found["whose"], &found["set"]["least"]),
        (&"yours".into(), &12.0.into())
    );
    assert_eq!(of_script(&answer, "check/barium")[0]["whose"], "shipped");
    assert_eq!(of_script(&answer, "check/barium")[0]["set"], serde_json::json!({}));
}

/// The files of a studio with every way of being broken; each breaks itself alone.
#[test]
fn one_broken_script_breaks_one_script() {
    let broken: [(&str, &[u8]); 6] = [
        ("check/half", b"const ABOUT = #{ api: 1, kind: \"check\", title: \"x\" };\nfn check(glaze, option) { let x = ;"),
        ("half-without-folder", b"const ABOUT = #{ api: 1, kind: \"check\" title };"),
        ("check/latin", b"// gl\xe4ze"),
        ("check/later", b"const ABOUT = #{ api: 9, kind: \"check\", title: \"x\" };\nfn check(glaze, option) { }"),
        ("check/nothing-said", b"fn check(glaze, option) { }"),
        ("check/misspelt", b"const ABOUT = #{ api: 1, kind: \"check\", title: \"x\" };\nfn check(glaze, option) { glaze.cuation(\"a\", \"b\"); }"),
    ];
    let bench = studio();
    for (name, text) in broken {
        bench.file(&format!("studio/scripts/{name}.rhai"), text);
    }
    // Broken, and no check: nobody who checks a glaze misses it.
    bench.file("studio/scripts/run/half.rhai", "const ABOUT = #{ kind: \"run\" };");
    let (code, answer) = json(&bench, &["check", "Lamplight clear"]);
    assert_eq!((code, &answer["worst"]), (1, &"not checked".into()));
    assert!(answer.get("incomplete").is_none());
    for (name, _) in broken {
        let found = of_script(&answer, name);
        assert_eq!(found.len(), 1, "{name}");
        assert_eq!(found[0]["level"], "not checked", "{name}");
    }
    assert!(of_script(&answer, "run/half").is_empty());
    assert_eq!(of_script(&answer, "check/loud").len(), 1);
    let (code, list) = json(&bench, &["script", "list"]);
    assert_eq!((code, list["broken"].as_array().unwrap().len()), (0, 7));
    let (code, tested) = json(&bench, &["script", "test"]);
    assert_eq!((code, &tested["passed"]), (1, &false.into()));
    assert!(
        tested["tests"]
            .as_array()
            .unwrap()
            .iter()
            .all(|test| test["passed"] == true)
    );
    let over = bench.run(&["check", "--over", "studio/glazes", "--studio", "studio"]);
    assert_eq!(over.code, 1);
    assert!(over.stdout.contains(",check/half,not checked,"), "{}", over.stdout);
    for name in ["check/half", "check/latin"] {
        let named = bench.run(&["check", "Lamplight clear", "--script", name, "--studio", "studio"]);
        assert_eq!(named.code, 2, "{}", named.stdout);
    }
}

#[test]
fn a_broken_script_as_people_see_it() {
    let bench = studio();
    bench.file(
        "studio/scripts/check/half.rhai",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\" };\nfn check(glaze, option) { let x = ;",
    );
    insta::assert_snapshot!(bench.screen(&["check", "Lamplight clear", "--studio", "studio"]));
    let listed = bench.run(&["script", "list", "--studio", "studio"]);
    insta::assert_snapshot!(listed.stdout.rsplit_once("change.\n").unwrap().1);
}

#[test]
fn a_replaced_script_that_keeps_its_source_is_told_of_it() {
    let bench = studio();
    let shipped = bench.run(&["script", "show", "check/alkali-balance", "--text"]).stdout;
    let own = shipped.replace("value: 0.35", "value: 0.1");
    bench.file("studio/scripts/check/alkali-balance.rhai", &own);
    let (_, answer) = json(&bench, &["check", "Lamplight clear"]);
    let found = of_script(&answer, "check/alkali-balance")[0];
    assert_eq!(found["whose"], "yours, instead of the shipped");
    assert!(found["source"].as_str().unwrap().starts_with("this text is yours"));
    insta::assert_snapshot!(bench.screen(&["script", "show", "alkali-balance", "--studio", "studio"]));
    let again = bench.run(&["script", "show", "alkali-balance", "--shipped", "--studio", "studio"]);
    assert_eq!(again.stdout, shipped);
    // With its origin said it is a text of its own.
    let said = own.replace("uses:", "based_on: \"the shipped check/alkali-balance\", uses:");
    bench.file("studio/scripts/check/alkali-balance.rhai", said);
    let (_, answer) = json(&bench, &["script", "show", "alkali-balance"]);
    assert_eq!(answer["cautions"], serde_json::json!([]));
    assert_eq!(answer["based_on"], "the shipped check/alkali-balance");
}

#[test]
fn scripts_are_turned_off_and_levels_set() {
    let bench = studio();
    bench.file(
        "studio/studio.yaml",
        "studio: Own\nscripts:\n  check/loud: { level: note }\n  check/barium: off\n",
    );
    let (code, answer) = json(&bench, &["check", "Lamplight clear"]);
    assert_eq!(
        (code, &of_script(&answer, "check/loud")[0]["level"]),
        (0, &"note".into())
    );
    assert!(of_script(&answer, "check/barium").is_empty());
    assert_eq!(answer["off"], serde_json::json!(["check/barium"]));
    // Named, it runs.
    let (_, named) = json(&bench, &["check", "Lamplight clear", "--script", "barium"]);
    assert_eq!(of_script(&named, "check/barium").len(), 1);
}

#[test]
fn misspelt_names_under_scripts_have_a_place() {
    let bench = studio();
    bench.file("studio/scripts/run/loud.rhai", "");
    for (name, scripts) in [
        ("script", "check/loudd: off"),
        ("option", "check/loud: { leest: 3 }"),
        ("value", "check/loud: { least: 300 }"),
        ("level", "check/loud: { level: shout }"),
        ("word", "check/loud: of"),
        ("off_and_set", "check/barium: off\n  barium: { level: note }"),
    ] {
        bench.file("studio/studio.yaml", format!("studio: Own\nscripts:\n  {scripts}\n"));
        let screen = bench.screen(&["check", "Lamplight clear", "--studio", "studio"]);
        insta::assert_snapshot!(format!("misspelt_{name}"), screen);
    }
}

#[test]
fn two_scripts_of_one_short_name_are_both_named() {
    let bench = studio();
    bench.file(
        "studio/scripts/limits/loud.rhai",
        "const ABOUT = #{ api: 1, kind: \"limits\", title: \"x\" };\nfn limits(glaze, option) { #{ SiO2: [2, 4] } }",
    );
    insta::assert_snapshot!(bench.screen(&["check", "Lamplight clear", "--script", "loud", "--studio", "studio"]));
}

#[test]
fn what_scripts_print_is_told_in_every_kind() {
    let bench = Bench::example_studio();
    for (kind, body) in [
        ("check", "fn check(glaze, option) { print(\"here\"); }"),
        (
            "limits",
            "fn limits(glaze, option) { print(\"here\"); #{ SiO2: [0, 9] } }",
        ),
        ("swap", "fn swap(glaze, option) { print(\"here\"); [] }"),
        ("blend", "fn blend(ends, option) { print(\"here\"); [[1, 0], [0, 1]] }"),
        ("run", "fn run(studio, option) { print(\"here\"); }"),
    ] {
        let text = format!("const ABOUT = #{{ api: 1, kind: \"{kind}\", title: \"t\" }};\n{body}\n");
        bench.file(&format!("studio/scripts/{kind}/prints.rhai"), text);
        let script = format!("{kind}/prints");
        let mut call = match kind {
            "run" => vec!["run", &script],
            "blend" => vec![
                "blend",
                "line",
                "Lamplight clear",
                "Highfell clear",
                "--script",
                &script,
            ],
            "swap" => vec!["swap", "Lamplight clear", "--out", "whiting", "--script", &script],
            _ => vec!["check", "Lamplight clear", "--script", &script],
        };
        call.extend(["--studio", "studio"]);
        let ran = bench.run(&call);
        assert!(ran.stderr.lines().any(|line| line == "here"), "{kind}: {}", ran.stderr);
    }
}

macro_rules! fault {
    ($name:ident, $($word:expr),+) => {
        #[test]
        fn $name() {
            insta::assert_snapshot!(stringify!($name), Bench::empty().screen(&["fault", $($word),+]));
        }
    };
}

fault!(fault_at_the_rims, "pinholes", "Lamplight clear", "--where", "rims");
fault!(fault_of_a_powder, "crazing", "bought clear");
fault!(fault_nobody_knows, "pimples", "Lamplight clear");
fault!(fault_somewhere_else, "crawling", "Lamplight clear", "--where", "rim");

/// Every fault has three causes at least with this recipe's number, a test and a source.
#[test]
fn every_fault_rests_on_the_recipe() {
    let bench = studio();
    let known = bench.run(&["fault", "nothing of the sort", "Lamplight clear"]).stderr;
    let known = known.trim().rsplit_once("Known are: ").unwrap().1.to_owned();
    let faults: Vec<&str> = known.split(", ").collect();
    assert!(faults.len() >= 12, "{faults:?}");
    for fault in faults {
        let (code, answer) = json(&bench, &["fault", fault, "Lamplight clear"]);
        assert_eq!(code, 0);
        let causes = answer["causes"].as_array().unwrap();
        let told = |cause: &&Value| {
            cause["number"].is_number() && !cause["test"].as_str().unwrap().is_empty() && cause["source"] != ""
        };
        assert!(causes.iter().filter(told).count() >= 3, "{fault}");
        assert!(causes.iter().all(|cause| cause["whose"] == "shipped"), "{fault}");
        let order = ["place", "coat", "firing", "recipe"];
        let stage = |cause: &Value| order.iter().position(|stage| cause["stage"] == *stage).unwrap();
        assert!(causes.is_sorted_by_key(stage), "{fault}");
        let (_, powder) = json(&bench, &["fault", fault, "bought clear"]);
        assert!(!powder["causes"].as_array().unwrap().is_empty(), "{fault}");
        assert!(!powder["unknown"].as_array().unwrap().is_empty(), "{fault}");
    }
    // The number is the recipe's own.
    let (_, unity) = json(&bench, &["unity", "Lamplight clear"]);
    let (_, pinholes) = json(&bench, &["fault", "pinholes", "Lamplight clear"]);
    let causes = pinholes["causes"].as_array().unwrap();
    let loss = causes
        .iter()
        .find(|cause| cause["of"] == "loss on ignition, %")
        .unwrap();
    let error = loss["number"].as_f64().unwrap() - unity["loss_on_ignition"].as_f64().unwrap();
    assert!(error.abs() < 1e-9);
}

#[test]
fn words_that_a_kind_loses_are_an_error_at_load() {
    let bench = studio();
    let said = "const ABOUT = #{ api: 1, kind: \"limits\", title: \"t\" };\nfn limits(glaze, option) { say(\"here\"); glaze.caution(\"a\", \"b\"); #{ SiO2: [0, 9] } }\n";
    bench.file("studio/scripts/limits/says.rhai", said);
    let call = [
        "check",
        "Lamplight clear",
        "--script",
        "limits/says",
        "--studio",
        "studio",
    ];
    insta::assert_snapshot!(bench.screen(&call));
}

const MANIFEST: &str = "name: kiln-club\nversion: 1.2\nauthor: the kiln club\nlicence: MIT\napi: 1\n";
const CLUBBY: &str = "import \"lib/much\" as m;
const ABOUT = #{ api: 1, kind: \"check\", title: \"Club rule\", source: \"the club\" };
fn check(glaze, option) { if m::much(glaze.unity) > 0.1 { glaze.caution(\"KNaO\", \"much\"); } }
fn test_it(t) { t.expect(t.check(#{ K2O: 0.3, CaO: 0.7, SiO2: 3 }), \"KNaO\"); }
";

/// A studio, and a package beside it.
fn with_package() -> Bench {
    let bench = Bench::example_studio();
    for (name, text) in [
        ("package.yaml", MANIFEST),
        ("check/clubby.rhai", CLUBBY),
        ("lib/much.rhai", "fn much(u) { u.K2O + u.Na2O }\n"),
        (
            "run/sold.rhai",
            "const ABOUT = #{ api: 1, kind: \"run\", title: \"Sold\", tables: #{ sales: [\"glaze\", \"pieces: number\"] } };\nfn run(studio, option) { for row in studio.table(\"sales\") { say(`${row.glaze}: ${row.pieces}`); } }\n",
        ),
        ("data/sales.csv", "glaze,pieces\nLamplight clear,4\n"),
        (
            "materials/club.yaml",
            "materials:\n  - { name: club spar, kind: mineral, basis: as supplied, source: club sheet, loss_on_ignition: 0.4, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3, CaO: 0.5 } }\n",
        ),
        (
            "glazes/club.yaml",
            "glaze: Club clear\ncone: 9\nparts: { club spar: 40, silica: 30, whiting: 20, kaolin: 10 }\n",
        ),
    ] {
        bench.file(&format!("club/{name}"), text);
    }
    bench
}

fn in_studio(bench: &Bench, arguments: &[&str]) -> super::bench::Ran {
    let mut all = arguments.to_vec();
    all.extend(["--studio", "studio"]);
    bench.run(&all)
}

#[test]
fn a_package_comes_in_and_is_held_to_its_bytes() {
    let bench = with_package();
    let asked = bench.run_told(&["script", "add", "club", "--studio", "studio"], "n\n");
    assert_eq!(asked.code, 1);
    assert!(!bench.path().join("studio/scripts.lock").exists());
    let asked = bench.run_told(&["script", "add", "club", "--studio", "studio"], "y\n");
    assert_eq!(asked.code, 0, "{}", asked.stderr);
    let (_, answer) = json(&bench, &["check", "Club clear"]);
    let found = of_script(&answer, "check/clubby")[0];
    assert_eq!(found["whose"], "from kiln-club 1.2");
    let (_, sold) = json(&bench, &["run", "sold"]);
    assert_eq!(sold["said"][0], "Lamplight clear: 4");
    let sheet = in_studio(&bench, &["materials", "club spar"]);
    assert!(sheet.stdout.contains("from kiln-club 1.2"), "{}", sheet.stdout);
    // Line ends are no difference, a blank is.
    let crlf = CLUBBY.replace('\n', "\r\n");
    bench.file("studio/scripts/from/kiln-club/check/clubby.rhai", crlf);
    assert_eq!(in_studio(&bench, &["check", "Lamplight clear"]).code, 0);
    bench.file("studio/scripts/from/kiln-club/check/clubby.rhai", format!("{CLUBBY} "));
    for call in [&["check", "Lamplight clear"][..], &["unity", "Lamplight clear"]] {
        let ran = in_studio(&bench, call);
        assert_eq!(ran.code, 3, "{call:?}");
        assert!(ran.stderr.contains("check/clubby.rhai"), "{}", ran.stderr);
    }
    // What only looks at scripts answers without it, says so, and ends alike.
    for call in [&["script", "list"][..], &["script", "reference"]] {
        let ran = in_studio(&bench, call);
        assert_eq!(ran.code, 3, "{call:?} {}", ran.stderr);
        assert!(ran.stderr.contains("check/clubby.rhai"), "{}", ran.stderr);
        assert!(!ran.stdout.contains("clubby"), "{}", ran.stdout);
    }
    assert_eq!(in_studio(&bench, &["script", "update", "kiln-club", "--yes"]).code, 0);
    assert_eq!(in_studio(&bench, &["check", "Lamplight clear"]).code, 0);
    // A file more, a file less, and a lock that was edited.
    let more = bench.file("studio/scripts/from/kiln-club/check/more.rhai", CLUBBY);
    assert_eq!(in_studio(&bench, &["check", "Lamplight clear"]).code, 3);
    std::fs::remove_file(more).unwrap();
    let lock = std::fs::read_to_string(bench.path().join("studio/scripts.lock")).unwrap();
    bench.file("studio/scripts.lock", lock.replace("\": \"", "\": \"0"));
    assert_eq!(in_studio(&bench, &["check", "Lamplight clear"]).code, 3);
    bench.file("studio/scripts.lock", lock);
    // A folder that the lock doesn't know isn't run.
    bench.file("studio/scripts/from/stray/check/stray.rhai", LOUD);
    let ran = in_studio(&bench, &["check", "Lamplight clear"]);
    assert!(ran.code == 0 && !ran.stdout.contains("stray"), "{}", ran.stdout);
    assert!(ran.stderr.contains("scripts/from/stray"), "{}", ran.stderr);
    assert_eq!(in_studio(&bench, &["script", "remove", "kiln-club"]).code, 0);
    assert_eq!(in_studio(&bench, &["check", "Club clear"]).code, 2);
}

#[test]
fn a_changed_package_of_scripts_alone_stops_what_runs_scripts() {
    let bench = with_package();
    for folder in ["materials", "glazes"] {
        std::fs::remove_dir_all(bench.path().join("club").join(folder)).unwrap();
    }
    assert_eq!(in_studio(&bench, &["script", "add", "club", "--yes"]).code, 0);
    bench.file("studio/scripts/from/kiln-club/check/clubby.rhai", format!("{CLUBBY} "));
    for call in [
        &["check", "Lamplight clear"][..],
        &["check", "Lamplight clear", "--script", "barium"],
        &["swap", "Lamplight clear", "--out", "whiting"],
        &["run", "sold"],
        &["script", "test"],
    ] {
        let ran = in_studio(&bench, call);
        assert_eq!(ran.code, 3, "{call:?} {}", ran.stderr);
        assert_eq!(ran.stderr.matches("check/clubby.rhai").count(), 1, "{}", ran.stderr);
        assert!(ran.stdout.is_empty(), "{}", ran.stdout);
    }
    // The answer is given without it, and the call ends alike.
    for call in [
        &["unity", "Lamplight clear"][..],
        &["weigh", "Lamplight clear", "--dry", "1 kg"],
        &["glazes"],
        &["materials", "whiting"],
        &["note", "Lamplight clear", "--text", "fine", "--crazed", "0/3"],
        &["script", "list"],
        &["script", "show", "barium"],
        &["script", "reference"],
    ] {
        let ran = in_studio(&bench, call);
        assert_eq!(ran.code, 3, "{call:?} {}", ran.stderr);
        assert!(!ran.stdout.is_empty(), "{call:?}");
        assert_eq!(ran.stderr.matches("check/clubby.rhai").count(), 1, "{}", ran.stderr);
        assert!(ran.stderr.contains("nothing of that package is used"), "{}", ran.stderr);
    }
}

#[test]
fn a_renewed_package_shows_what_moves() {
    let bench = with_package();
    assert_eq!(in_studio(&bench, &["script", "add", "club", "--yes"]).code, 0);
    bench.file("club/check/clubby.rhai", CLUBBY.replace("0.1", "0.2"));
    bench.file("club/README.md", "new");
    let ran = in_studio(&bench, &["script", "update", "kiln-club", "--yes"]);
    insta::assert_snapshot!(ran.stdout);
    assert_eq!(ran.code, 0);
    let packed = bench.run(&["script", "pack", "club"]);
    assert_eq!(packed.code, 0, "{}", packed.stderr);
    assert_eq!(in_studio(&bench, &["script", "remove", "kiln-club"]).code, 0);
    assert_eq!(
        in_studio(&bench, &["script", "add", "kiln-club-1.2.tar.gz", "--yes"]).code,
        0
    );
    assert_eq!(in_studio(&bench, &["check", "Club clear"]).code, 0);
}

/// Nobody takes in, unseen, what doesn't hold its own tests.
#[test]
fn a_package_whose_tests_fail_is_held_back() {
    let bench = with_package();
    let failing = format!("{CLUBBY}fn test_never(t) {{ t.claim(1 == 2, \"one is two\"); }}\n");
    bench.file("club/check/clubby.rhai", &failing);
    let ran = in_studio(&bench, &["script", "add", "club", "--yes"]);
    assert_eq!(ran.code, 1);
    insta::assert_snapshot!("a_package_that_is_held_back", ran.stdout);
    assert!(!bench.path().join("studio/scripts.lock").exists());
    assert_eq!(
        in_studio(&bench, &["script", "add", "club", "--yes", "--failing"]).code,
        0
    );
    bench.file("club/README.md", "new");
    let ran = in_studio(&bench, &["script", "update", "kiln-club", "--yes"]);
    assert!(ran.code == 1 && ran.stdout.contains("one is two"), "{}", ran.stdout);
    let told = bench.run_told(&["script", "update", "kiln-club", "--studio", "studio"], "y\n");
    assert!(told.code == 0 && told.stderr.contains("one is two"), "{}", told.stderr);
}

#[test]
fn packages_that_cannot_come_in() {
    for (name, path, text) in [
        (
            "an api of 9",
            "package.yaml",
            "name: a\nversion: 1\nneeds: { api: 9 }\n",
        ),
        ("no version", "package.yaml", "name: a\n"),
        (
            "a name that leads elsewhere",
            "package.yaml",
            "name: ../a\nversion: 1\n",
        ),
        ("a misspelt key", "package.yaml", "name: a\nversion: 1\nlicense: MIT\n"),
        ("a program", "check/run.sh", "rm"),
        ("capitals", "check/Clubby.rhai", CLUBBY),
        ("a script of 65 KB", "check/big.rhai", &"//\n".repeat(22_000)),
        (
            "a library of itself",
            "lib/self.rhai",
            "import \"lib/self\" as s;\nfn f() { 1 }",
        ),
        ("a script that doesn't load", "check/half.rhai", "fn check("),
    ] {
        let bench = with_package();
        bench.file(&format!("club/{path}"), text);
        let ran = in_studio(&bench, &["script", "add", "club", "--yes"]);
        assert_eq!(ran.code, 2, "{name}: {}", ran.stdout);
        assert!(ran.stderr.starts_with("error: "), "{name}: {}", ran.stderr);
        assert!(!bench.path().join("studio/scripts/from").exists(), "{name}");
        assert!(!bench.path().join("studio/scripts.lock").exists(), "{name}");
    }
    let bench = with_package();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("/etc/passwd", bench.path().join("club/data/x.csv")).unwrap();
        assert_eq!(in_studio(&bench, &["script", "add", "club", "--yes"]).code, 2);
        std::fs::remove_file(bench.path().join("club/data/x.csv")).unwrap();
    }
    assert_eq!(
        bench.run(&["script", "add", "club", "--yes"]).code,
        2,
        "there is no studio"
    );
    assert_eq!(in_studio(&bench, &["script", "add", "clubb", "--yes"]).code, 2);
    assert_eq!(in_studio(&bench, &["script", "remove", "club"]).code, 2);
    bench.file("no.tar.gz", "no archive");
    assert_eq!(in_studio(&bench, &["script", "add", "no.tar.gz", "--yes"]).code, 2);
    assert_eq!(in_studio(&bench, &["script", "add", "club", "--yes"]).code, 0);
    assert_eq!(in_studio(&bench, &["script", "add", "club", "--yes"]).code, 2, "twice");
}

#[test]
fn a_replaced_script_beside_the_shipped_one() {
    let bench = Bench::example_studio();
    let shipped = bench.run(&["script", "show", "check/alkali-balance", "--text"]).stdout;
    bench.file(
        "studio/scripts/check/alkali-balance.rhai",
        shipped.replace("value: 0.35", "value: 0.1"),
    );
    let ran = in_studio(&bench, &["script", "diff", "alkali-balance"]);
    let moved: Vec<&str> = ran.stdout.lines().filter(|line| line.starts_with(['-', '+'])).collect();
    assert_eq!((ran.code, moved.len()), (0, 2), "{}", ran.stdout);
}

/// A studio with so many notes, one in ten of them of a test that maltreats pieces.
fn noted(count: usize) -> Bench {
    let bench = Bench::example_studio();
    let lines: String = (0..count)
        .map(|number| {
            let test = if number % 10 == 0 { ",\"test\":\"boil and ice\"" } else { "" };
            let day = number % 28 + 1;
            format!(
                "{{\"on\":\"2026-01-{day:02}\",\"glaze\":\"Highfell clear\",\"text\":\"n{number}\",\"pieces\":1,\"crazed\":0{test}}}\n"
            )
        })
        .collect();
    bench.file("studio/notes.jsonl", lines);
    bench
}

fn said_of_notes(bench: &Bench, body: &str) -> super::bench::Ran {
    let text = format!(
        "const ABOUT = #{{ api: 1, kind: \"run\", title: \"t\" }};\nfn run(studio, option) {{\n    {body}\n}}\n"
    );
    bench.file("notes.rhai", text);
    in_studio(bench, &["run", "notes.rhai"])
}

#[test]
fn twelve_thousand_notes_are_walked() {
    let bench = noted(12_000);
    let ran = said_of_notes(
        &bench,
        "let n = 0; let pieces = 0;
         for note in studio.notes { n += 1; pieces += note.pieces; }
         let tests = 0; for note in studio.notes_with_tests { if note.test == \"boil and ice\" { tests += 1; } }
         let first = studio.notes.filter(|note| note.on == \"2026-01-01\").len;
         say(`${n} ${pieces} ${tests} ${first} ${studio.notes.len} ${studio.notes[-1].text}`);",
    );
    let said = ran.stdout.lines().next().unwrap_or_default();
    assert_eq!(said, "10800 10800 1200 343 10800 n11999", "{}", ran.stderr);
    let ran = said_of_notes(&bench, "say(studio.notes.reversed()[0].text);");
    assert!(ran.stdout.starts_with("n11999"), "{}", ran.stderr);
    let ran = said_of_notes(&bench, "say(studio.notes.join(\", \"));");
    assert!(ran.code == 2 && ran.stderr.contains("has no `join`"), "{}", ran.stderr);
    // A list that a script makes keeps its bound, and says what to do.
    let ran = said_of_notes(&bench, "say(`${studio.notes.map(|note| note.pieces).len}`);");
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("walk them with `for`"), "{}", ran.stderr);
}

/// More looks than a list holds; nothing of theirs is in a glaze's file, so that no window is learnt.
#[test]
fn a_window_over_more_notes_than_a_list_holds() {
    let bench = Bench::example_studio();
    let line = |number: usize| {
        let day = number % 28 + 1;
        format!("{{\"on\":\"2026-01-{day:02}\",\"glaze\":\"gone\",\"clay\":\"gone ware\",\"pieces\":1,\"crazed\":0}}\n")
    };
    bench.file("studio/notes.jsonl", (0..6_000).map(line).collect::<String>());
    let ran = in_studio(&bench, &["run", "craze-window"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(
        ran.stdout.starts_with("No glaze lies in the grey zone."),
        "{}",
        ran.stdout
    );
}

#[test]
fn one_test_runs_by_its_name() {
    let bench = Bench::empty();
    let one = bench.run(&["script", "test", "alkali-balance", "test_seger_cone_5_is_fine"]);
    assert!(
        one.code == 0 && one.stdout.contains("its one test holds"),
        "{}{}",
        one.stdout,
        one.stderr
    );
    let none = bench.run(&["script", "test", "alkali-balance", "test_seger_cone_6_is_fine"]);
    assert!(
        none.code == 2 && none.stderr.contains("test_seger_cone_5_is_fine"),
        "{}",
        none.stderr
    );
}

/// Every mistake of a script in one run, each with its hint.
#[test]
fn all_mistakes_are_told_in_one_run() {
    let bench = Bench::empty();
    bench.file(
        "own.rhai",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\nfn check(glaze, option) {\n    let f = |x| x;\n    if f(1) > 2 { glaze.cuation(\"a\", \"b\"); }\n    say(glaze.unity.Si02);\n}\n",
    );
    insta::assert_snapshot!(bench.screen(&["check", "Lamplight clear", "--script", "own.rhai"]));
}

/// What can't be read hides nothing of the rest; the terminal tells of a file, of the studio's
/// script by name and of all scripts alike.
#[test]
fn all_that_cannot_be_read_is_told_in_one_run() {
    let bench = Bench::empty();
    bench.file("studio.yaml", "studio: Ternholm Tiles\n");
    let text = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" source: \"own\" };\n\nfn check(glaze, option) {\n    let u = glaze.unity\n    if u.SiO2 > 3 and u.CaO < 0.5 {\n        glaze.cuation(\"SiO2\", \"much\");\n    if u.BaO === null { return; }\n    glaze.caution(\"BaO\", \"some);\n}\n\ndef half(x) { x / 2 }\n";
    bench.file("scripts/check/own.rhai", text);
    bench.file(
        "glazes/clear.yaml",
        "glaze: clear\ncone: 6\nparts: { silica: 30, whiting: 20, kaolin: 50 }\n",
    );
    let file = bench.screen(&["check", "clear", "--script", "scripts/check/own.rhai"]);
    let named = bench.screen(&["script", "test", "check/own"]);
    let places = |screen: &str| -> Vec<String> {
        let found = screen.lines().filter(|line| line.contains("own.rhai:"));
        found.map(str::to_owned).collect()
    };
    assert_eq!(places(&file), places(&named));
    insta::assert_snapshot!([file, bench.screen(&["script", "test"])].join("\n"));
}

#[test]
fn words_of_other_languages_have_hints() {
    let bench = Bench::empty();
    let mut said = String::new();
    for line in [
        "let y = if 1 > 0 ? 2 : 3;",
        "let y = 1 > 0 ? 2 : 3;",
        "if 1 == 1 { } elif 2 == 2 { }",
        "let f = [1].map(x => x);",
        "if 1 > 0 { let x = 1;",
        "/* never closed",
        "if 1 === 1 { }",
        "if 1 !== 1 { }",
        "for (let i = 0; i < 3; i += 1) { }",
        "# a comment",
        "let t = { b: 1 };",
        "} }",
        "if 1 > 0 { } fn half(x) { x / 2 }",
    ] {
        let text = format!(
            "const ABOUT = #{{ api: 1, kind: \"check\", title: \"t\" }};\nfn check(glaze, option) {{\n    {line}\n}}\n"
        );
        bench.file("own.rhai", text);
        said.push_str(&bench.run(&["check", "Lamplight clear", "--script", "own.rhai"]).stderr);
    }
    for whole in [
        "",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\nfunction check(glaze, option) { }\n",
        "/* head\nconst ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\nfn check(glaze, option) { }\n",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"\" };\nfn check(glaze, option) { }\n",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\" };\nfn check(glaze, option) -> text { }\n",
    ] {
        bench.file("own.rhai", whole);
        said.push_str(&bench.run(&["check", "Lamplight clear", "--script", "own.rhai"]).stderr);
    }
    insta::assert_snapshot!(said);
}
