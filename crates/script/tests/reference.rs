//! Everything on the shelf is documented, and every example works.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::read::parse_csv;
use glost_core::evidence::notes::Notes;
use glost_core::evidence::ware::read_clay;
use glost_script::{
    Entry, Form, GROUPS, Scene, Script, ScriptStore, Sort, StudioNotebook, definitions, on_script_thread, reference,
};

/// A `run` script sees the most; what is a test's is tried in a check's test.
const IN_A_FAULT: &str = "const ABOUT = #{ api: 1, kind: \"fault\", title: \"x\", faults: [\"specks\"] };
fn fault(glaze, seen, option) { ";
const IN_A_CHECK: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"x\" };
fn check(glaze, option) { ";
const IN_A_RUN: &str = "const ABOUT = #{ api: 1, kind: \"run\", title: \"t\",
    options: #{ most: #{ value: 0.35 } }, tables: #{ sales: [\"glaze\", \"pieces: number\"] } };
fn run(studio, option) {
    let glaze = studio.glazes[0];
    let u = glaze.unity;
    let line = glaze.parts[0];
    let clay = glaze.clay;
    let material = materials[\"whiting\"];
    let proposal = materials.solve(#{ match: glaze, without: [\"whiting\"], with: [\"wollastonite\"] })[0];
    let note = studio.notes[0];
    let fit = glaze.fit(clay);
    let band = fit.craze_threshold;
    let row = studio.table(\"sales\")[0];
    let list = [1, 2];
    let option_most = option.most;
    ";
const IN_A_TEST: &str = "const ABOUT = #{ api: 1, kind: \"KIND\", title: \"t\" MORE,
    options: #{ alkali_most: #{ value: 0.35 } } };
ENTRY
fn test_example(t) {
    let glaze = t.glaze(#{ parts: #{ \"potash feldspar\": 40, \"silica\": 30, \"whiting\": 20, \"kaolin\": 10 } });
    let ends = [glaze, glaze];
    ";

const NOTES: &str = r#"{"on":"2026-01-01","glaze":"Ashford clear","clay":"buff stoneware","age_days":200,"pieces":10,"crazed":0,"grades":{"gloss":4}}"#;

fn scene() -> Arc<Scene> {
    let scene = support::scene();
    let clay = read_clay(&Source::from_text(
        "c.yaml",
        "clay: buff stoneware\nabsorption: 2\nsource: own\n",
    ));
    let clear = support::glaze(&scene, &format!("{}clay: buff stoneware\n", support::CLEAR));
    let mut scene = Scene {
        glazes: vec![clear.clone()],
        notebook: Some(Arc::new(StudioNotebook {
            notes: Notes::read(&Source::from_text("notes.jsonl", NOTES)).0,
            glazes: vec![clear.clone()],
            ..StudioNotebook::default()
        })),
        clays: vec![Arc::new(clay.unwrap_or_else(|why| panic!("{why:?}")))],
        ..Scene::clone(&scene)
    };
    let script = load(&format!("{IN_A_RUN}}}\n")).unwrap_or_else(|why| panic!("{}", support::said(&why)));
    let csv = parse_csv(&Source::from_text("s.csv", "glaze,pieces\nAshford clear,3\n"));
    let csv = csv.unwrap_or_else(|why| panic!("{why:?}"));
    let given = script.about.tables[0].hand_over(&csv, &scene);
    scene.tables = vec![Arc::new(given.unwrap_or_else(|why| panic!("{why:?}")))];
    Arc::new(scene)
}

fn load(text: &str) -> Result<Arc<Script>, Diagnostic> {
    Script::load("example", Source::from_text("example", text))
}

/// The example as a statement; what is true or false has to be true.
fn statement(entry: &Entry, claim: &str) -> String {
    let example = entry.shown_example().replace("feldspar A", "potash feldspar");
    if example.contains("==") {
        return claim.replace("IT", &example);
    }
    match entry.returns {
        Sort::Nothing => format!("{example};"),
        _ if example.contains("+=") || example.starts_with("for ") => format!("{example};"),
        _ => format!("let found = {example};"),
    }
}

fn runs(entry: &Entry, scene: &Arc<Scene>) -> Result<(), String> {
    let said = |why: &Diagnostic| support::said(why);
    if entry.owner == Sort::Seen {
        let line = statement(entry, "if !(IT) { throw \"it doesn't hold\"; }");
        let script = load(&format!("{IN_A_FAULT}{line} [] }}\n")).map_err(|why| said(&why))?;
        let found = script.fault(&scene.glazes[0], "specks", None, scene, &[]);
        return found.map(|_| ()).map_err(|failure| said(&failure.diagnostic));
    }
    if entry.owner == Sort::Glaze && entry.returns == Sort::Nothing {
        let line = statement(entry, "");
        let script = load(&format!("{IN_A_CHECK}{line} }}\n")).map_err(|why| said(&why))?;
        let checked = script.check(&scene.glazes[0], scene, &[]);
        return checked.map(|_| ()).map_err(|failure| said(&failure.diagnostic));
    }
    if !matches!(entry.owner, Sort::Tester | Sort::Findings) {
        let line = statement(entry, "if !(IT) { throw \"it doesn't hold\"; }");
        let script = load(&format!("{IN_A_RUN}{line}\n}}\n")).map_err(|why| said(&why))?;
        return match script.report(scene, &[]) {
            Ok(_) => Ok(()),
            Err(failure) => Err(said(&failure.diagnostic)),
        };
    }
    let (kind, function) = match entry.name {
        "limits" => ("limits", "fn limits(glaze, option) { #{ SiO2: [2, 5] } }"),
        "swap" => ("swap", "fn swap(glaze, option) { glaze }"),
        "blend" | "asked" => ("blend", "fn blend(ends, option) { [[1, 0], [0, 1]] }"),
        "fault" => ("fault", "fn fault(glaze, seen, option) { [] }"),
        "run" => ("run", "fn run(studio, option) { say(studio.glazes.len); }"),
        "expect" => ("check", "fn check(glaze, option) { glaze.caution(\"R2O\", \"much\"); }"),
        _ => (
            "check",
            "fn check(glaze, option) { glaze.nothing(\"R2O\", \"looked at\"); }",
        ),
    };
    let more = if kind == "fault" { ", faults: [\"specks\"]" } else { "" };
    let text = IN_A_TEST
        .replace("KIND", kind)
        .replace("MORE", more)
        .replace("ENTRY", function);
    let line = statement(entry, "t.claim(IT, \"it holds\");");
    let script = load(&format!("{text}{line}\n    t.claim(true, \"it ran\");\n}}\n")).map_err(|why| said(&why))?;
    let outcomes = script.run_tests(scene);
    match outcomes.iter().find(|outcome| !outcome.passed()) {
        None => Ok(()),
        Some(outcome) => Err(format!("{outcome:?}")),
    }
}

#[test]
fn every_entry_says_what_it_is() {
    for entry in reference() {
        assert!(entry.about.ends_with('.'), "{}: {}", entry.name, entry.about);
        assert!(entry.about.len() <= 280, "{}: {}", entry.name, entry.about);
        assert!(GROUPS.contains(&entry.group()), "{}", entry.group());
    }
    assert!(reference().len() > 150);
}

#[test]
fn every_point_about_the_language_holds() {
    let scene = scene();
    for point in glost_script::LANGUAGE {
        let body = point.example.split(" //").next().unwrap();
        let text = format!(
            "const ABOUT = #{{ api: 1, kind: \"check\", title: \"t\" }};\n\
             fn check(glaze, option) {{ glaze.nothing(\"a\", \"b\"); }}\nfn it() {{ {body} }}\n\
             fn test_it(t) {{ t.equal(it(), true); }}\n"
        );
        let script = load(&text).unwrap_or_else(|why| panic!("{}: {}", point.title, support::said(&why)));
        let outcomes = on_script_thread(|| script.run_tests(&scene)).unwrap();
        assert!(
            outcomes.iter().all(glost_script::TestOutcome::passed),
            "{}: {outcomes:?}",
            point.title
        );
    }
}

#[test]
fn every_example_works() {
    let scene = scene();
    let failed = on_script_thread(|| {
        let mut failed = Vec::new();
        for entry in reference() {
            if let Err(why) = runs(entry, &scene) {
                failed.push(format!("{}: {why}", entry.shown_example()));
            }
        }
        failed
    });
    let failed = failed.unwrap_or_else(|why| panic!("{why}"));
    assert!(failed.is_empty(), "{failed:#?}");
}

/// Names after a dot, and names before a bracket, in a script's text.
fn names_used(text: &str) -> Vec<String> {
    let code: String = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n");
    let signs: Vec<char> = code.chars().collect();
    let mut names = Vec::new();
    let mut in_text = false;
    let mut index = 0;
    while index < signs.len() {
        if signs[index] == '"' {
            in_text = !in_text;
        }
        let starts = signs[index].is_alphabetic() || signs[index] == '_';
        if in_text || !starts {
            index += 1;
            continue;
        }
        let start = index;
        while index < signs.len() && (signs[index].is_alphanumeric() || signs[index] == '_') {
            index += 1;
        }
        let after_dot = start > 0 && signs[start - 1] == '.' && (start < 2 || signs[start - 2] != '.');
        let called = signs.get(index) == Some(&'(');
        if after_dot || called {
            names.push(signs[start..index].iter().collect());
        }
    }
    names
}

#[test]
fn names_that_shipped_scripts_use_are_on_the_shelf() {
    let store = ScriptStore::with_shipped();
    for script in store.all().scripts {
        let text = script.source.text.to_string();
        let own = |name: &str| {
            text.contains(&format!("fn {name}("))
                || script.about.options.iter().any(|option| option.name == name)
                || script
                    .about
                    .tables
                    .iter()
                    .any(|table| table.columns.iter().any(|column| column.name == name))
                || text.contains(&format!("{name}:"))
                || text.contains(&format!(".{name} ="))
        };
        for name in names_used(&text) {
            // What plain tables hold is told in the line of what gives them.
            let known = reference().iter().any(|entry| {
                entry.name == name
                    || entry
                        .about
                        .split(|sign: char| !sign.is_alphanumeric())
                        .any(|word| word == name)
            });
            // What `t.run` gives back has the columns of the script.
            let of_a_run = text.contains(&format!("\"{name}\""));
            let word = matches!(
                name.as_str(),
                "if" | "while" | "for" | "return" | "catch" | "switch" | "in"
            );
            assert!(known || own(&name) || of_a_run || word, "{}: {name}", script.name);
        }
    }
    assert!(reference().iter().any(|entry| entry.form == Form::Index));
}

#[test]
fn definitions_name_everything_but_operators() {
    let text = definitions();
    assert!(text.contains("\nmodule static;\n"));
    for entry in reference()
        .iter()
        .filter(|entry| !matches!(entry.form, Form::Operator | Form::Index))
    {
        assert!(text.contains(entry.name), "{}", entry.name);
    }
}
