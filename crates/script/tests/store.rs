//! The store: a studio's scripts over the shipped ones, checks by use, rules for plans.

mod support;

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_core::rules::{Level, Rules};
use glost_script::{Kind, Request, Scene, Script, ScriptRules, ScriptStore, StudioOptions};

#[test]
fn names_are_found_whole_or_by_their_last_word() {
    let store = ScriptStore::with_shipped();
    assert_eq!(
        store.find("alkali-balance").map(|script| script.name.clone()).ok(),
        Some("check/alkali-balance".to_owned())
    );
    assert!(store.find("swap/closest").is_ok());
    let why = store.find("check/alkali-balence").err();
    assert_eq!(
        why.as_ref().map(support::said),
        Some("nowhere no script is called `check/alkali-balence` | did you mean `check/alkali-balance`?".to_owned())
    );
}

#[test]
fn a_studio_script_takes_the_place_of_a_shipped_one() {
    let mut store = ScriptStore::with_shipped();
    let own = store
        .find("alkali-balance")
        .map(|script| script.source.text.replace("value: 0.35", "value: 0.1"));
    store.add_studio(
        "check/alkali-balance",
        Source::from_text("scripts/check/alkali-balance.rhai", &own.unwrap_or_default()),
    );
    assert_eq!(store.overlaid(), ["check/alkali-balance"]);
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let script = store
        .find("check/alkali-balance")
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert!(!script.is_shipped());
    assert_eq!(script.whose.to_string(), "yours, instead of the shipped");
    let checked = script
        .check(&glaze, &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert_eq!(checked.findings[0].level, Level::Caution);
    assert_eq!(checked.findings[0].high, Some(0.1));
}

#[test]
fn checks_run_for_the_use_they_are_meant_for() {
    let store = ScriptStore::with_shipped();
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let scripts = |scene: &Arc<Scene>| -> Vec<String> {
        let checked = store.run_checks(&glaze, scene, &StudioOptions::default());
        checked.map_or(Vec::new(), |checked| {
            checked.findings.iter().map(|found| found.script.to_string()).collect()
        })
    };
    assert!(scripts(&scene).contains(&"check/alkali-balance".to_owned()));
    let floor = Arc::new(Scene {
        usage: Some(glost_chemistry::glaze::Use::Floor),
        ..(*scene).clone()
    });
    assert!(!scripts(&floor).contains(&"check/alkali-balance".to_owned()));
    assert!(scripts(&floor).contains(&"check/metals-of-concern".to_owned()));
}

#[test]
fn limits_are_ranges_and_findings() {
    let store = ScriptStore::with_shipped();
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let rules = ScriptRules {
        store: &store,
        scene: scene.clone(),
        options: StudioOptions::default(),
    };
    let set = rules
        .ranges("limits/stoneware-cone-8-12", &glaze)
        .unwrap_or_else(|why| panic!("{why:?}"));
    let silica = set.ranges.iter().find(|range| range.subject.name() == "SiO2");
    assert_eq!(
        silica.map(|range| (range.low, range.high)),
        Some((Some(3.0), Some(5.0)))
    );
    let script = store
        .find("limits/stoneware-cone-8-12")
        .unwrap_or_else(|why| panic!("{why:?}"));
    let checked = script
        .check(&glaze, &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert!(
        checked
            .findings
            .iter()
            .all(|found| found.level == Level::Caution && !found.source.is_empty())
    );
    assert_eq!(
        rules.ranges("check/alkali-balance", &glaze).err().map(|why| why.code),
        Some("wrong-script-kind")
    );
    assert!(!rules.findings(&glaze).is_empty());
}

#[test]
fn an_unknown_powder_is_not_checked_by_limits_and_metals() {
    let store = ScriptStore::with_shipped();
    let scene = support::scene();
    let glaze = support::glaze(&scene, &format!("{}cone: 6\n", support::BOUGHT));
    for name in [
        "limits/cone-6",
        "check/metals-of-concern",
        "check/matt-or-gloss",
        "check/alkali-balance",
    ] {
        let script = store.find(name).unwrap_or_else(|why| panic!("{why:?}"));
        let checked = script
            .check(&glaze, &scene, &[])
            .unwrap_or_else(|why| panic!("{why:?}"));
        assert_eq!(checked.findings.len(), 1, "{name}");
        assert_eq!(checked.findings[0].level, Level::NotChecked, "{name}");
        assert_eq!(&*checked.findings[0].subject, "bought clear", "{name}");
    }
}

#[test]
fn swaps_and_blends_come_back_as_recipes_and_shares() {
    let store = ScriptStore::with_shipped();
    let scene = support::scene();
    let glaze = support::glaze(&scene, support::CLEAR);
    let out = scene.library.find("potash feldspar").cloned();
    let request = Request {
        out: out.into_iter().collect(),
        show: 3,
        ..Request::default()
    };
    let closest = store.find("swap/closest").unwrap_or_else(|why| panic!("{why:?}"));
    let found = closest
        .swap(&glaze, request.clone(), &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert!(
        found.recipes[0]
            .glaze
            .portions()
            .any(|portion| portion.material.name == "spar one")
    );
    let plain = store.find("swap/one-for-one").unwrap_or_else(|why| panic!("{why:?}"));
    let found = plain
        .swap(&glaze, request, &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert_eq!(found.recipes.len(), 1);
    let line = store.find("blend/line").unwrap_or_else(|why| panic!("{why:?}"));
    let request = Request {
        steps: 3,
        ..Request::default()
    };
    let tiles = line
        .blend(&[glaze.clone(), glaze.clone()], request.clone(), &scene, &[])
        .unwrap_or_else(|why| panic!("{why:?}"));
    assert_eq!(tiles.rows[0][1].shares, [0.5, 0.5]);
    let why = line.blend(&[glaze], request, &scene, &[]).err();
    assert_eq!(
        why.map(|failure| support::said(&failure.diagnostic)),
        Some("13:24 a line goes between two glazes, not 1 | no help".to_owned())
    );
    assert_eq!(store.of_kind(Kind::LIMITS).scripts.len(), 8);
}

#[test]
fn raw_lead_stops_every_use_where_students_work() {
    let store = ScriptStore::with_shipped();
    let script = store.find("check/lead-cadmium").unwrap_or_else(|why| panic!("{why:?}"));
    let levels = |parts: &str, students: bool| -> Vec<Level> {
        let scene = Arc::new(Scene {
            students,
            ..(*support::scene()).clone()
        });
        let glaze = support::glaze(&scene, &format!("glaze: old glaze\nparts: {parts}\nuse: decorative\n"));
        let checked = script
            .check(&glaze, &scene, &[])
            .unwrap_or_else(|why| panic!("{why:?}"));
        checked.findings.iter().map(|found| found.level).collect()
    };
    let raw = "{ red lead: 40, silica: 50, kaolin: 10 }";
    assert_eq!(levels(raw, false), [Level::Caution]);
    assert_eq!(levels(raw, true), [Level::Fail]);
    // Melted into a glass first: poisonous still, but no raw lead.
    let glass = "{ lead-barium glass SRM 89: 80, kaolin: 20 }";
    assert_eq!(levels(glass, true), [Level::Caution]);
}

#[test]
fn a_list_counts_the_fluxes_that_its_author_counted() {
    let scene = support::scene();
    let glaze = support::glaze(
        &scene,
        "glaze: zinc glaze\nparts: { potash feldspar: 40, silica: 25, whiting: 15, zinc oxide: 10, kaolin: 10 }\n",
    );
    let lime = |fluxes: &str| {
        let text = format!(
            "const ABOUT = #{{ api: 1, kind: \"limits\", title: \"t\", source: \"s\"{fluxes} }};\n\
             fn limits(glaze, option) {{ #{{ CaO: [0, 0.01] }} }}\n"
        );
        let script = Script::load("limits/mine", Source::from_text("mine.rhai", &text));
        let checked = script.unwrap_or_else(|why| panic!("{}", support::said(&why)));
        let checked = checked
            .check(&glaze, &scene, &[])
            .unwrap_or_else(|why| panic!("{why:?}"));
        checked.findings[0].value.unwrap_or(f64::NAN)
    };
    let moles = |name: &str| {
        let oxide = glost_chemistry::oxides::Oxide::from_formula(name).unwrap_or_else(|| panic!("{name}"));
        let analysis =
            glost_chemistry::glaze::Analysis::of(&glaze, &scene.fluxes, glost_chemistry::glaze::Additions::In);
        let analysis = analysis.unwrap_or_else(|why| panic!("{why:?}"));
        analysis.unity.map_or(f64::NAN, |unity| unity.get(oxide))
    };
    // Without zinc among the fluxes the others fill up to one.
    assert!((lime("") - moles("CaO")).abs() < 1e-9);
    let without = lime(", fluxes: [\"K2O\", \"Na2O\", \"CaO\", \"MgO\"]");
    assert!(
        (without - moles("CaO") / (1.0 - moles("ZnO"))).abs() < 1e-6,
        "{without}"
    );
    let wrong = |list: &str| {
        let text = format!(
            "const ABOUT = #{{ api: 1, kind: \"limits\", title: \"t\", source: \"s\", fluxes: {list} }};\n\
             fn limits(glaze, option) {{ #{{}} }}\n"
        );
        let script = Script::load("limits/mine", Source::from_text("mine.rhai", &text));
        script.err().map(|why| support::said(&why)).unwrap_or_default()
    };
    assert!(
        wrong("[\"K20\"]").contains("did you mean `K2O`?"),
        "{}",
        wrong("[\"K20\"]")
    );
    assert!(wrong("[]").contains("names no oxide"), "{}", wrong("[]"));
}
