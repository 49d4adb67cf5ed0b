//! Checks that many glazes go through compiled find what the engine finds, or fail as it does.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::Glaze;
use glost_core::evidence::ware::{Clay, read_clay};
use glost_core::rules::Level;
use glost_script::{Bounds, Checked, Kind, Scene, Screening, Script, ScriptStore, on_script_thread};
use support::{glazes, load, scene, scripts};

/// What came of it, in words that can be compared.
fn told(checked: &Checked) -> String {
    let failure = checked.failure.as_ref().map(|failure| &failure.diagnostic);
    format!(
        "{:#?}\n{failure:?}\n{:?}\n{:?}",
        checked.findings, checked.out_of_bounds, checked.printed
    )
}

/// Holds a script's findings by the engine against those of a screening.
fn same(script: &Arc<Script>, screening: &Screening, glaze: &Arc<Glaze>, scene: &Arc<Scene>) -> Checked {
    let alone = script.check_among_others(glaze, scene, &[]).unwrap();
    let screened = screening.screen(glaze, scene).unwrap();
    let text = &script.source.text;
    assert_eq!(
        told(&screened),
        told(&alone),
        "{} on {}\n{text}",
        script.name,
        glaze.name
    );
    alone
}

/// Checks put together by chance.
const MADE_UP: usize = 400;

fn screening_of(script: &Arc<Script>) -> Screening {
    Screening::new([(script, &Vec::new())]).unwrap()
}

fn clay() -> Clay {
    let source = Source::from_text("buff.yaml", "clay: buff\nabsorption: 4.5\ncone: 6\n");
    read_clay(&source).unwrap_or_else(|why| panic!("{why:?}"))
}

/// Two studios: one with nothing but materials, one with a clay, and students.
fn scenes() -> Vec<Arc<Scene>> {
    let plain = scene();
    let on_clay = Scene {
        clay: Some(Arc::new(clay())),
        students: true,
        ..Scene::clone(&plain)
    };
    vec![plain, Arc::new(on_clay)]
}

#[test]
fn shipped_checks_find_the_same_compiled() {
    let scripts = ScriptStore::with_shipped().of_kind(Kind::CHECK).scripts;
    on_script_thread(|| {
        for script in &scripts {
            let screening = screening_of(script);
            let mut failed = 0;
            for scene in scenes() {
                for number in 0..150 {
                    let glaze = glazes::made_up(&scene, number);
                    let found = same(script, &screening, &glaze, &scene).findings;
                    failed += usize::from(found.iter().any(|found| found.level == Level::NotChecked));
                }
            }
            // Nothing but what goes wrong anyway is left to the engine.
            let left = screening.left_to_the_engine();
            assert!(left <= failed, "{} {left} {failed}", script.name);
        }
    })
    .unwrap();
}

#[test]
fn made_up_checks_find_the_same_compiled() {
    let scene = scenes().remove(1);
    let glazes: Vec<Arc<Glaze>> = (0..8).map(|number| glazes::made_up(&scene, 1_000 + number)).collect();
    let (mut loaded, mut compiled, mut went_through) = (0, 0, 0);
    on_script_thread(|| {
        for number in 0..MADE_UP {
            // What is no script is refused before anything is compiled.
            let Ok(script) = load(&scripts::made_up(number)) else {
                continue;
            };
            loaded += 1;
            compiled += usize::from(script.is_compiled());
            let screening = screening_of(&script);
            for glaze in &glazes {
                same(&script, &screening, glaze, &scene);
            }
            went_through += usize::from(screening.left_to_the_engine() < glazes.len());
        }
    })
    .unwrap();
    println!("{loaded} loaded, {compiled} compiled, {went_through} went through on some glaze");
    assert!(loaded * 3 > MADE_UP && compiled * 10 > loaded * 9 && went_through * 3 > compiled);
}

#[test]
fn bounds_hold_for_what_is_compiled() {
    let glaze = glazes::made_up(&scene(), 3);
    let body =
        "for a in glaze.batch { for b in METALS { for c in METALS { glaze.nothing(b, `${c} ${a.percent}`); } } }";
    let loops = format!("const METALS = {:?};\n{}", ["CoO"; 40], support::check(body));
    let shipped = ScriptStore::with_shipped().of_kind(Kind::CHECK).scripts;
    let loops = load(&loops).unwrap();
    assert!(loops.is_compiled());
    on_script_thread(|| {
        for operations in [1, 10, 30, 60, 100, 200, 400, 1_000, 3_000, 10_000, 30_000, 500_000] {
            for output_bytes in [1, 100, 64 << 10] {
                let bounds = Bounds {
                    operations,
                    output_bytes,
                    ..Bounds::default()
                };
                let scene = Arc::new(Scene {
                    bounds: Some(bounds),
                    ..Scene::clone(&scene())
                });
                for script in shipped.iter().chain([&loops]) {
                    same(script, &screening_of(script), &glaze, &scene);
                }
            }
        }
    })
    .unwrap();
}

#[test]
fn what_is_not_known_is_the_engines() {
    let scene = scene();
    let glaze = glazes::made_up(&scene, 5);
    for body in [
        "let i = 0; while i < 3 { i += 1; } glaze.caution(\"i\", `${i}`);",
        "glaze.caution(\"n\", glaze.parts.names.map(|name| name.to_upper()).join(\" \"));",
        "try { throw \"x\"; } catch (why) { glaze.caution(\"x\", why); }",
        "let list = []; list.push(1); glaze.caution(\"x\", `${list}`);",
        "print(\"seen\"); glaze.caution(\"x\", \"y\");",
        "let n = 7; n %= 2; glaze.caution(\"x\", `${n}`);",
        "for i in 0..3 { glaze.caution(\"x\", `${i}`); }",
        "glaze.caution(\"x\", `${glaze.with_part(\"silica\", 3).raw_clay}`);",
    ] {
        let script = load(&support::check(body)).unwrap();
        assert!(!script.is_compiled(), "{body}");
        on_script_thread(|| drop(same(&script, &screening_of(&script), &glaze, &scene))).unwrap();
    }
}

#[test]
fn order_and_copies_are_the_engines() {
    let scene = scene();
    let glaze = glazes::made_up(&scene, 5);
    for body in [
        "let a = #{ subject: \"a\", message: \"one\" }; let b = a; b.message = \"two\"; glaze.caution(a); glaze.caution(b);",
        "let x = 1; if true { let x = 2; x += 5; } glaze.caution(\"x\", `${x}`); let x = \"again\"; glaze.caution(\"x\", x);",
        "let x = 5; x = if x > 3 { let y = x; y * 2 } else { 0 }; glaze.caution(\"x\", `${x} ${x / 4} ${7 / 2} ${7 % 4}`);",
        "glaze.caution(\"x\", `${9223372036854775807 + 1}`);",
        "glaze.caution(\"x\", `${1 / 0}`);",
        "let s = \"a\"; s += 1; s += 2.50; s += true; glaze.caution(\"x\", s);",
        "let z = 0.0; z -= 0.0; glaze.caution(\"x\", `${z} ${-z} ${fixed(-0.001, 2)} ${0.1 + 0.2} ${1.0} ${1e15} ${123456789.123456}`);",
        "glaze.caution(\"x\", \"y\"); glaze.unity.SiO2",
        "glaze.caution(\"x\", \"before\"); let n = 1; if glaze.name != \"none\" { n = \"a\"; } if n > 3 { return; } glaze.caution(\"x\", \"after\");",
        "for x in [3, 1, 2] { if x == 1 { continue; } glaze.caution(\"x\", `${x}`); if x == 2 { break; } }",
        "let f = #{ subject: \"a\" }; f.message += \"x\"; glaze.caution(f);",
        "glaze.caution(\"x\", \"y\", 3);",
        "glaze.caution(#{ subject: \"x\", message: \"y\", value: 3 });",
        "glaze.caution(#{ subject: \"x\", value: 3 });",
    ] {
        let script = load(&support::check(body)).unwrap_or_else(|why| panic!("{body}\n{why:?}"));
        assert!(script.is_compiled(), "{body}");
        on_script_thread(|| drop(same(&script, &screening_of(&script), &glaze, &scene))).unwrap();
    }
}
