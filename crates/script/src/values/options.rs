//! The options of a script, by name.

use std::sync::Arc;

use glost_core::rules::Signature;
use indexmap::IndexMap;
use rhai::{Dynamic, Engine, EvalAltResult};

use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::no_such_name;

/// The values of a script's options, and what its answers are signed with under them.
#[derive(Debug, Clone)]
pub(crate) struct OptionsValue {
    pub(crate) values: Arc<IndexMap<String, Dynamic>>,
    pub(crate) signed: Arc<Signature>,
}

impl OptionsValue {
    fn get(&self, name: &str) -> Result<Dynamic, Box<EvalAltResult>> {
        let found = self.values.get(name).cloned();
        found.ok_or_else(|| no_such_name(Sort::Options, name, self.values.keys().map(String::as_str)))
    }
}

/// Getters for a script's own options: without them the engine writes an error for each look,
/// and only then asks the index below.
pub(crate) fn options_read_by_name<'a>(engine: &mut Engine, names: impl Iterator<Item = &'a str>) {
    for (place, name) in names.enumerate() {
        let own = name.to_owned();
        engine.register_get(name, move |options: &mut OptionsValue| {
            match options.values.get_index(place) {
                Some((there, value)) if *there == own => Ok(value.clone()),
                _ => options.get(&own),
            }
        });
    }
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
        |options: &mut OptionsValue, name: &str| options.get(name),
    );
}
