//! Libraries: functions that several scripts share.

mod support;

use glost_chemistry::diagnostic::Source;
use glost_core::rules::Whose;
use glost_script::{Bounds, Scene, ScriptStore};

const LIBRARY: &str = "// Limits that several rules share.
const MOST = 0.3;
fn much(unity) { unity.K2O + unity.Na2O > MOST }
fn twice(x) { helper(x) * 2 }
fn helper(x) { x }
fn fails(x) { try { return x / 0; } catch (oops) { return `caught: ` + oops; } }
fn test_twice(t) { t.equal(twice(2), 4); }
";

fn check(top: &str, body: &str) -> String {
    format!(
        "{top}\nconst ABOUT = #{{ api: 1, kind: \"check\", title: \"x\" }};\nfn check(glaze, option) {{ {body} }}\n"
    )
}

fn store(own: &str) -> ScriptStore {
    let mut store = ScriptStore::new();
    store.add_studio("lib/much", Source::from_text("lib/much.rhai", LIBRARY));
    store.add_studio("check/own", Source::from_text("check/own.rhai", own));
    store
}

fn found(own: &str) -> String {
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    match store(own).find("check/own") {
        Err(why) => support::said(&why),
        Ok(script) => match script.check(&glaze, &scene, &[]) {
            Ok(checked) => checked
                .findings
                .iter()
                .filter_map(|finding| finding.message.text().map(str::to_owned))
                .collect(),
            Err(failure) => support::said(&failure.diagnostic),
        },
    }
}

#[test]
fn what_a_library_catches_is_a_text() {
    let own = check("import \"lib/much\" as m;", "glaze.caution(\"x\", m::fails(3));");
    assert_eq!(found(&own), "caught: division by zero");
}

#[test]
fn functions_and_constants_of_a_library_are_used() {
    let own = check(
        "import \"lib/much\" as m;",
        "if !m::much(glaze.unity) { glaze.caution(\"x\", `${m::twice(21)}`); }",
    );
    assert_eq!(found(&own), "42");
    // Closures know it too.
    let own = check(
        "import \"lib/much\" as m;",
        "let all = [1, 2].map(|x| m::twice(x)); glaze.caution(\"x\", `${all.sum()}`);",
    );
    assert_eq!(found(&own), "6");
}

#[test]
fn what_a_library_has_not_is_told_at_load() {
    for (top, body, said) in [
        (
            "import \"lib/much\" as m;",
            "m::mutch(1);",
            "the library `m` has no function `mutch` | did you mean `much`?",
        ),
        (
            "import \"lib/much\" as m;",
            "m::twice(1, 2);",
            "`m::twice` takes 1 value, it is given 2",
        ),
        (
            "import \"lib/much\" as m;",
            "n::twice(1);",
            "no library is imported as `n`",
        ),
        (
            "import \"lib/mutch\" as m;",
            "",
            "there is no library `lib/mutch` here | did you mean `lib/much`?",
        ),
        (
            "import \"../../etc/passwd\" as m;",
            "",
            "is no library: they lie in `lib/`",
        ),
        ("import \"lib/../much\" as m;", "", "is no library: they lie in `lib/`"),
        (
            "",
            "import \"lib/much\" as m;",
            "an import stands at the top of a script",
        ),
        ("import \"lib/much\";", "", "each import needs a name of its own"),
    ] {
        let why = found(&check(top, body));
        assert!(why.contains(said), "{why}");
    }
}

#[test]
fn a_library_stands_by_itself_and_is_tested() {
    let mut store = store("");
    store.add_studio(
        "lib/self",
        Source::from_text("lib/self.rhai", "import \"lib/self\" as s;\nfn f() { s::f() }"),
    );
    let libraries = store.libraries();
    let names: Vec<&str> = libraries.broken.iter().map(|broken| broken.name.as_str()).collect();
    assert_eq!(names, ["lib/self"]);
    let outcomes = libraries.scripts[0].run_tests(&support::scene());
    assert!(outcomes.len() == 1 && outcomes[0].passed(), "{outcomes:?}");
}

/// A package's scripts see the package's own libraries, and nobody else does.
#[test]
fn libraries_of_packages_stay_with_them() {
    let club = |name: &str| Whose::Package {
        instead: false,
        name: name.to_owned(),
        version: "1".to_owned(),
    };
    let own = check("import \"lib/much\" as m;", "glaze.caution(\"x\", `${m::twice(1)}`);");
    let mut store = ScriptStore::new();
    let text = |text: &str| Ok(Source::from_text("x.rhai", text));
    store.add("lib/much", text(LIBRARY), club("one"));
    store.add("check/one", text(&own), club("one"));
    store.add("check/other", text(&own), club("other"));
    store.add("check/mine", text(&own), Whose::Yours);
    assert!(store.find("check/one").is_ok());
    assert!(store.find("check/other").is_err() && store.find("check/mine").is_err());
}

/// Bounds are those of the caller.
#[test]
fn a_loop_in_a_library_ends() {
    let mut store = ScriptStore::new();
    store.add_studio(
        "lib/l",
        Source::from_text("l.rhai", "fn for_ever() { let x = 0; loop { x += 1; } }"),
    );
    let own = check("import \"lib/l\" as l;", "l::for_ever();");
    store.add_studio("check/own", Source::from_text("own.rhai", &own));
    let scene = std::sync::Arc::new(Scene {
        bounds: Some(Bounds {
            operations: 10_000,
            ..Bounds::default()
        }),
        ..Scene::clone(&support::scene())
    });
    let script = store.find("check/own").unwrap_or_else(|why| panic!("{why:?}"));
    let failure = script.check(&support::glaze(&scene, support::CLEAR), &scene, &[]).err();
    assert_eq!(failure.map(|failure| failure.exit_code()), Some(3));
}
