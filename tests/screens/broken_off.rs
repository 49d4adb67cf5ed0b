//! A script that goes wrong while it runs: wherever it ran, the same line and the same cure.

use serde_json::Value;

use super::bench::Bench;

/// What goes wrong in a check, and the cure that is told of it.
const SLIPS: [(&str, &str); 5] = [
    ("print(materials[\"whitning\"].name);", "did you mean `whiting`?"),
    (
        "let f = #{ subject: \"SiO2\", mesage: \"x\" };\n    glaze.caution(f);",
        "did you mean `message`?",
    ),
    (
        "print(1 / glaze.unity.BaO);",
        "ask first: `if x > 0 { ... }`; 0 is an absent oxide, or no notes",
    ),
    (
        "let l = [1, 2];\n    print(l[2]);",
        "items count from 0; the last is `list[-1]`",
    ),
    ("let t = #{ a: 1 };\n    print(t.b);", "`contains` asks whether it has"),
];

fn check(body: &str) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"T\", source: \"own\" }};\nfn check(glaze, option) {{\n    {body}\n}}\n\
         fn test_it(t) {{ t.expect_nothing(t.check(#{{ parts: #{{ silica: 1, whiting: 1 }} }})); }}\n"
    )
}

/// From the line with the caret to the cure.
fn shown(text: &str) -> Vec<&str> {
    let lines: Vec<&str> = text.lines().map(str::trim_start).collect();
    let caret = lines.iter().position(|line| line.starts_with('^'));
    caret.map_or_else(Vec::new, |caret| {
        lines[caret - 1..(caret + 2).min(lines.len())].to_vec()
    })
}

#[test]
fn a_check_shows_what_its_test_shows() {
    let bench = Bench::example_studio();
    for (body, cure) in SLIPS {
        bench.file("studio/scripts/check/x.rhai", check(body));
        let tested = bench.run_in("studio", &["script", "test", "check/x"]);
        let checked = bench.run_in("studio", &["check", "Lamplight clear", "--script", "check/x"]);
        assert_eq!(checked.code, 1, "{}{}", checked.stdout, checked.stderr);
        let wanted = shown(&tested.stdout);
        assert_eq!(
            wanted.get(2),
            Some(&format!("help: {cure}").as_str()),
            "{}",
            tested.stdout
        );
        assert_eq!(shown(&checked.stdout), wanted, "{}", checked.stdout);
        let json = bench.run_in(
            "studio",
            &["check", "Lamplight clear", "--script", "check/x", "--format", "json"],
        );
        let json: Value = serde_json::from_str(&json.stdout).unwrap();
        let error = &json["findings"][0]["error"];
        assert_eq!(error["help"], cure, "{json:#}");
        assert_eq!(error["line"], json["findings"][0]["line"], "{json:#}");
        let over = bench.run_in("studio", &["check", "--over", "glazes", "--script", "check/x"]);
        assert!(over.stdout.contains(&cure.replace('"', "\"\"")), "{}", over.stdout);
    }
}

#[test]
fn limits_say_what_is_meant() {
    let bench = Bench::example_studio();
    let limits = "const ABOUT = #{ api: 1, kind: \"limits\", title: \"T\", source: \"own\" };\nfn limits(glaze, option) {\n    let r = #{};\n    r[\"Si02\"] = [2, 4];\n    r\n}\n";
    bench.file("studio/scripts/limits/x.rhai", limits);
    let checked = bench.run_in("studio", &["check", "Lamplight clear", "--script", "limits/x"]);
    assert!(
        checked.stdout.contains("help: did you mean `SiO2`?"),
        "{}",
        checked.stdout
    );
}
