//! What a script gets wrong is told; it never becomes an answer that looks right.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_core::rules::{Finding, Level};
use glost_script::{Request, Scene, Script};
use support::{check, load, said};

/// What a script's own tests say.
fn tested(text: &str) -> Vec<String> {
    let script = load(text).unwrap_or_else(|why| panic!("{}", said(&why)));
    let outcomes = script.run_tests(&support::scene());
    let mut told = Vec::new();
    for outcome in outcomes {
        told.extend(outcome.failures.into_iter().map(|failure| failure.message));
        told.extend(outcome.broke_off.map(|failure| said(&failure.diagnostic)));
    }
    told
}

fn levels(findings: &[Finding]) -> Vec<(Level, &str)> {
    findings.iter().map(|found| (found.level, &*found.subject)).collect()
}

const SWAP: &str = "const ABOUT = #{ api: 1, kind: \"swap\", title: \"t\" };\nfn swap(glaze, option) { BODY }\n";

#[test]
fn a_swap_may_not_propose_what_is_gone() {
    let library = Arc::new(support::library());
    let scene = Arc::new(Scene {
        library: library.clone(),
        ..Scene::default()
    });
    let glaze = support::glaze(&scene, support::CLEAR);
    let request = || Request {
        out: vec![library.find("whiting").unwrap().clone()],
        ..Request::default()
    };
    let bodies = [
        ("[glaze]", "the proposed recipe still holds whiting, which is gone"),
        ("glaze.with_part(\"whiting\", 0)", ""),
        (
            "[glaze.with_part(\"whiting\", 0), #{ glaze: glaze.with_part(\"wollastonite\", 10), why: \"w\" }]",
            "proposal 2 of 2 still holds whiting, which is gone",
        ),
    ];
    for (body, wanted) in bodies {
        let text = SWAP.replace("BODY", body);
        let script = Script::load("swap/mine", Source::from_text("mine.rhai", &text)).unwrap();
        let told = match script.swap(&glaze, request(), &scene, &[]) {
            Ok(_) => String::new(),
            Err(failure) => failure.diagnostic.message,
        };
        assert_eq!(told, wanted, "{body}");
    }
    // A test of the script's own sees the same.
    let own = SWAP.replace("BODY", "[glaze]")
        + "fn test_gone(t) { t.asked(#{ out: [\"whiting\"] }).swap(#{ parts: #{ whiting: 20, silica: 80 } }); t.claim(true, \"x\"); }\n";
    let told = tested(&own).join("\n");
    assert!(told.contains("still holds whiting, which is gone"), "{told}");
}

#[test]
fn what_a_check_found_before_it_broke_stands() {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let text = check("glaze.fail(\"PbO\", \"lead\"); glaze.caution(\"a\", \"b\"); let x = 1 / (glaze.unity.PbO * 1);");
    let checked = load(&text).unwrap().check(&glaze, &scene, &[]).unwrap();
    assert_eq!(
        levels(&checked.findings),
        [
            (Level::Fail, "PbO"),
            (Level::Caution, "a"),
            (Level::NotChecked, "Ashford clear")
        ]
    );
    // Among others, one that never ends too.
    let text = check("glaze.fail(\"PbO\", \"lead\"); let n = 0; loop { n += 1; }");
    let checked = load(&text).unwrap().check_among_others(&glaze, &scene, &[]).unwrap();
    assert_eq!(
        levels(&checked.findings),
        [(Level::Fail, "PbO"), (Level::NotChecked, "Ashford clear")]
    );
    // And a powder that nobody knows.
    let bought = support::glaze(&scene, support::BOUGHT);
    let text = check("glaze.fail(\"PbO\", \"lead\"); let x = glaze.unity.SiO2;");
    let checked = load(&text).unwrap().check(&bought, &scene, &[]).unwrap();
    assert_eq!(
        levels(&checked.findings),
        [(Level::Fail, "PbO"), (Level::NotChecked, "bought clear")]
    );
}

/// What loading says, or what a finding's message comes to.
fn value(expression: &str) -> String {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = match load(&check(&format!("{expression}; glaze.caution(\"it\", `${{x}}`);"))) {
        Ok(script) => script,
        Err(why) => return said(&why),
    };
    let checked = script.check(&glaze, &scene, &[]).unwrap();
    checked.findings[0].message.text().unwrap().to_string()
}

#[test]
fn numbers_have_no_bits() {
    let cases = [
        (
            "let x = 2^3",
            "3:10 there is no `^` here | a power is written `**`: `x ** 2`",
        ),
        (
            "let x = glaze.known & glaze.has_clay",
            "there is no `&` here | and is written `&&`",
        ),
        (
            "let x = glaze.known | glaze.has_clay",
            "there is no `|` here | or is written `||`",
        ),
        (
            "let x = 1 << 3",
            "there is no `<<` here | a power of two is written `2 ** n`; less is `<`",
        ),
        (
            "let x = 8 >> 3",
            "there is no `>>` here | a power of two is written `2 ** n`; more is `>`",
        ),
        (
            "let x = true; x |= false",
            "there is no `|=` here | or is written `x = x || y`",
        ),
        (
            "let x = 2; x ^= 2",
            "there is no `^=` here | a power is written `x = x ** 2`",
        ),
        ("let x = `${1 | 2}`", "there is no `|` here | or is written `||`"),
    ];
    for (body, wanted) in cases {
        let told = value(body);
        assert!(told.ends_with(wanted), "{body}: {told}");
    }
    assert_eq!(value("let x = [1, 2].map(|y| y ** 2).sum()"), "5");
    assert_eq!(value("let f = || 3; let x = f.call()"), "3");
    assert_eq!(value("let x = true || false"), "true");
}

#[test]
fn whole_or_not_makes_no_difference() {
    let cases = [
        ("let x = 9999999999 * 9999999999", "99999999980000000000"),
        ("let x = 9223372036854775807 + 1 == 9223372036854775808.0", "true"),
        ("let x = -9223372036854775807 - 2 < -9223372036854775807", "false"),
        ("let x = 9999999999; x *= 9999999999; x = x > 9e19", "true"),
        ("let x = 5; x /= 2", "2.5"),
        ("let x = 5; x += 2; x -= 1; x *= 3; x %= 4; x **= 2", "4"),
        ("let x = 2; x += 0.5", "2.5"),
        ("let x = \"a\"; x += 1; x += 0.5; x += \"b\"", "a10.5b"),
        (
            "let t = #{ n: 1 }; t.n += 9223372036854775807; let x = t.n > 9e18",
            "true",
        ),
        (
            "let n = 9223372036854775807; let f = |y| { n += y; n }; let x = f.call(1) > 9e18",
            "true",
        ),
    ];
    for (body, wanted) in cases {
        assert_eq!(value(body), wanted, "{body}");
    }
    for body in [
        "let x = 1.0; x /= 0",
        "let x = 1e308; x += 1e308",
        "let x = 1; x /= 0",
        "let x = true; x += 1",
    ] {
        let told = value(body);
        assert!(told.contains("the check broke off: "), "{body}: {told}");
    }
}

/// A check with a test of this body.
fn test_of(body: &str) -> String {
    format!("{}fn test_it(t) {{ {body} t.claim(true, \"x\"); }}\n", check(""))
}

#[test]
fn a_test_swallows_nothing_that_it_cannot_use() {
    let cases = [
        (
            "t.glaze(#{ parts: #{ whiting: 10 }, SiO2: 3 });",
            "a glaze given by its `parts` has no `SiO2` | give oxides or `parts`, not both",
        ),
        (
            "t.glaze(#{ parts: #{ whiting: 10 }, additons: #{ silica: 1 } });",
            "a glaze given by its `parts` has no `additons` | did you mean `additions`?",
        ),
        (
            "t.glaze(#{ CaO: 1, SiO2: 3, cone: \"66\" });",
            "`66` is no cone | such as \"04\", \"6\" or \"10\"",
        ),
        (
            "t.asked(#{ stepz: 3 }).check(#{ CaO: 1, SiO2: 3 });",
            "a request has no `stepz` | did you mean `steps`?",
        ),
        (
            "t.among(#{ notes: [#{ glaze: \"zz\", claay: \"buff\", pieces: 2 }] });",
            "`claay` is kept but not read | did you mean `clay`?",
        ),
        (
            "t.expect_level(t.check(#{ CaO: 1, SiO2: 3 }), \"cautoin\");",
            "no finding has the level `cautoin` | did you mean `caution`?",
        ),
        (
            "let found = t.check(#{ CaO: 1, SiO2: 3 }); print(found[0].message);",
            "findings aren't counted through | what they say is `findings.messages[0]`, what they are about `findings.subjects[0]`",
        ),
        (
            "t.glaze(#{ nam: \"x\", CaO: 1, SiO2: 3 });",
            "`nam` is no oxide that Glost knows | did you mean `name`?",
        ),
        (
            "t.glaze(#{ addition: #{ silica: 1 }, CaO: 1, SiO2: 3 });",
            "`addition` is no oxide that Glost knows | did you mean `additions`?",
        ),
        (
            "t.glaze(#{ CaO: 1, Si02: 3 });",
            "`Si02` is no oxide that Glost knows | did you mean `SiO2`?",
        ),
    ];
    for (body, wanted) in cases {
        let told = tested(&test_of(body)).join("\n");
        assert!(told.ends_with(wanted), "{body}: {told}");
    }
    assert_eq!(
        tested(&test_of("t.check(#{ CaO: 1, SiO2: 3, cone: \"04\" });")),
        [""; 0]
    );
}

#[test]
fn a_misspelt_column_is_told_with_the_nearest() {
    let text = "const ABOUT = #{ api: 1, kind: \"run\", title: \"t\", tables: #{ sales: [\"glaze: text\", \"pieces: number\"] } };\n\
                fn run(studio, option) { }\n\
                fn test_it(t) { t.run(#{ tables: #{ sales: [#{ glaze: \"a\", peices: 2 }] } }); t.claim(true, \"x\"); }\n";
    let told = tested(text).join("\n");
    assert!(
        told.ends_with("the table `sales` has no column `peices` | did you mean `pieces`?"),
        "{told}"
    );
    let told = tested(&text.replace("#{ sales: [#{", "#{ sale: [#{")).join("\n");
    assert!(
        told.ends_with("the script declares no table `sale` | did you mean `sales`?"),
        "{told}"
    );
}

#[test]
fn nothing_empty_or_unreadable_is_taken() {
    for body in [
        "glaze.caution(\"\", \"x\")",
        "glaze.fail(#{ subject: \"a\", message: \" \" })",
    ] {
        let told = value(&format!("let x = 1; {body}"));
        assert!(told.contains("of a finding is empty"), "{told}");
    }
    let about = |option: &str| {
        let text = check("").replace("source: \"s\"", &format!("source: \"s\", options: #{{ {option} }}"));
        load(&text).map_or_else(|why| said(&why), |_| "loads".to_owned())
    };
    assert!(about("most: #{ value: \"x\", min: 3 }").contains("`min` belongs to a number"));
    assert!(about("\"my opt\": #{ value: 3 }").contains("`my opt` is no name for an option"));
    assert_eq!(about("most: #{ value: 3, min: 3 }"), "loads");
}
