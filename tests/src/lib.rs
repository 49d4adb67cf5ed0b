//! Helpers for the outside checks, the laws and the snapshots under `tests/`.

pub mod power;

use std::path::PathBuf;
use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{Glaze, read_glaze};
use glost_chemistry::material::{Library, Material, read_materials};
use glost_chemistry::quantity::Millilitres;

/// The text of a file in `tests/data/`.
///
/// # Panics
/// The file isn't there.
pub fn data(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A library of these materials alone.
///
/// # Panics
/// They don't read.
pub fn library(text: &str) -> Library {
    let (entries, mut complaints) = read_materials(&Source::from_text("materials.yaml", text));
    let mut library = Library::default();
    complaints.extend(library.add_layer(entries, false));
    assert!(complaints.is_empty(), "{complaints:?}");
    library
}

/// A glaze of these parts and additions.
///
/// # Panics
/// It doesn't read, or a material is unknown.
pub fn glaze(library: &Library, parts: &str, additions: &str) -> Glaze {
    let text = format!("glaze: test\nparts: {{ {parts} }}\nadditions: {{ {additions} }}\n");
    let file = read_glaze(&Source::from_text("glaze.yaml", &text), Millilitres::METRIC_CUP);
    let file = file.unwrap_or_else(|error| panic!("{text}: {error:?}"));
    file.resolve(library).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// A material by name.
///
/// # Panics
/// There is none.
pub fn material(library: &Library, name: &str) -> Arc<Material> {
    library.find(name).unwrap_or_else(|| panic!("no {name}")).clone()
}
