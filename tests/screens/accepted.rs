//! Findings that their maker accepts: in sight with their reason, and back when what they
//! were accepted of is another one.

use serde_json::Value;

use crate::bench::Bench;

const FINDING: &str = "check/metals-of-concern CuO";
const GREEN: &str = "# for the tiles\r
glaze: Copper green\r
cone: 6\r
parts: { feldspar A: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6 }   # as ever\r
additions: { copper carbonate: 3 }\r
use: wall tile\r
notes: |\r
  glossy\r
";

fn studio(green: &str) -> Bench {
    let bench = Bench::example_studio();
    bench.file("studio/glazes/copper_green.yaml", green);
    bench
}

fn text_of(bench: &Bench) -> String {
    std::fs::read_to_string(bench.path().join("studio/glazes/copper_green.yaml")).unwrap()
}

fn accept(bench: &Bench, more: &[&str]) -> (i32, Value) {
    let call = [
        "check",
        "Copper green",
        "--accept",
        FINDING,
        "--because",
        "lab report 12",
    ];
    json(bench, &[&call[..], more].concat())
}

fn json(bench: &Bench, call: &[&str]) -> (i32, Value) {
    let ran = bench.run_in("studio", &[call, &["--format", "json"]].concat());
    let answer = serde_json::from_str(&ran.stdout);
    (
        ran.code,
        answer.unwrap_or_else(|why| panic!("{why}: {}{}", ran.stdout, ran.stderr)),
    )
}

fn check(bench: &Bench) -> Value {
    json(bench, &["check", "Copper green"]).1
}

/// The finding on copper.
fn on_copper(answer: &Value) -> Value {
    let findings = answer["findings"].as_array().unwrap();
    let found = findings
        .iter()
        .find(|one| one["script"] == "check/metals-of-concern" && one["subject"] == "CuO");
    found.cloned().unwrap_or(Value::Null)
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn why_not(answer: &Value) -> &str {
    answer["not_accepted"][0]["why"].as_str().unwrap_or("accepted")
}

#[test]
fn an_accepted_finding_stays_in_sight_with_its_reason() {
    let bench = studio(GREEN);
    let before = on_copper(&check(&bench));
    assert_eq!(
        (before["level"].as_str(), &before["accepted"]),
        (Some("caution"), &Value::Null)
    );

    let (code, answer) = accept(&bench, &["--until", "2027-06-01"]);
    let after = on_copper(&answer);
    assert_eq!(after["accepted"]["because"], "lab report 12");
    assert_eq!(after["accepted"]["until"], "2027-06-01");
    assert_eq!(
        (&after["level"], &after["message"]),
        (&before["level"], &before["message"])
    );
    assert_eq!((code, answer["accepted_here"]["line"].as_u64()), (0, Some(10)));
    assert_eq!(on_copper(&check(&bench)), after, "as the file has it");

    let text = text_of(&bench);
    let entry = text.strip_prefix(GREEN).unwrap_or_else(|| panic!("{text}"));
    assert!(
        entry.starts_with(
            "accepted:\r\n  - { finding: check/metals-of-concern CuO, because: lab report 12, until: 2027-06-01, of: "
        ),
        "{entry}"
    );
    insta::assert_snapshot!(
        "an_accepted_finding",
        bench.run_in("studio", &["check", "Copper green"]).stdout
    );

    let (_, again) = accept(&bench, &["--until", "2027-06-01"]);
    assert_eq!(again["accepted_here"]["written"], false);
    let (_, later) = accept(&bench, &["--until", "2027-09-01"]);
    assert_eq!(on_copper(&later)["accepted"]["until"], "2027-09-01");
    assert_eq!(text_of(&bench), text.replace("2027-06-01", "2027-09-01"));
}

#[test]
fn what_is_accepted_does_not_count_for_the_worst() {
    let bench = studio(GREEN);
    let call = ["check", "Copper green", "--script", "check/metals-of-concern"];
    let cautions = |answer: &Value| -> Vec<String> {
        let findings = answer["findings"].as_array().unwrap();
        let plain = findings
            .iter()
            .filter(|one| one["level"] == "caution" && one["accepted"].is_null());
        plain.map(|one| one["subject"].as_str().unwrap().to_owned()).collect()
    };
    let (_, before) = json(&bench, &call);
    assert_eq!(before["worst"], "caution");
    for subject in cautions(&before) {
        let finding = format!("check/metals-of-concern {subject}");
        assert_eq!(
            json(
                &bench,
                &["check", "Copper green", "--accept", &finding, "--because", "seen"]
            )
            .0,
            0
        );
    }
    let (_, after) = json(&bench, &call);
    assert_eq!(
        (cautions(&after).len(), &after["worst"]),
        (0, &Value::from("nothing found"))
    );
    assert_eq!(
        after["findings"].as_array().unwrap().len(),
        before["findings"].as_array().unwrap().len()
    );
}

#[test]
fn it_comes_back_when_recipe_lot_clay_firing_use_rule_or_day_change() {
    let bench = studio(GREEN);
    accept(&bench, &["--until", "2026-11-25"]);
    let accepted = text_of(&bench);
    assert_eq!(why_not(&check(&bench)), "accepted", "its last day is today");
    for (old, new, why) in [
        ("silica: 26", "silica: 27", "changed"),
        ("copper carbonate: 3", "copper carbonate: 3.5", "changed"),
        ("cone: 6", "cone: 7", "changed"),
        ("use: wall tile", "use: tableware", "changed"),
        ("notes:", "clay: buff stoneware\r\nnotes:", "changed"),
        ("notes:", "firing: spring glost\r\nnotes:", "changed"),
        ("notes:", "atmosphere: oxidation\r\nnotes:", "changed"),
        ("until: 2026-11-25", "until: 2026-11-24", "past"),
        ("of: ", "of: 0", "changed"),
        ("# for the tiles", "# for my tiles", "accepted"),
        (
            "{ feldspar A: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6 }",
            "{ feldspar A: 76, silica: 52, whiting: 36, kaolin: 24, dolomite: 12 }",
            "accepted",
        ),
    ] {
        assert!(accepted.contains(old), "{old}");
        bench.file("studio/glazes/copper_green.yaml", accepted.replacen(old, new, 1));
        let answer = check(&bench);
        assert_eq!(why_not(&answer), why, "{new}: {answer}");
        assert_eq!(on_copper(&answer)["accepted"].is_null(), why != "accepted", "{new}");
    }
    bench.file("studio/glazes/copper_green.yaml", &accepted);
    assert_eq!(
        why_not(&json(&bench, &["check", "Copper green", "--clay", "buff stoneware"]).1),
        "changed"
    );

    let lot = bench.run_in("studio", &["set", "feldspar A", "lot=another"]);
    assert_eq!(lot.code, 0, "{}", lot.stderr);
    assert_eq!(why_not(&check(&bench)), "changed");
}

#[test]
fn it_comes_back_when_the_rule_is_another_text() {
    let bench = studio(GREEN);
    let rule = |most: &str| {
        format!(
            "const ABOUT = #{{ api: 1, kind: \"check\", title: \"own\", source: \"own\" }};\n\
             fn check(glaze, option) {{ glaze.caution(#{{ subject: \"CuO\", message: \"more than {most}\" }}); }}\n"
        )
    };
    let accept_own = [
        "check",
        "Copper green",
        "--accept",
        "check/own CuO",
        "--because",
        "seen",
    ];
    bench.file("studio/scripts/check/own.rhai", rule("1"));
    assert_eq!(json(&bench, &accept_own).1["not_accepted"], Value::Null);
    bench.file("studio/scripts/check/own.rhai", rule("2"));
    assert_eq!(why_not(&check(&bench)), "changed");
    assert_eq!(check(&bench)["not_accepted"][0]["changed"], serde_json::json!(["rule"]));
    let other = ["check", "Copper green", "--script", "check/metals-of-concern"];
    assert_eq!(why_not(&json(&bench, &other).1), "accepted", "nobody asked the rule");
    std::fs::remove_file(bench.path().join("studio/scripts/check/own.rhai")).unwrap();
    assert_eq!(why_not(&check(&bench)), "no such rule");
    assert_eq!(why_not(&json(&bench, &other).1), "no such rule", "a slip, whoever asks");
}

#[test]
fn an_entry_without_what_it_is_of_says_how_to_write_it() {
    let entry = "accepted: [{ finding: check/metals-of-concern CuO, because: \"lab report 12\" }]\r\n";
    let bench = studio(&format!("{GREEN}{entry}"));
    assert_eq!(why_not(&check(&bench)), "not yet");
    let text = bench.run_in("studio", &["check", "Copper green"]).stdout;
    insta::assert_snapshot!("an_entry_without_what_it_is_of", text);
    assert_eq!(why_not(&accept(&bench, &[]).1), "accepted");
    let renewed = text_of(&bench);
    assert!(
        renewed.starts_with(&format!("{GREEN}{}, of: ", entry.trim_end().trim_end_matches(" }]"))),
        "{renewed}"
    );
}

#[test]
fn a_fail_and_what_nothing_finds_cannot_be_accepted() {
    let bench = studio(GREEN);
    bench.file(
        "studio/scripts/check/never.rhai",
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"own\", source: \"own\" };\nfn check(glaze, option) { glaze.fail(#{ subject: \"CuO\", message: \"never\" }); }\n",
    );
    for (typed, says) in [
        (
            vec!["--accept", "check/never CuO", "--because", "x"],
            "can't be accepted",
        ),
        (
            vec!["--accept", "check/metals-of-concern CoO", "--because", "x"],
            "nothing here finds",
        ),
        (
            vec!["--accept", "check/metals-of-concern", "--because", "x"],
            "names a rule, but not what it found",
        ),
        (
            vec!["--accept", "metals-of-concern", "--because", "x"],
            "did you mean `check/metals-of-concern CuO`?",
        ),
        (
            vec!["--accept", "cuo", "--because", "x"],
            "names what was found, but not the rule that finds it",
        ),
        (
            vec!["--accept", "CuO", "--because", "x"],
            "did you mean `check/metals-of-concern CuO`?",
        ),
        (
            vec!["--accept", "copper", "--because", "x"],
            "`copper` is no rule with what it found",
        ),
        (vec!["--accept", FINDING, "--because", " "], "needs a reason"),
        (
            vec!["--accept", FINDING, "--because", "x", "--until", "2026-11-24"],
            "is past",
        ),
        (
            vec!["--accept", FINDING, "--because", "x", "--until", "2027-02-30"],
            "--until",
        ),
    ] {
        let ran = bench.run_in("studio", &[&["check", "Copper green"][..], &typed].concat());
        assert_eq!(ran.code, 2, "{typed:?}: {}", ran.stdout);
        assert!(
            ran.stderr.contains(says) && ran.stderr.contains("help: "),
            "{typed:?}: {}",
            ran.stderr
        );
        assert_eq!(text_of(&bench), GREEN, "{typed:?}");
    }
    let entry = "accepted: [{ finding: check/never CuO, because: x, of: 0123456789ab }]\r\n";
    bench.file("studio/glazes/copper_green.yaml", format!("{GREEN}{entry}"));
    let (code, answer) = json(&bench, &["check", "Copper green"]);
    assert_eq!(
        (code, answer["worst"].as_str(), why_not(&answer)),
        (1, Some("fail"), "fail")
    );
}

#[test]
fn a_glaze_of_the_example_has_no_file_to_write_in() {
    let bench = Bench::empty();
    let ran = bench.run(&["check", "Lamplight clear", "--accept", "check/x y", "--because", "x"]);
    assert_eq!(ran.code, 2, "{}", ran.stdout);
}

/// Over a folder and among all glazes as for one: marked, and weighing no more.
#[test]
fn many_glazes_keep_what_is_accepted() {
    let bench = studio(GREEN);
    let lines = |bench: &Bench| -> Vec<Value> {
        let ran = bench.run_in("studio", &["check", "--over", "glazes", "--format", "json"]);
        let lines = ran.stdout.lines().map(|line| serde_json::from_str(line).unwrap());
        lines.collect()
    };
    let copper = |lines: &[Value]| {
        let own = lines.iter().filter(|line| line["glaze"] == "Copper green");
        let found = own
            .clone()
            .find(|line| line["subject"] == "CuO" && line["script"] == "check/metals-of-concern");
        found.cloned().unwrap()
    };
    assert!(copper(&lines(&bench)).get("accepted").is_none());
    assert_eq!(accept(&bench, &[]).0, 0);
    assert_eq!(copper(&lines(&bench))["accepted"], "lab report 12");
    let (_, all) = json(&bench, &["glazes", "--problems"]);
    let problems = all["problems"].as_array().unwrap();
    let last = problems.last().unwrap();
    assert_eq!(
        (&last["glaze"], &last["subject"]),
        (&"Copper green".into(), &"CuO".into())
    );
    assert_eq!(last["accepted"]["because"], "lab report 12");
    let screen = bench.run_in("studio", &["glazes", "--problems"]).stdout;
    assert!(screen.contains("accepted caution  Copper green"), "{screen}");
}

/// What changed is named alone; entries of before, of which only the whole is known, name all.
#[test]
fn what_came_back_says_which_change_brought_it_back() {
    let bench = studio(GREEN);
    accept(&bench, &[]);
    let accepted = text_of(&bench);
    for (old, new, says, word) in [
        ("silica: 26", "silica: 27", "the recipe has changed since", "recipe"),
        ("cone: 6", "cone: 7", "the firing has changed since", "firing"),
        ("use: wall tile", "use: tableware", "the use has changed since", "use"),
        (
            "notes:",
            "clay: buff stoneware\r\nnotes:",
            "the clay has changed since",
            "clay",
        ),
    ] {
        bench.file("studio/glazes/copper_green.yaml", accepted.replacen(old, new, 1));
        let text = bench.run_in("studio", &["check", "Copper green"]).stdout;
        assert!(in_one_line(&text).contains(says), "{new}: {text}");
        assert_eq!(
            check(&bench)["not_accepted"][0]["changed"],
            serde_json::json!([word]),
            "{new}"
        );
    }
    let at = accepted.find(", of: ").unwrap() + 6 + 12;
    let (before, digits) = accepted.split_at(at);
    let of_old = format!(
        "{before}{}",
        digits.trim_start_matches(|sign: char| sign == '-' || sign.is_ascii_hexdigit())
    );
    bench.file("studio/glazes/copper_green.yaml", &of_old);
    assert_eq!(why_not(&check(&bench)), "accepted");
    bench.file(
        "studio/glazes/copper_green.yaml",
        of_old.replacen("cone: 6", "cone: 7", 1),
    );
    let text = bench.run_in("studio", &["check", "Copper green"]).stdout;
    assert!(in_one_line(&text).contains("the recipe, a lot, the clay"), "{text}");
    bench.file("studio/glazes/copper_green.yaml", &accepted);
    assert_eq!(bench.run_in("studio", &["set", "feldspar A", "lot=another"]).code, 0);
    assert_eq!(check(&bench)["not_accepted"][0]["changed"], serde_json::json!(["lot"]));
}

/// A misspelt rule is named with the nearest, whichever scripts were asked for.
#[test]
fn an_entry_of_no_rule_names_the_nearest() {
    let entry = "accepted: [{ finding: check/metals-of-concrn CuO, because: seen, of: 0123456789ab }]\r\n";
    let bench = studio(&format!("{GREEN}{entry}"));
    for more in [&[][..], &["--script", "check/metals-of-concern"]] {
        let call = [&["check", "Copper green"][..], more].concat();
        let text = bench.run_in("studio", &call).stdout;
        assert!(
            in_one_line(&text).contains("did you mean `check/metals-of-concern`?"),
            "{more:?}: {text}"
        );
        assert_eq!(why_not(&json(&bench, &call).1), "no such rule", "{more:?}");
    }
}
