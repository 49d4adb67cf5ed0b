//! How long a glaze takes in a check of 15 properties, step by step, in one of three rules,
//! and in all shipped checks that need no pieces, on one thread: `cargo run --release -p glost-script --example screening_times`.
//!
//! With the name of one of these it is done once and not timed: what `valgrind
//! --tool=callgrind` counts hangs on no other work.
//!
//! Times are the processor's; on a busy machine they grow all the same: take the least of
//! some runs.

use std::sync::Arc;
use std::time::Instant;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Additions, Analysis, FiredChemistry, FluxList, Glaze, GlazeNotes, Portion};
use glost_chemistry::material::{Library, Material, read_materials};
use glost_script::{Kind, Scene, Screening, Script, ScriptStore, on_script_thread};

#[global_allocator]
static ALLOCATOR: glost_script::CountingAllocator = glost_script::CountingAllocator;

const MATERIALS: &str = include_str!("../../../materials/textbook.yaml");
const BASE: [&str; 6] = ["potash feldspar", "silica", "whiting", "kaolin", "talc", "zinc oxide"];
const GLAZES: usize = 2_000;

/// Fifteen properties read one by one.
const ONE_BY_ONE: &str = r#"const ABOUT = #{ api: 1, kind: "check", title: "Fifteen properties", source: "made up, to measure" };
fn check(glaze, option) {
    let u = glaze.unity;
    if u.SiO2 < 2.5 || u.SiO2 > 4.5 { glaze.caution("SiO2", `SiO2 ${fixed(u.SiO2, 2)}`); }
    if u.Al2O3 < 0.25 || u.Al2O3 > 0.55 { glaze.caution("Al2O3", `Al2O3 ${fixed(u.Al2O3, 2)}`); }
    if u.B2O3 > 0.4 { glaze.caution("B2O3", "too much"); }
    if u.CaO > 0.8 { glaze.caution("CaO", `CaO ${fixed(u.CaO, 2)}`); }
    if u.MgO > 0.3 { glaze.caution("MgO", `MgO ${fixed(u.MgO, 2)}`); }
    if u.K2O > 0.35 { glaze.caution("K2O", "too much"); }
    if u.Na2O > 0.35 { glaze.caution("Na2O", "too much"); }
    if u.Li2O > 0.2 { glaze.caution("Li2O", "too much"); }
    if u.ZnO > 0.25 { glaze.caution("ZnO", `ZnO ${fixed(u.ZnO, 2)}`); }
    if u.SrO > 0.3 { glaze.caution("SrO", "too much"); }
    if u.BaO > 0.0 { glaze.caution("BaO", "barium"); }
    if u.PbO > 0.0 { glaze.fail("PbO", "lead"); }
    if u.Fe2O3 > 0.1 { glaze.caution("Fe2O3", "too much"); }
    if glaze.loss_on_ignition > 12 { glaze.caution("loss on ignition", "high"); }
    if glaze.silica_to_alumina < 5 || glaze.silica_to_alumina > 12 { glaze.caution("SiO2:Al2O3", "out of the usual"); }
}
"#;

/// Three rules, as most checks have them.
const THREE_RULES: &str = r#"const ABOUT = #{ api: 1, kind: "check", title: "Three rules", source: "made up, to measure" };
fn check(glaze, option) {
    let u = glaze.unity;
    if u.SiO2 < 1.5 { glaze.caution("SiO2", `SiO2 ${fixed(u.SiO2, 2)}`); }
    if u.PbO > 0.0 { glaze.fail("PbO", "lead"); }
    if glaze.loss_on_ignition > 30 { glaze.caution("loss on ignition", "high"); }
}
"#;

/// Fifteen properties held against ranges by one call.
const BY_RANGES: &str = r#"const ABOUT = #{ api: 1, kind: "check", title: "Fifteen ranges", source: "made up, to measure" };
const RANGES = #{ SiO2: [2.5, 4.5], Al2O3: [0.25, 0.55], B2O3: [(), 0.4], CaO: [(), 0.8], MgO: [(), 0.3], K2O: [(), 0.35],
    Na2O: [(), 0.35], Li2O: [(), 0.2], ZnO: [(), 0.25], SrO: [(), 0.3], BaO: [(), 0.0], PbO: [(), 0.0], Fe2O3: [(), 0.1],
    "SiO2:Al2O3": [5, 12], R2O: [(), 0.4] };
fn check(glaze, option) {
    for miss in within(glaze.unity, RANGES) {
        miss.message = `${miss.subject} is ${fixed(miss.value, 2)}`;
        glaze.caution(miss);
    }
}
"#;

fn materials() -> Vec<Arc<Material>> {
    let mut library = Library::default();
    let (entries, complaints) = read_materials(&Source::from_text("textbook.yaml", MATERIALS));
    assert!(complaints.is_empty(), "{complaints:?}");
    library.add_layer(entries, true);
    let found = BASE.map(|name| library.find(name).cloned().unwrap_or_else(|| panic!("no {name}")));
    found.to_vec()
}

fn glazes(materials: &[Arc<Material>]) -> Vec<Arc<Glaze>> {
    let mut state = 1_u64;
    let mut random = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    let mut glaze = |number: usize| {
        let weights = [30.0, 20.0, 15.0, 12.0, 6.0, 4.0].map(|most| most * (0.5 + random()));
        let total: f64 = weights.iter().sum();
        let portion = |(material, weight): (&Arc<Material>, f64)| Portion {
            material: material.clone(),
            percent: 100.0 * weight / total,
        };
        Arc::new(Glaze {
            name: format!("glaze {number}"),
            base: materials.iter().zip(weights).map(portion).collect(),
            additions: Vec::new(),
            about: GlazeNotes {
                cone: Some("6".to_owned()),
                ..GlazeNotes::default()
            },
            assumptions: Vec::new(),
        })
    };
    (0..GLAZES).map(&mut glaze).collect()
}

/// Seconds that this thread had a processor, as Linux counts them; elsewhere those on the wall.
fn used(start: Instant) -> f64 {
    let counted = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = counted.and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    nanoseconds.map_or(start.elapsed().as_secs_f64(), |nanoseconds| nanoseconds * 1e-9)
}

/// Times it, unless the call asks for another alone; then once, to be counted by a profiler.
fn time(what: &str, mut one: impl FnMut()) {
    match std::env::args().nth(1) {
        Some(wanted) if wanted == what => return one(),
        Some(_) => return,
        None => {}
    }
    let best = (0..7)
        .map(|_| {
            let start = Instant::now();
            let before = used(start);
            one();
            used(start) - before
        })
        .fold(f64::INFINITY, f64::min);
    println!("{what:<34} {:>8.2} us a glaze", best / GLAZES as f64 * 1e6);
}

fn main() {
    let glazes = glazes(&materials());
    let fluxes = FluxList::default();
    let scene = Arc::new(Scene::default());
    let outcome = on_script_thread(|| {
        time("analysis, bands and sentences in", || {
            for glaze in &glazes {
                assert!(Analysis::of(glaze, &fluxes, Additions::In).is_ok());
            }
        });
        time("fired chemistry alone", || {
            for glaze in &glazes {
                assert!(FiredChemistry::of(glaze, &fluxes, Additions::In).is_ok());
            }
        });
        for (what, text) in [("check, one by one", ONE_BY_ONE), ("check, by ranges", BY_RANGES)] {
            let script = Script::load("check/fifteen", Source::from_text("fifteen.rhai", text));
            let script = script.unwrap_or_else(|why| panic!("{why:?}"));
            let screening = Screening::new([(&script, &Vec::new())]).unwrap_or_else(|why| panic!("{why:?}"));
            let mut findings = 0;
            time(what, || {
                findings = 0;
                for glaze in &glazes {
                    findings += screening
                        .screen(glaze, &scene)
                        .map_or(0, |checked| checked.findings.len());
                }
            });
            println!("{:<34} {:>8.2} findings a glaze", "", findings as f64 / GLAZES as f64);
        }
        let three = Script::load("check/three", Source::from_text("three.rhai", THREE_RULES));
        let three = three.unwrap_or_else(|why| panic!("{why:?}"));
        let store = ScriptStore::with_shipped();
        let checks = store.of_kind(Kind::CHECK).scripts;
        let checks: Vec<_> = checks.into_iter().filter(|one| !one.about.needs_pieces).collect();
        let mut asked = vec![
            ("check, three rules", vec![three]),
            ("all shipped checks", checks.clone()),
        ];
        asked.extend(checks.iter().map(|one| (one.name.as_str(), vec![one.clone()])));
        for (what, scripts) in asked {
            let none = Vec::new();
            let screening = Screening::new(scripts.iter().map(|script| (script, &none)));
            let screening = screening.unwrap_or_else(|why| panic!("{why:?}"));
            time(what, || {
                for glaze in &glazes {
                    assert!(screening.screen(glaze, &scene).is_ok());
                }
            });
        }
    });
    assert_eq!(outcome, Ok(()));
}
