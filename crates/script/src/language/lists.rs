//! Lists.

use rhai::{Array, Dynamic, EvalAltResult, FnPtr, ImmutableString, NativeCallContext};

use crate::bounds::{self, Bound};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::trouble;

use super::compare::order;
use super::ranges::whole_of;
use super::{in_text, same};

type Raised = Box<EvalAltResult>;
type List = Result<Array, Raised>;

const LIST: Sort = Sort::List(&Sort::Any);

fn may_hold(items: usize) -> Result<(), Raised> {
    if items > bounds::ITEMS_MOST {
        return Err(bounds::break_now(Bound::Items));
    }
    Ok(())
}

fn index(list: &Array, place: i64) -> Result<usize, Raised> {
    let length = list.len() as i64;
    let at = if place < 0 { length.saturating_add(place) } else { place };
    if (0..length).contains(&at) {
        Ok(at as usize)
    } else {
        Err(trouble(
            "no-such-item",
            format!("the list has {length} items, there is no item {place}"),
        ))
    }
}

pub(crate) fn call(context: &NativeCallContext, function: &FnPtr, item: &Dynamic) -> Result<Dynamic, Raised> {
    bounds::charge_or_end(1)?;
    function
        .call_within_context::<Dynamic>(context, (item.clone(),))
        .map(Dynamic::flatten)
}

pub(crate) fn answer(context: &NativeCallContext, function: &FnPtr, item: &Dynamic) -> Result<bool, Raised> {
    let said = call(context, function, item)?;
    said.as_bool().map_err(|kind| {
        trouble(
            "wrong-kind",
            format!(
                "the function should give true or false, not {}",
                Sort::words_for_type(kind)
            ),
        )
    })
}

/// Sorted by keys that are all numbers or all texts; equals keep their order.
fn sorted_by_keys(mut pairs: Vec<(Dynamic, Dynamic)>) -> List {
    let rounds = (pairs.len() as u64).max(2).ilog2() as u64;
    bounds::charge_or_end(pairs.len() as u64 * rounds)?;
    for pair in pairs.windows(2) {
        order(&pair[0].0, &pair[1].0)?;
    }
    pairs.sort_by(|left, right| order(&left.0, &right.0).unwrap_or(std::cmp::Ordering::Equal));
    Ok(pairs.into_iter().map(|pair| pair.1).collect())
}

fn sorted(list: &Array) -> List {
    sorted_by_keys(list.iter().map(|item| (item.clone(), item.clone())).collect())
}

pub(crate) fn sorted_by(context: &NativeCallContext, list: &Array, key: &FnPtr) -> List {
    let mut pairs = Vec::with_capacity(list.len());
    for item in list {
        pairs.push((call(context, key, item)?, item.clone()));
    }
    sorted_by_keys(pairs)
}

fn joined(list: &Array, between: &str) -> Result<ImmutableString, Raised> {
    let mut text = String::new();
    for (place, item) in list.iter().enumerate() {
        if place > 0 {
            text.push_str(between);
        }
        text.push_str(&in_text(item));
        if text.len() > bounds::TEXT_MOST_BYTES {
            return Err(bounds::break_now(Bound::Text));
        }
    }
    bounds::charge_or_end(list.len() as u64)?;
    Ok(text.into())
}

fn found(list: &Array, item: &Dynamic) -> Result<Option<usize>, Raised> {
    for (place, other) in list.iter().enumerate() {
        if same(other, item)? {
            return Ok(Some(place));
        }
    }
    Ok(None)
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_iterable::<Array>();
    changing(shelf);
    asking(shelf);
    with_functions(shelf);
    making(shelf);
}

fn changing(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(LIST, "push", "item", Sort::Nothing, "Adds an item at the end.").changes(),
        |list: &mut Array, item: Dynamic| -> Result<(), Raised> {
            may_hold(list.len() + 1)?;
            list.push(item.flatten());
            Ok(())
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "pop",
            "",
            Sort::Any,
            "Takes the last item off and gives it; `()` from an empty list.",
        )
        .changes(),
        |list: &mut Array| list.pop().unwrap_or(Dynamic::UNIT),
    );
    shelf.add(
        Entry::method(
            LIST,
            "insert",
            "place, item",
            Sort::Nothing,
            "Puts an item in at a place, counted from 0.",
        )
        .changes(),
        |list: &mut Array, place: i64, item: Dynamic| -> Result<(), Raised> {
            may_hold(list.len() + 1)?;
            let at = if place == list.len() as i64 {
                list.len()
            } else {
                index(list, place)?
            };
            list.insert(at, item.flatten());
            Ok(())
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "remove",
            "place",
            Sort::Any,
            "Takes the item at a place out and gives it.",
        )
        .changes(),
        |list: &mut Array, place: i64| -> Result<Dynamic, Raised> {
            let at = index(list, place)?;
            Ok(list.remove(at))
        },
    );
    shelf.add(
        Entry::method(LIST, "sort", "", Sort::Nothing, "Puts numbers or texts in order.").changes(),
        |list: &mut Array| -> Result<(), Raised> {
            *list = sorted(list)?;
            Ok(())
        },
    );
    shelf.add(
        Entry::operator("+=", Sort::Any, "Adds to what is there; a list adds the other's items."),
        |list: &mut Array, other: Array| -> Result<(), Raised> {
            may_hold(list.len() + other.len())?;
            bounds::charge_or_end(other.len() as u64)?;
            list.extend(other);
            Ok(())
        },
    );
    shelf.silent("+", |mut left: Array, right: Array| -> List {
        may_hold(left.len() + right.len())?;
        bounds::charge_or_end((left.len() + right.len()) as u64 / 8)?;
        left.extend(right);
        Ok(left)
    });
}

fn asking(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(LIST, "len", "", Sort::Number, "How many items it has."),
        |list: &mut Array| list.len() as i64,
    );
    shelf.add(
        Entry::property(LIST, "len", Sort::Number, "How many items it has."),
        |list: &mut Array| list.len() as i64,
    );
    shelf.add(
        Entry::method(LIST, "is_empty", "", Sort::YesNo, "Whether it has no items."),
        |list: &mut Array| list.is_empty(),
    );
    shelf.add(
        Entry::method(LIST, "first", "", Sort::Any, "The first item; `()` of an empty list."),
        |list: &mut Array| list.first().cloned().unwrap_or(Dynamic::UNIT),
    );
    shelf.add(
        Entry::method(LIST, "last", "", Sort::Any, "The last item; `()` of an empty list."),
        |list: &mut Array| list.last().cloned().unwrap_or(Dynamic::UNIT),
    );
    shelf.add(
        Entry::method(
            LIST,
            "contains",
            "item",
            Sort::YesNo,
            "Whether it has such an item; also `item in list`.",
        ),
        |list: &mut Array, item: Dynamic| found(list, &item).map(|place| place.is_some()),
    );
    shelf.add(
        Entry::method(
            LIST,
            "index_of",
            "item",
            Sort::Number,
            "The place of the item, counted from 0; -1 where there is none.",
        ),
        |list: &mut Array, item: Dynamic| found(list, &item).map(|place| place.map_or(-1, |place| place as i64)),
    );
    shelf.add(
        Entry::method(
            LIST,
            "join",
            "between",
            Sort::Text,
            "The items as one text, with a text between each two.",
        )
        .example("[1, 2].join(\", \") == \"1, 2\""),
        |list: &mut Array, between: &str| joined(list, between),
    );
}

fn with_functions(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(
            LIST,
            "map",
            "function",
            LIST,
            "A list of what the function makes of each item.",
        )
        .example("[1, 2].map(|x| x * 2) == [2, 4]"),
        |context: NativeCallContext, list: &mut Array, function: FnPtr| -> List {
            list.iter().map(|item| call(&context, &function, item)).collect()
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "filter",
            "function",
            LIST,
            "The items for which the function is true.",
        )
        .example("[1, 2, 3].filter(|x| x > 1) == [2, 3]"),
        |context: NativeCallContext, list: &mut Array, function: FnPtr| -> List {
            let mut kept = Array::new();
            for item in list.iter() {
                if answer(&context, &function, item)? {
                    kept.push(item.clone());
                }
            }
            Ok(kept)
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "any",
            "function",
            Sort::YesNo,
            "Whether the function is true for one item at least.",
        )
        .example("[1, 2].any(|x| x > 1)"),
        |context: NativeCallContext, list: &mut Array, function: FnPtr| -> Result<bool, Raised> {
            for item in list.iter() {
                if answer(&context, &function, item)? {
                    return Ok(true);
                }
            }
            Ok(false)
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "all",
            "function",
            Sort::YesNo,
            "Whether the function is true for every item.",
        )
        .example("[1, 2].all(|x| x > 0)"),
        |context: NativeCallContext, list: &mut Array, function: FnPtr| -> Result<bool, Raised> {
            for item in list.iter() {
                if !answer(&context, &function, item)? {
                    return Ok(false);
                }
            }
            Ok(true)
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "reduce",
            "function, start",
            Sort::Any,
            "One value from all items: the function gets what it has so far and the next item.",
        )
        .example("[1, 2, 3].reduce(|so_far, x| so_far + x, 0) == 6"),
        |context: NativeCallContext, list: &mut Array, function: FnPtr, start: Dynamic| -> Result<Dynamic, Raised> {
            let mut so_far = start.flatten();
            for item in list.iter() {
                bounds::charge_or_end(1)?;
                so_far = function
                    .call_within_context::<Dynamic>(&context, (so_far, item.clone()))?
                    .flatten();
            }
            Ok(so_far)
        },
    );
    shelf.add(
        Entry::method(
            LIST,
            "sorted_by",
            "function",
            LIST,
            "The items in the order of the numbers or texts that the function makes of them.",
        )
        .example("[\"ccc\", \"a\"].sorted_by(|x| x.len) == [\"a\", \"ccc\"]"),
        |context: NativeCallContext, list: &mut Array, key: FnPtr| sorted_by(&context, list, &key),
    );
}

fn making(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(LIST, "sorted", "", LIST, "The numbers or texts in order.")
            .example("[2, 1.5].sorted() == [1.5, 2]"),
        |list: &mut Array| sorted(list),
    );
    shelf.add(
        Entry::method(LIST, "reversed", "", LIST, "The items from the last to the first."),
        |list: &mut Array| -> Array { list.iter().rev().cloned().collect() },
    );
    shelf.add(
        Entry::method(
            LIST,
            "part",
            "start, items",
            LIST,
            "So many items from a place on, counted from 0.",
        )
        .example("[1, 2, 3].part(1, 2) == [2, 3]"),
        |list: &mut Array, start: Dynamic, items: Dynamic| -> List {
            let start = whole_of(&start)?.clamp(0, list.len() as i64) as usize;
            let items = whole_of(&items)?.max(0) as usize;
            Ok(list.iter().skip(start).take(items).cloned().collect())
        },
    );
}
