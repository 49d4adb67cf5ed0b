//! Tables: `#{ name: value }`.

use rhai::{Array, Dynamic, EvalAltResult, Map};

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

const TABLE: Sort = Sort::Table;

pub(super) fn register(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(
            TABLE,
            "keys",
            "",
            Sort::List(&Sort::Text),
            "Its names, in order of the alphabet.",
        ),
        |table: &mut Map| -> Array { table.keys().map(|name| Dynamic::from(name.to_string())).collect() },
    );
    shelf.add(
        Entry::method(
            TABLE,
            "values",
            "",
            Sort::List(&Sort::Any),
            "Its values, in the order of its names.",
        ),
        |table: &mut Map| -> Array { table.values().cloned().collect() },
    );
    shelf.add(
        Entry::method(
            TABLE,
            "contains",
            "name",
            Sort::YesNo,
            "Whether it has that name; also `name in table`.",
        ),
        |table: &mut Map, name: &str| table.contains_key(name),
    );
    shelf.add(
        Entry::method(
            TABLE,
            "get",
            "name, otherwise",
            Sort::Any,
            "The value of that name, or the other where there is none.",
        )
        .example("#{ a: 1 }.get(\"b\", 0) == 0"),
        |table: &mut Map, name: &str, otherwise: Dynamic| table.get(name).cloned().unwrap_or(otherwise),
    );
    shelf.add(
        Entry::method(
            TABLE,
            "and",
            "other",
            TABLE,
            "Both together in a new table; of a name in both, the other's value counts.",
        )
        .example("#{ a: 1 }.and(#{ b: 2 }).len() == 2"),
        |table: &mut Map, other: Map| -> Result<Map, Box<EvalAltResult>> {
            bounds::charge_or_end((table.len() + other.len()) as u64)?;
            let mut both = table.clone();
            both.extend(other);
            Ok(both)
        },
    );
    shelf.add(
        Entry::method(TABLE, "len", "", Sort::Number, "How many names it has."),
        |table: &mut Map| table.len() as i64,
    );
    shelf.add(
        Entry::method(TABLE, "is_empty", "", Sort::YesNo, "Whether it has no names."),
        |table: &mut Map| table.is_empty(),
    );
    shelf.add(
        Entry::method(
            TABLE,
            "remove",
            "name",
            Sort::Any,
            "Takes a name out and gives its value; `()` where there is none.",
        )
        .changes(),
        |table: &mut Map, name: &str| table.remove(name).unwrap_or(Dynamic::UNIT),
    );
}
