//! What is known here, held against the engine line by line.

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_core::evidence::ware::read_clay;

use super::Compiled;
use super::calls::NATIVES;
use super::properties;
use crate::{Kind, Scene, Screening, Script, ScriptStore, on_script_thread};

#[test]
fn which_shipped_checks_are_compiled() {
    let store = ScriptStore::with_shipped();
    let left: Vec<String> = store
        .of_kind(Kind::CHECK)
        .scripts
        .iter()
        .filter(|script| Compiled::of(script).is_none())
        .map(|script| script.name.clone())
        .collect();
    // Its time goes into windows, which are worked out the same either way.
    assert_eq!(left, ["check/fit-on-clay"]);
}

const MATERIALS: &str = include_str!("../../../../materials/textbook.yaml");
const UNKNOWN: &str = "materials:\n  - { name: bought clear, kind: powder, analysis: unknown, source: bag label }\n";
const GLAZES: [&str; 3] = [
    "glaze: full\ncone: 6\natmosphere: oxidation\nware: raw\nuse: floor\nfiring: slow\nnotes: runs\npeak: 1230 C\n\
     parts: { potash feldspar: 38.5, silica: 26, whiting: 18, kaolin: 12, zinc oxide: 6 }\nadditions: { talc: 2 }\n",
    "glaze: bare\nparts: { silica: 30, kaolin: 70 }\n",
    "glaze: untold\nparts: { silica: 30, whiting: 20, bought clear: 50 }\n",
];

fn scene() -> Arc<Scene> {
    let mut library = Library::default();
    for text in [MATERIALS, UNKNOWN] {
        let (entries, complaints) = read_materials(&Source::from_text("materials.yaml", text));
        assert!(complaints.is_empty(), "{complaints:?}");
        library.add_layer(entries, false);
    }
    let clay = "clay: buff\nabsorption: 4.5\ncone: 6\n";
    Arc::new(Scene {
        library: Arc::new(library),
        clay: Some(Arc::new(read_clay(&Source::from_text("buff.yaml", clay)).unwrap())),
        ..Scene::default()
    })
}

fn glaze(scene: &Scene, text: &str) -> Arc<Glaze> {
    let source = Source::from_text("glaze.yaml", text);
    let read = read_glaze(&source, Millilitres::METRIC_CUP).unwrap_or_else(|why| panic!("{why:?}"));
    Arc::new(read.resolve(&scene.library).unwrap_or_else(|why| panic!("{why:?}")))
}

fn check(statements: &str) -> String {
    let head =
        "const ABOUT = #{ api: 1, kind: \"check\", title: \"t\", source: \"s\" };\nconst METALS = [\"CoO\", \"ZnO\"];";
    format!("{head}\nfn check(glaze, option) {{\n{statements}\n}}\n")
}

/// Holds statements by the engine against the same compiled; how many went through compiled.
/// What the engine won't load is nothing to hold.
fn held(scene: &Arc<Scene>, glazes: &[Arc<Glaze>], statements: &str) -> usize {
    let Ok(script) = Script::load("check/held", Source::from_text("held.rhai", &check(statements))) else {
        return 0;
    };
    let screening = Screening::new([(&script, &Vec::new())]).unwrap();
    let mut through = 0;
    for glaze in glazes {
        let before = screening.left_to_the_engine();
        let compiled = screening.screen(glaze, scene).unwrap();
        let alone = script.check(glaze, scene, &[]).unwrap();
        assert_eq!(compiled.findings, alone.findings, "{statements} on {}", glaze.name);
        through += usize::from(script.is_compiled() && screening.left_to_the_engine() == before);
    }
    through
}

fn on_glazes(what: impl Fn(&Arc<Scene>, &[Arc<Glaze>]) + Sync) {
    let scene = scene();
    let glazes = GLAZES.map(|text| glaze(&scene, text));
    on_script_thread(|| what(&scene, &glazes)).unwrap();
}

#[test]
fn every_property_reads_as_the_engine_reads_it() {
    on_glazes(|scene, glazes| {
        for name in properties::names() {
            let shown = format!("glaze.nothing(\"x\", `${{of.{name}}} ${{of.{name} == ()}}`);");
            let ways = [
                format!("let of = glaze; {shown}"),
                format!("let of = glaze.unity; {shown}"),
                format!("let of = glaze.known_oxides; {shown}"),
                format!("let of = glaze.clay; {shown}"),
                format!("let of = METALS; {shown}"),
                format!("let of = glaze.name; {shown}"),
                format!("for of in glaze.batch {{ {shown} }}"),
                format!("for line in glaze.batch {{ let of = line.material; {shown} }}"),
                format!("let of = glaze.{name}; glaze.nothing(\"x\", `${{of.SiO2}} ${{of.total}}`);"),
                format!("for of in glaze.{name} {{ glaze.nothing(\"x\", `${{of.name}} ${{of.percent}}`); }}"),
                format!("for of in glaze.{name} {{ glaze.nothing(\"x\", `${{of}}`); }}"),
                format!("for line in glaze.batch {{ glaze.nothing(\"x\", `${{line.material.{name}.SiO2}}`); }}"),
                format!("glaze.nothing(\"x\", `${{glaze.{name}.name}}`);"),
            ];
            let through: usize = ways.iter().map(|way| held(scene, glazes, way)).sum();
            assert!(through > 0, "{name} is never read compiled");
        }
    });
}

const VALUES: [&str; 15] = [
    "()",
    "true",
    "3",
    "-2",
    "0",
    "2.5",
    "-0.125",
    "9223372036854775807",
    "\"ZnO\"",
    "\"kaolin\"",
    "\"06\"",
    "\"\"",
    "glaze",
    "glaze.known_oxides",
    "METALS",
];

#[test]
fn every_call_gives_what_the_engine_gives() {
    on_glazes(|scene, glazes| {
        let one = &glazes[..1];
        for (name, arity, _) in NATIVES {
            let second: &[&str] = if arity > 1 { &VALUES } else { &[""] };
            let third: &[&str] = if arity > 2 { &["\"O\"", "1", "0.5", "()"] } else { &[""] };
            let mut through = 0;
            for first in VALUES {
                for second in second {
                    for third in third {
                        let values = [first, second, third];
                        let values = values[..arity].join(", ");
                        through += held(scene, one, &format!("glaze.nothing(\"x\", `${{{name}({values})}}`);"));
                        let each = format!("for x in {name}({values}) {{ glaze.nothing(\"y\", x); }}");
                        through += held(scene, one, &each);
                    }
                }
            }
            assert!(through > 0, "{name} never went through compiled");
        }
    });
}

#[test]
fn every_operator_gives_what_the_engine_gives() {
    on_glazes(|scene, glazes| {
        let one = &glazes[..1];
        for sign in ["+", "-", "*", "/", "%", "==", "!=", "<", "<=", ">", ">="] {
            let mut through = 0;
            for left in VALUES {
                for right in VALUES {
                    through += held(
                        scene,
                        one,
                        &format!("glaze.nothing(\"x\", `${{{left} {sign} {right}}}`);"),
                    );
                    if ["+", "-", "*"].contains(&sign) {
                        let changed = format!("let v = {left}; v {sign}= {right}; glaze.nothing(\"x\", `${{v}}`);");
                        through += held(scene, one, &changed);
                    }
                }
            }
            assert!(through > 0, "{sign} never went through compiled");
        }
    });
}
