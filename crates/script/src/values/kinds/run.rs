//! Runs: sentences and tables over the whole studio.

use crate::sort::Sort;
use crate::values::tried;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "run",
    parameters: &[("studio", Sort::Studio), ("option", Sort::Options)],
    about: "Sentences and tables over the whole studio.",
    gives: "Nothing: it speaks by `say` and `table`.",
    asked_by: "glost run NAME",
    speaks: &["say", "table"],
    template: include_str!("../../templates/run.rhai"),
    verb: Verb {
        parameter: "studio",
        returns: Sort::Table,
        about: "What this script's `run` puts out over glazes, or `#{ glazes: [...], clays: [...], notes: [...], currency: \"EUR\", tables: #{ name: [#{ column: value }] }, materials: #{ name: #{ price: \"8 EUR per 5 kg\", stock: 500 } } }`: `said`, and `tables` with `title` and `rows`.",
        run: tried::run,
    },
};
