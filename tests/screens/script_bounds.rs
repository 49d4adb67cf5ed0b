//! Scripts that break their bounds, are empty, or hang on a library: the others go on.

use serde_json::Value;

use super::bench::{Bench, Ran};

fn rule(body: &str) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"Rule\", source: \"own\" }};\nfn check(glaze, option) {{\n    {body}\n}}\n"
    )
}

fn with(files: &[(&str, &str)]) -> Bench {
    let bench = Bench::example_studio();
    for (name, text) in files {
        bench.file(&format!("studio/{name}"), text);
    }
    bench
}

fn ask(bench: &Bench, call: &[&str]) -> Ran {
    let mut all = call.to_vec();
    all.extend(["--studio", "studio"]);
    bench.run(&all)
}

fn findings(bench: &Bench, call: &[&str]) -> (i32, Vec<Value>) {
    let mut all = call.to_vec();
    all.extend(["--format", "json"]);
    let ran = ask(bench, &all);
    let json: Value = serde_json::from_str(&ran.stdout).unwrap_or_else(|why| panic!("{why}: {}", ran.stderr));
    (ran.code, json["findings"].as_array().unwrap().clone())
}

#[test]
fn a_check_that_never_ends_takes_no_other_with_it() {
    let bench = with(&[(
        "scripts/check/loopc.rhai",
        &rule("print(\"began\");\n    while true { }"),
    )]);
    let (code, found) = findings(&bench, &["check", "Lamplight clear"]);
    assert_eq!(code, 3);
    let of = |script: &str| found.iter().find(|one| one["script"] == script).cloned();
    let broken = of("check/loopc").unwrap();
    assert_eq!(broken["level"], "not checked");
    assert_eq!(broken["line"], 4);
    assert!(of("check/barium").is_some());
    let ran = ask(&bench, &["check", "Lamplight clear"]);
    assert!(ran.stderr.contains("began"), "{}", ran.stderr);
    let over = ask(&bench, &["check", "--over", "studio/glazes"]);
    assert_eq!(over.code, 3);
    assert!(
        over.stdout.contains(",check/loopc,not checked,") && over.stdout.contains(",check/barium,"),
        "{}",
        over.stdout
    );
}

#[test]
fn a_test_that_never_ends_takes_no_other_with_it() {
    let text = format!(
        "{}fn test_one(t) {{ loop {{ let a = 1; }} }}\nfn test_two(t) {{ t.claim(1 == 2, \"one is two\"); }}\n",
        rule("")
    );
    let bench = with(&[("scripts/check/loopt.rhai", &text)]);
    let ran = ask(&bench, &["script", "test", "check/loopt"]);
    assert_eq!(ran.code, 3);
    assert!(
        ran.stdout.contains("one is two") && ran.stdout.contains("test_one"),
        "{}",
        ran.stdout
    );
    assert!(ran.stdout.contains("loopt.rhai:5:18"), "{}", ran.stdout);
}

#[test]
fn an_empty_script_is_broken_and_named() {
    let bench = with(&[("scripts/check/barium.rhai", ""), ("scripts/check/empty.rhai", " \n")]);
    let (code, found) = findings(&bench, &["check", "Lamplight clear"]);
    assert_eq!(code, 1);
    for name in ["check/barium", "check/empty"] {
        let one = found.iter().find(|one| one["script"] == name).unwrap();
        assert_eq!(one["level"], "not checked", "{name}");
        assert!(one["message"].as_str().unwrap().contains("the file is empty"), "{one}");
    }
    // The shell empties a file before the text for it is printed.
    let shown = ask(&bench, &["script", "show", "check/barium", "--text"]);
    assert!(
        shown.code == 0 && shown.stdout.contains("const ABOUT"),
        "{}",
        shown.stderr
    );
    let tested = ask(&bench, &["script", "test"]);
    assert!(tested.stdout.starts_with("2 scripts don't load; "), "{}", tested.stdout);
}

#[test]
fn a_changed_library_changes_the_hash() {
    let own = format!(
        "import \"lib/much\" as m;\n{}",
        rule("let most = m::bound(); glaze.caution(\"x\", `${most}`);")
    );
    let bench = with(&[
        ("scripts/lib/much.rhai", "fn bound() { 1 }\n"),
        ("scripts/check/own.rhai", &own),
    ]);
    let hash = || {
        let (_, found) = findings(&bench, &["check", "Lamplight clear", "--script", "check/own"]);
        found[0]["hash"].as_str().unwrap().to_owned()
    };
    let before = hash();
    bench.file("studio/scripts/lib/much.rhai", "fn bound() { 2 }\n");
    assert_ne!(before, hash());
    // By the path of its file it has the same libraries, and a library has a name too.
    for call in [
        &["script", "test", "studio/scripts/check/own.rhai"][..],
        &["script", "test", "lib/much"],
        &["script", "show", "lib/much"],
    ] {
        let ran = ask(&bench, call);
        assert_eq!(ran.code, 0, "{call:?}: {}", ran.stderr);
    }
}

#[test]
fn a_library_is_pure() {
    for (text, said) in [
        ("fn f() { materials.list }", "a library doesn't see this"),
        ("fn f() { say(\"x\"); }", "this is of no use in a library"),
        (
            "fn f(glaze) { glaze.caution(\"x\", \"y\"); }",
            "this is of no use in a library",
        ),
    ] {
        let bench = with(&[("scripts/lib/much.rhai", text)]);
        let ran = ask(&bench, &["script", "test", "lib/much"]);
        assert!(ran.code == 2 && ran.stderr.contains(said), "{text}: {}", ran.stderr);
    }
    #[cfg(unix)]
    {
        let bench = with(&[("scripts/lib/much.rhai", "fn f() { 1 }")]);
        let outside = bench.file("outside.rhai", "fn f() { 1 }");
        std::os::unix::fs::symlink(outside, bench.path().join("studio/scripts/lib/link.rhai")).unwrap();
        let ran = ask(&bench, &["script", "test"]);
        assert!(ran.stdout.contains("leads out of the studio"), "{}", ran.stdout);
    }
}

/// One glaze and many say the same of its pieces.
#[test]
fn many_glazes_hear_of_their_pieces() {
    let bench = with(&[]);
    let noted = ask(
        &bench,
        &[
            "note",
            "Lamplight clear",
            "--clay",
            "buff stoneware",
            "--age",
            "30d",
            "--pieces",
            "10",
            "--crazed",
            "5/10",
        ],
    );
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    let (code, found) = findings(&bench, &["check", "Lamplight clear", "--script", "fit-on-clay"]);
    assert_eq!((code, &found[0]["level"]), (1, &"fail".into()));
    let over = ask(&bench, &["check", "--over", "studio/glazes", "--script", "fit-on-clay"]);
    assert!(
        over.stdout.contains("Lamplight clear,check/fit-on-clay,fail,"),
        "{}",
        over.stdout
    );
    let plain = ask(&bench, &["check", "--over", "studio/glazes"]);
    assert!(
        plain.stdout.contains("Lamplight clear,check/fit-on-clay,fail,"),
        "{}",
        plain.stdout
    );
}

#[test]
fn names_in_studio_yaml_are_told_all_at_once() {
    let bench = with(&[(
        "studio.yaml",
        "studio: Own\nscripts:\n  check/barum: off\n  swap/closest: off\n  check/alkali-balance: { level: note, because: \"old\" }\n  check/zinc: off\n",
    )]);
    let ran = ask(&bench, &["check", "Lamplight clear"]);
    assert_eq!(ran.code, 2);
    for said in [
        "check/barum",
        "`swap/closest` can't be off",
        "check/zinc",
        "kinds that can be off: limits, check, fault",
    ] {
        assert!(ran.stderr.contains(said), "{said}: {}", ran.stderr);
    }
    assert!(!ran.stderr.contains("because"), "{}", ran.stderr);
    bench.file("studio/studio.yaml", "studio: Own\nscripts:\n  check/barium: off\n");
    let over = ask(&bench, &["check", "--over", "studio/glazes"]);
    assert!(
        over.stderr
            .contains("turned off in studio.yaml, and not run: check/barium"),
        "{}",
        over.stderr
    );
}

#[test]
fn notes_of_use_are_told_and_those_of_maltreated_pieces_left_out() {
    let note = |test: &str| {
        format!(
            "{{\"on\":\"2026-01-01\",\"glaze\":\"Highfell clear\",\"pieces\":1,\"crazed\":0,\"test\":\"{test}\"}}\n"
        )
    };
    let run = "const ABOUT = #{ api: 1, kind: \"run\", title: \"t\" };\nfn run(studio, option) { say(`${studio.notes.len} of ${studio.notes_with_tests.len}`); }\n";
    let lines = [note("boil and ice"), note("dishwasher 50 times")].concat();
    let bench = with(&[("notes.jsonl", &lines), ("scripts/run/count.rhai", run)]);
    let ran = ask(&bench, &["run", "count"]);
    assert!(ran.stdout.starts_with("1 of 2"), "{}{}", ran.stdout, ran.stderr);
}

/// What may come in, who never may, and a reason that is a text.
#[test]
fn a_swap_script_asks_who_may_come() {
    let swap = |never: &str, gives: &str| {
        format!(
            "const ABOUT = #{{ api: 1, kind: \"swap\", title: \"Own\", source: \"own\" }};
fn swap(glaze, option) {{
    let may = materials.candidates(glaze, request.out).map(|one| one.name);
    print(`may ${{may}}`);
    let found = materials.solve(#{{ match: glaze, without: request.out, never: {never}, show: 1 }});
    print(`came ${{found[0].newcomers}}`);
    {gives}
}}
"
        )
    };
    let asked = |text: &str| {
        let bench = with(&[("scripts/swap/own.rhai", text)]);
        ask(
            &bench,
            &["swap", "Lamplight clear", "--out", "feldspar A", "--script", "swap/own"],
        )
    };
    let line = |ran: &Ran, lead: &str| {
        let found = ran
            .stderr
            .lines()
            .find(|line| line.starts_with(lead))
            .unwrap_or_default();
        found.to_owned()
    };
    let plain = asked(&swap("[]", "found"));
    let came = line(&plain, "came ");
    let first = came
        .split('"')
        .nth(1)
        .unwrap_or_else(|| panic!("{}{}", plain.stdout, plain.stderr))
        .to_owned();
    assert!(line(&plain, "may ").contains(&first), "{}", plain.stderr);
    assert!(
        plain.stdout.contains("Proposed by: swap/own, yours, "),
        "{}",
        plain.stdout
    );
    let without = asked(&swap(&format!("[\"{first}\"]"), "found"));
    assert!(
        !line(&without, "came ").contains(&format!("\"{first}\"")),
        "{}",
        without.stderr
    );
    let number = asked(&swap("[]", "#{ glaze: found[0].glaze, why: 3 }"));
    assert!(
        number.code == 2 && number.stderr.contains("`why` is a text"),
        "{}",
        number.stderr
    );
    let misspelt = asked(&swap("[]", "#{ glaze: found[0].glaze, wyh: \"x\" }"));
    assert!(
        misspelt.code == 2 && misspelt.stderr.contains("`wyh`"),
        "{}",
        misspelt.stderr
    );
}

#[test]
fn rows_of_a_script_are_signed_in_one_way() {
    let table = "const ABOUT = #{ api: 1, kind: \"run\", title: \"t\" };\nfn run(studio, option) { table(#{ columns: [\"script\", \"hash\"], rows: [[1, 2]] }); }\n";
    let bench = with(&[
        ("scripts/run/own.rhai", table),
        (
            "studio.yaml",
            "studio: Own\nscripts: { check/alkali-balance: { alkali_most: 0.2 } }\n",
        ),
    ]);
    let ran = ask(&bench, &["run", "own", "--format", "csv"]);
    assert!(
        ran.stdout
            .starts_with("script,hash,signed_script,whose,signed_hash,set\n"),
        "{}{}",
        ran.stdout,
        ran.stderr
    );
    let checked = ask(&bench, &["check", "Lamplight clear", "--format", "csv"]);
    assert!(checked.stdout.contains(",alkali_most=0.2"), "{}", checked.stdout);
    assert!(!checked.stdout.contains("{}"), "{}", checked.stdout);
    let blended = ask(
        &bench,
        &["blend", "line", "Lamplight clear", "Highfell clear", "--format", "csv"],
    );
    let head = blended.stdout.lines().next().unwrap_or_default();
    assert!(head.ends_with(",script,whose,hash,set"), "{head}");
}

#[test]
fn prices_of_a_test_reach_what_it_asks() {
    let text = format!(
        "{}fn test_price(t) {{\n    let there = t.among(#{{ glazes: [], currency: \"EUR\", materials: #{{ silica: #{{ price: \"2 EUR/kg\" }}, whiting: #{{ price: \"4 EUR/kg\" }} }} }});\n    t.near(there.glaze(#{{ parts: #{{ silica: 50, whiting: 50 }} }}).cost, 3, 1e-9);\n}}\n",
        rule("")
    );
    let bench = with(&[("scripts/check/priced.rhai", &text)]);
    let ran = ask(&bench, &["script", "test", "check/priced"]);
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
}
