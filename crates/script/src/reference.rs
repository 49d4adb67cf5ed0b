//! What scripts may call, from the same shelf that the engine runs on.

use crate::engine::entries;
use crate::shelf::{Entry, Form};
use crate::sort::Sort;

/// Everything a script may call, in the order of the shelf.
pub fn reference() -> &'static [Entry] {
    entries()
}

/// Whether an entry belongs to values of this sort.
pub(crate) fn belongs(entry: &Entry, owner: Sort) -> bool {
    match (entry.owner, owner) {
        (Sort::List(_), Sort::List(_)) => true,
        (one, other) => one == other,
    }
}

/// The properties and methods of a sort, each once, for suggestions.
pub(crate) fn names_of(owner: Sort) -> impl Iterator<Item = &'static str> {
    let mut names: Vec<&'static str> = Vec::new();
    for entry in entries() {
        let asked_of_it = matches!(entry.form, Form::Property | Form::Method);
        if asked_of_it && belongs(entry, owner) && !names.contains(&entry.name) {
            names.push(entry.name);
        }
    }
    names.into_iter()
}
