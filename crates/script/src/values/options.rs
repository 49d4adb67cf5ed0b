//! The options of a script, by name.

use std::sync::Arc;

use glost_core::rules::Signature;
use indexmap::IndexMap;
use rhai::{Dynamic, EvalAltResult};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::no_such_name;

/// The values of a script's options, and what its answers are signed with under them.
#[derive(Debug, Clone)]
pub(crate) struct OptionsValue {
    pub(crate) values: Arc<IndexMap<String, Dynamic>>,
    pub(crate) signed: Arc<Signature>,
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<OptionsValue>(Sort::Options.words());
    shelf.add(
        Entry::index(
            Sort::Options,
            "name",
            Sort::Any,
            "The value of an option; mostly written `option.name`.",
        ),
        |options: &mut OptionsValue, name: &str| -> Result<Dynamic, Box<EvalAltResult>> {
            options
                .values
                .get(name)
                .cloned()
                .ok_or_else(|| no_such_name(Sort::Options, name, options.values.keys().map(String::as_str)))
        },
    );
}
