//! What was asked of a swap or a blend, under the name `request`.

use rhai::{Array, Dynamic, EvalAltResult, ImmutableString};
use std::sync::Arc;

use glost_core::material::Material;

use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;

use super::{no_such_name, or_nothing};

/// Looks into the present run's request.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RequestValue;

type Raised = Box<EvalAltResult>;

fn names(materials: &[Arc<Material>]) -> Array {
    materials
        .iter()
        .map(|material| Dynamic::from(ImmutableString::from(material.name.as_str())))
        .collect()
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Request;
    shelf.module.set_custom_type::<RequestValue>(OWNER.words());
    shelf
        .entries
        .push(Entry::global("request", OWNER, "What was asked of a swap or a blend."));
    shelf.add(
        Entry::property(OWNER, "out", Sort::List(&Sort::Text), "The materials that are gone."),
        |_: &mut RequestValue| -> Result<Array, Raised> { scene::present(|run| names(&run.request.out)) },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "with",
            Sort::List(&Sort::Text),
            "The only newcomers allowed; empty where the rule decides.",
        ),
        |_: &mut RequestValue| -> Result<Array, Raised> { scene::present(|run| names(&run.request.with)) },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "at_most",
            Sort::Number,
            "How many newcomers at most; `()` where nobody says.",
        ),
        |_: &mut RequestValue| -> Result<Dynamic, Raised> {
            scene::present(|run| or_nothing(run.request.at_most.map(|most| most as i64)))
        },
    );
    shelf.add(
        Entry::property(OWNER, "show", Sort::Number, "How many proposals are wanted."),
        |_: &mut RequestValue| -> Result<i64, Raised> { scene::present(|run| run.request.show as i64) },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "steps",
            Sort::Number,
            "How many tiles a line should have, its ends included; steps per side elsewhere.",
        ),
        |_: &mut RequestValue| -> Result<i64, Raised> { scene::present(|run| run.request.steps as i64) },
    );
    shelf.silent(
        "index$get$",
        |_: &mut RequestValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Request,
                name,
                crate::reference::names_of(Sort::Request),
            ))
        },
    );
}
