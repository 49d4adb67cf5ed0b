//! Many glazes through the same checks: what is found is what each check finds alone.

mod support;

use glost_chemistry::diagnostic::Source;
use glost_script::{Screening, Script, ScriptStore, on_script_thread};
use support::{CLEAR, glaze, scene};

const LIMITS: &str = "const ABOUT = #{ api: 1, kind: \"limits\", title: \"Own\", source: \"own\" };
fn limits(glaze, option) { #{ SiO2: [9, 10], Al2O3: [0, 1] } }
";

#[test]
fn a_screening_finds_what_the_checks_find_alone() {
    let scene = scene();
    let store = ScriptStore::with_shipped();
    let limits = Script::load("limits/own", Source::from_text("own.rhai", LIMITS)).unwrap();
    let mut scripts = store.of_kind(glost_script::Kind::CHECK).scripts;
    scripts.push(limits);
    let none = Vec::new();
    let screening = Screening::new(scripts.iter().map(|script| (script, &none))).unwrap();
    for text in [
        CLEAR,
        "glaze: dark\nparts: { silica: 30, bought clear: 70 }\nadditions: { cobalt carbonate: 2 }\n",
        "glaze: no flux\nparts: { silica: 30 }\n",
    ] {
        let glaze = glaze(&scene, text);
        let alone: Vec<_> = scripts
            .iter()
            .flat_map(|script| script.check(&glaze, &scene, &[]).unwrap().findings)
            .collect();
        let screened = on_script_thread(|| screening.screen(&glaze, &scene)).unwrap().unwrap();
        assert_eq!(screened.findings, alone);
    }
}
