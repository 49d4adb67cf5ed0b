//! A clay.

use glost_chemistry::glaze::Use;
use std::sync::Arc;

use glost_chemistry::diagnostic::{none_called, suggestion};
use glost_chemistry::read::folded;
use glost_core::evidence::ware::Clay;
use rhai::{Dynamic, EvalAltResult, ImmutableString};

use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{no_such_name, or_nothing, text_or_nothing};

/// A clay as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct ClayValue(pub(crate) Arc<Clay>);

type Raised = Box<EvalAltResult>;

/// The clay of a name in the scene: one with a file, the one asked for, or one that only the
/// notebook names.
pub(super) fn find_clay(name: &str) -> Result<ClayValue, Raised> {
    let scene = scene::scene()?;
    let known = || scene.clays.iter().chain(&scene.clay);
    let noted = || scene.notebook.as_ref().and_then(|notebook| notebook.noted_clay(name));
    let found = known().find(|clay| folded(&clay.name) == folded(name)).cloned();
    found.or_else(|| noted().map(Arc::new)).map(ClayValue).ok_or_else(|| {
        Trouble::new("unknown-clay", none_called("clay here", name))
            .maybe_help(suggestion(name, known().map(|clay| clay.name.as_str())))
            .raise()
    })
}

/// A clay given as a value or by name.
pub(super) fn clay_from(given: &Dynamic) -> Result<ClayValue, Raised> {
    if let Some(clay) = given.read_lock::<ClayValue>() {
        return Ok(clay.clone());
    }
    match given.read_lock::<ImmutableString>() {
        Some(name) => find_clay(&name),
        None => Err(trouble("wrong-kind", "a clay is needed, or its name in quotes")),
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Clay;
    shelf.module.set_custom_type::<ClayValue>(OWNER.words());
    shelf.add(
        Entry::property(OWNER, "name", Sort::Text, "Its name."),
        |clay: &mut ClayValue| ImmutableString::from(clay.0.name.as_str()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "cone",
            Sort::Text,
            "Its cone as a text; `()` where none is given.",
        ),
        |clay: &mut ClayValue| text_or_nothing(clay.0.cone.as_deref()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "use",
            Sort::Text,
            "What it is meant for; `()` where nobody says.",
        ),
        |clay: &mut ClayValue| text_or_nothing(clay.0.usage.map(Use::word)),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "absorption",
            Sort::Number,
            "Absorption in wt %, from weighings where there are any; `()` where it isn't known.",
        ),
        |clay: &mut ClayValue| or_nothing(clay.0.absorption()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "expansion",
            Sort::Number,
            "Printed or measured expansion in 1e-6 per K, as its file gives it; `()` where none is given.",
        ),
        |clay: &mut ClayValue| or_nothing(clay.0.expansion.as_ref().map(|printed| printed.per_million_per_kelvin)),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "expansion_measured",
            Sort::YesNo,
            "Whether its expansion was measured on this clay at this firing, not printed on a bag.",
        ),
        |clay: &mut ClayValue| clay.0.expansion_measured,
    );
    shelf.silent(
        "index$get$",
        |_: &mut ClayValue, name: &str| -> Result<Dynamic, Box<EvalAltResult>> {
            Err(no_such_name(Sort::Clay, name, crate::reference::names_of(Sort::Clay)))
        },
    );
}
