//! The shipped scripts: they load, and what their authors claim of them holds.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_script::{Kind, Scene, Script, ScriptStore, StudioOptions, limits_door, on_script_thread, template};

/// Longer than a script should be: the limits of four rules stand in it, each with its source.
const HOLDS_A_TABLE: [&str; 1] = ["run/lab-compare"];

#[test]
fn every_shipped_script_loads_and_its_tests_hold() {
    let store = ScriptStore::with_shipped();
    let all = store.all();
    let said: Vec<String> = all.broken.iter().map(|broken| support::said(&broken.why)).collect();
    assert!(said.is_empty(), "{said:#?}");
    let scene = support::scene();
    // As for a user: a script can ask for limits by name.
    let scene = Arc::new(Scene {
        limits: Some(limits_door(
            &Arc::new(ScriptStore::with_shipped()),
            &StudioOptions::default(),
        )),
        ..Scene::clone(&scene)
    });
    for script in all.scripts {
        assert!(script.is_shipped());
        // They are not looked through again as they load: here they are, as a user's would be.
        let own = Script::load(&script.name, script.source.clone());
        assert!(
            own.is_ok(),
            "{}: {}",
            script.name,
            own.err().map_or_else(String::new, |why| support::said(&why))
        );
        assert!(!script.tests.is_empty(), "{} has no tests", script.name);
        assert!(
            script.source.text.lines().count() <= 60 || HOLDS_A_TABLE.contains(&script.name.as_str()),
            "{} is long",
            script.name
        );
        let outcomes = on_script_thread(|| script.run_tests(&scene)).unwrap_or_else(|why| panic!("{why}"));
        for outcome in outcomes {
            let why: Vec<String> = outcome
                .failures
                .iter()
                .map(|failure| support::said(&failure.diagnostic(&script)))
                .chain(
                    outcome
                        .broke_off
                        .iter()
                        .map(|failure| support::said(&failure.diagnostic)),
                )
                .collect();
            assert!(outcome.passed(), "{} {}: {why:#?}", outcome.script, outcome.test);
        }
    }
}

#[test]
fn a_new_script_of_each_kind_passes_its_tests_unchanged() {
    let scene = support::scene();
    for kind in Kind::all() {
        let text = template(kind, &format!("{}/my-own", kind.word()));
        assert!(!text.contains("{{"), "{text}");
        let script = Script::load("my-own", Source::from_text("my-own.rhai", &text))
            .unwrap_or_else(|why| panic!("{}: {}", kind.word(), support::said(&why)));
        assert_eq!((script.about.kind, script.about.title.as_str()), (kind, "My own"));
        assert!(!script.purpose.is_empty());
        let outcomes = on_script_thread(|| script.run_tests(&scene)).unwrap_or_else(|why| panic!("{why}"));
        assert!(!outcomes.is_empty());
        for outcome in outcomes {
            assert!(outcome.passed(), "{} {outcome:?}", kind.word());
        }
    }
}
