//! A clay.

use std::sync::Arc;

use glost_core::ware::Clay;
use rhai::{Dynamic, EvalAltResult, ImmutableString};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::{no_such_name, or_nothing, text_or_nothing};

/// A clay as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct ClayValue(pub(crate) Arc<Clay>);

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
        |clay: &mut ClayValue| text_or_nothing(clay.0.usage.as_deref()),
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
            "Printed expansion in 1e-6 per K; `()` where none is given.",
        ),
        |clay: &mut ClayValue| or_nothing(clay.0.expansion.as_ref().map(|printed| printed.per_million_per_kelvin)),
    );
    shelf.silent(
        "index$get$",
        |_: &mut ClayValue, name: &str| -> Result<Dynamic, Box<EvalAltResult>> {
            Err(no_such_name(Sort::Clay, name, crate::reference::names_of(Sort::Clay)))
        },
    );
}
