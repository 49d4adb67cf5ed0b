//! What the tests share: the shipped materials, glazes by recipe, scripts by text.

#![allow(dead_code)]

pub mod glazes;
pub mod scripts;

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::Millilitres;
use glost_script::{Scene, Script};

const SHIPPED: [(&str, &str); 3] = [
    ("textbook.yaml", include_str!("../../../../materials/textbook.yaml")),
    ("published.yaml", include_str!("../../../../materials/published.yaml")),
    (
        "representative.yaml",
        include_str!("../../../../materials/representative.yaml"),
    ),
];
const OWN: &str = "materials:
  - { name: bought clear, kind: powder, analysis: unknown, source: bag label }
  - { name: spar one, kind: mineral, buyable: true, basis: as supplied, source: own, loss_on_ignition: 0.3,
      analysis: { SiO2: 66.4, Al2O3: 18.5, K2O: 9.0, Na2O: 4.8, CaO: 0.8 } }
";

pub fn library() -> Library {
    let mut library = Library::default();
    let mut entries = Vec::new();
    for (name, text) in SHIPPED {
        let (read, complaints) = read_materials(&Source::from_text(name, text));
        assert!(complaints.is_empty(), "{complaints:?}");
        entries.extend(read);
    }
    library.add_layer(entries, true);
    let (read, complaints) = read_materials(&Source::from_text("own.yaml", OWN));
    assert!(complaints.is_empty(), "{complaints:?}");
    library.add_layer(read, false);
    library
}

pub fn scene() -> Arc<Scene> {
    Arc::new(Scene {
        library: Arc::new(library()),
        ..Scene::default()
    })
}

pub fn glaze(scene: &Scene, text: &str) -> Arc<Glaze> {
    let source = Source::from_text("glaze.yaml", text);
    let read = read_glaze(&source, Millilitres::METRIC_CUP).unwrap_or_else(|why| panic!("{why:?}"));
    let glaze = read.resolve(&scene.library).unwrap_or_else(|why| panic!("{why:?}"));
    Arc::new(glaze)
}

pub const CLEAR: &str = "glaze: Ashford clear
cone: 9
parts: { potash feldspar: 38, silica: 26, whiting: 18, kaolin: 12, dolomite: 6 }
use: tableware
";

pub const BOUGHT: &str = "glaze: shop clear
parts: { bought clear: 100 }
";

pub fn load(text: &str) -> Result<Arc<Script>, Diagnostic> {
    Script::load("check/mine", Source::from_text("mine.rhai", text))
}

/// A check with this body.
pub fn check(body: &str) -> String {
    format!(
        "const ABOUT = #{{ api: 1, kind: \"check\", title: \"t\", source: \"s\" }};\nfn check(glaze, option) {{\n{body}\n}}\n"
    )
}

/// `line:column message | help`
pub fn said(diagnostic: &Diagnostic) -> String {
    let place = diagnostic.place.as_ref().map_or("nowhere".to_owned(), |place| {
        format!("{}:{}", place.mark.line, place.mark.column)
    });
    let help = diagnostic.help.as_deref().unwrap_or("no help");
    format!("{place} {} | {help}", diagnostic.message)
}

/// Every complaint about a text at load, or `loads`.
pub fn told(text: &str) -> String {
    match Script::load_or_mistakes("own", Source::from_text("own.rhai", text)) {
        Ok(_) => "loads".to_owned(),
        Err(faults) => faults.iter().map(said).collect::<Vec<_>>().join("\n"),
    }
}
