//! Long lists that the engine hands over: walked one by one, and never held at once, so
//! that a notebook of years is no wall. What a script makes of them is a list of its own,
//! with a list's bound.

use std::sync::Arc;

use rhai::{Array, Dynamic, EvalAltResult, FnPtr, NativeCallContext};

use crate::bounds;
use crate::language::lists::{answer, call, sorted_by};
use crate::shelf::Shelf;
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

type Raised = Box<EvalAltResult>;

/// Makes the item of a place.
type Make = Arc<dyn Fn(usize) -> Dynamic + Send + Sync>;

/// A list that is made as it is walked.
#[derive(Clone)]
pub(crate) struct WalkedValue {
    len: usize,
    make: Make,
}

/// A list as scripts know it where it is short, one that is walked where it is long.
pub(super) fn handed_over(
    len: usize,
    make: impl Fn(usize) -> Dynamic + Send + Sync + 'static,
) -> Result<Dynamic, Raised> {
    if len <= bounds::ITEMS_MOST {
        bounds::charge_or_end(len as u64)?;
        return Ok(Dynamic::from((0..len).map(make).collect::<Array>()));
    }
    Ok(Dynamic::from(WalkedValue {
        len,
        make: Arc::new(make),
    }))
}

/// A walk through it.
pub(crate) struct Walk {
    list: WalkedValue,
    at: usize,
}

impl Iterator for Walk {
    type Item = Dynamic;

    fn next(&mut self) -> Option<Dynamic> {
        let at = self.at;
        self.at += 1;
        (at < self.list.len).then(|| (self.list.make)(at))
    }
}

impl IntoIterator for WalkedValue {
    type Item = Dynamic;
    type IntoIter = Walk;

    fn into_iter(self) -> Walk {
        Walk { list: self, at: 0 }
    }
}

impl WalkedValue {
    fn items(&self) -> Walk {
        self.clone().into_iter()
    }

    fn at(&self, place: i64) -> Result<Dynamic, Raised> {
        let from_the_end = usize::try_from(-place).ok().and_then(|back| self.len.checked_sub(back));
        let at = if place < 0 {
            from_the_end
        } else {
            usize::try_from(place).ok()
        };
        match at.filter(|at| *at < self.len) {
            Some(at) => Ok((self.make)(at)),
            None => Err(trouble(
                "no-such-item",
                format!("the list has {} items, there is no item {place}", self.len),
            )),
        }
    }

    /// Those that a function keeps, as a list of the script's own.
    fn kept(&self, context: &NativeCallContext, function: &FnPtr) -> Result<Array, Raised> {
        let mut kept = Array::new();
        for item in self.items() {
            if answer(context, function, &item)? {
                fits(kept.len(), self.len)?;
                kept.push(item);
            }
        }
        Ok(kept)
    }
}

/// Whether one more item has its place in a list that a script makes.
fn fits(held: usize, walked: usize) -> Result<(), Raised> {
    if held < bounds::ITEMS_MOST {
        return Ok(());
    }
    Err(Trouble::new(
        "too-many",
        format!(
            "the list made from {walked} items would hold more than {} of them",
            bounds::ITEMS_MOST
        ),
    )
    .help("walk them with `for`, count or sum as you go, or keep fewer with `filter`")
    .raise())
}

/// What makes a list of its own of all items, or compares each, isn't for lists this long.
fn not_of_long_lists(name: &str) -> Raised {
    let message = format!("a list as long as this, that was handed over, has no `{}`", name);
    Trouble::new("too-many", message)
        .help("walk it with `for`, ask `any(|item| ...)`, or take fewer first with `filter` or `part`")
        .raise()
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf
        .module
        .set_custom_type::<WalkedValue>(Sort::List(&Sort::Any).words());
    shelf.module.set_iterable::<WalkedValue>();
    shelf.silent("len", |list: &mut WalkedValue| list.len as i64);
    shelf.silent("get$len", |list: &mut WalkedValue| list.len as i64);
    shelf.silent("is_empty", |list: &mut WalkedValue| list.len == 0);
    shelf.silent("first", |list: &mut WalkedValue| list.at(0));
    shelf.silent("last", |list: &mut WalkedValue| list.at(-1));
    shelf.silent("index$get$", |list: &mut WalkedValue, place: i64| list.at(place));
    shelf.silent(
        "filter",
        |context: NativeCallContext, list: &mut WalkedValue, function: FnPtr| list.kept(&context, &function),
    );
    shelf.silent(
        "map",
        |context: NativeCallContext, list: &mut WalkedValue, function: FnPtr| -> Result<Array, Raised> {
            let mut made = Array::new();
            for item in list.items() {
                fits(made.len(), list.len)?;
                made.push(call(&context, &function, &item)?);
            }
            Ok(made)
        },
    );
    shelf.silent(
        "any",
        |context: NativeCallContext, list: &mut WalkedValue, function: FnPtr| -> Result<bool, Raised> {
            for item in list.items() {
                if answer(&context, &function, &item)? {
                    return Ok(true);
                }
            }
            Ok(false)
        },
    );
    shelf.silent(
        "all",
        |context: NativeCallContext, list: &mut WalkedValue, function: FnPtr| -> Result<bool, Raised> {
            for item in list.items() {
                if !answer(&context, &function, &item)? {
                    return Ok(false);
                }
            }
            Ok(true)
        },
    );
    shelf.silent("reversed", |list: &mut WalkedValue| {
        let (len, make) = (list.len, list.make.clone());
        WalkedValue {
            len,
            make: Arc::new(move |at| make(len - 1 - at)),
        }
    });
    for name in ["join", "contains", "index_of", "push"] {
        shelf.silent(
            name,
            move |_: &mut WalkedValue, _: Dynamic| -> Result<Dynamic, Raised> { Err(not_of_long_lists(name)) },
        );
    }
    shelf.silent("+", |_: WalkedValue, _: Array| -> Result<Dynamic, Raised> {
        Err(not_of_long_lists("+"))
    });
    shelf.silent(
        "reduce",
        |context: NativeCallContext,
         list: &mut WalkedValue,
         function: FnPtr,
         start: Dynamic|
         -> Result<Dynamic, Raised> {
            let mut so_far = start.flatten();
            for item in list.items() {
                bounds::charge_or_end(1)?;
                so_far = function
                    .call_within_context::<Dynamic>(&context, (so_far, item))?
                    .flatten();
            }
            Ok(so_far)
        },
    );
    shelf.silent(
        "sorted_by",
        |context: NativeCallContext, list: &mut WalkedValue, key: FnPtr| -> Result<Array, Raised> {
            fits(list.len.saturating_sub(1), list.len)?;
            sorted_by(&context, &list.items().collect(), &key)
        },
    );
    shelf.silent(
        "part",
        |list: &mut WalkedValue, start: i64, items: i64| -> Result<Array, Raised> {
            let (start, items) = (start.max(0) as usize, items.max(0) as usize);
            fits(items.min(list.len).saturating_sub(1), list.len)?;
            let end = start.saturating_add(items).min(list.len);
            bounds::charge_or_end(end.saturating_sub(start) as u64)?;
            Ok((start..end).map(|place| (list.make)(place)).collect())
        },
    );
}
