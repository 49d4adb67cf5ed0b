//! Everything on the shelf is documented, and every example works.

mod support;

use glost_script::{Form, Script, Sort, on_script_thread, reference};

const SETTING: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\",
    options: #{ alkali_most: #{ value: 0.35 } } };
fn check(glaze, option) { glaze.nothing(\"R2O\", \"looked at\"); }
fn test_example(t) {
    let glaze = t.glaze(#{ parts: #{ \"potash feldspar\": 40, \"silica\": 30, \"whiting\": 20, \"kaolin\": 10 } });
    let u = glaze.unity;
    ";

#[test]
fn every_entry_says_what_it_is() {
    for entry in reference() {
        assert!(entry.about.ends_with('.'), "{}: {}", entry.name, entry.about);
        assert!(entry.about.len() <= 260, "{}: {}", entry.name, entry.about);
    }
    assert!(reference().len() > 150);
}

#[test]
fn every_example_works() {
    let scene = support::scene();
    let mut failed = Vec::new();
    let mut run = 0;
    for entry in reference().iter().filter(|entry| !entry.example.is_empty()) {
        let example = entry.example;
        // What only makes sense with a studio's own materials, or in other kinds of scripts.
        let example = example.replace("feldspar A", "potash feldspar");
        if example.contains("blend(") || example.starts_with("t.expect(") {
            continue;
        }
        let truth = example.contains("==") || entry.returns == Sort::YesNo;
        let line = if truth {
            format!("t.claim({example}, \"it holds\");")
        } else {
            format!("{example};")
        };
        let text = format!("{SETTING}{line}\n}}\n");
        let outcome = on_script_thread(|| {
            let script = Script::load(
                "check/example",
                glost_core::diagnostic::Source::from_text("example", &text),
            )?;
            Ok::<_, glost_core::diagnostic::Diagnostic>(script.run_tests(&scene))
        });
        run += 1;
        match outcome {
            Ok(Ok(outcomes)) if outcomes.iter().all(glost_script::TestOutcome::passed) && !outcomes.is_empty() => {}
            Ok(Ok(outcomes)) => failed.push(format!("{example}: {outcomes:?}")),
            Ok(Err(why)) => failed.push(format!("{example}: {}", support::said(&why))),
            Err(why) => failed.push(format!("{example}: {why}")),
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
    assert!(run > 20, "only {run} examples");
}

#[test]
fn names_that_scripts_use_are_on_the_shelf() {
    for name in ["fixed", "within", "unity", "caution", "solve", "materials", "request"] {
        assert!(reference().iter().any(|entry| entry.name == name), "{name}");
    }
    assert!(reference().iter().any(|entry| entry.form == Form::Index));
}
