//! What was asked of a swap or a blend, under the name `request`.

use std::sync::Arc;

use glost_chemistry::material::Material;
use glost_core::tiles::blend::AdditionSteps;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::scene::{self, Request};
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
    for_plans(shelf);
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

/// What only plans of tiles ask for.
fn for_plans(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Request;
    let mut count = |name: &'static str, about: &'static str, of: fn(&Request) -> Option<usize>| {
        shelf.add(
            Entry::property(OWNER, name, Sort::Number, about),
            move |_: &mut RequestValue| -> Result<i64, Raised> {
                scene::present(|run| of(&run.request).unwrap_or(run.request.steps) as i64)
            },
        );
    };
    count(
        "rows",
        "How many rows a grid should have; as many as `steps` unless said.",
        |request| request.rows,
    );
    count(
        "columns",
        "How many columns a grid should have; as many as `steps` unless said.",
        |request| request.columns,
    );
    shelf.add(
        Entry::property(
            OWNER,
            "tiles",
            Sort::Number,
            "How many tiles are wanted; `()` where the design decides.",
        ),
        |_: &mut RequestValue| -> Result<Dynamic, Raised> {
            scene::present(|run| or_nothing(run.request.tiles.map(|tiles| tiles as i64)))
        },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "limits",
            Sort::Text,
            "The limits that tiles are held against, by name; `()` where none are.",
        ),
        |_: &mut RequestValue| -> Result<Dynamic, Raised> {
            scene::present(|run| super::text_or_nothing(run.request.limits.as_deref()))
        },
    );
    shelf.add(
        Entry::property(OWNER, "within", Sort::List(&Sort::Text), "Bounds on shares, as typed."),
        |_: &mut RequestValue| -> Result<Array, Raised> {
            let text = |text: &String| Dynamic::from(ImmutableString::from(text.as_str()));
            scene::present(|run| run.request.within.iter().map(text).collect())
        },
    );
    shelf.add(
        Entry::property(
            OWNER,
            "add",
            Sort::List(&Sort::Table),
            "Additions in steps: tables with `material` and `percents`, every step of it in per cent of the base.",
        )
        .example("request.add.len"),
        |_: &mut RequestValue| -> Result<Array, Raised> {
            scene::present(|run| {
                let steps = run.request.steps;
                run.request.add.iter().map(|add| addition(add, steps)).collect()
            })
        },
    );
}

fn addition(add: &AdditionSteps, steps: usize) -> Dynamic {
    let mut table = Map::new();
    table.insert(
        "material".into(),
        ImmutableString::from(add.material.name.as_str()).into(),
    );
    let percents: Array = add.each(steps).into_iter().map(Dynamic::from).collect();
    table.insert("percents".into(), percents.into());
    Dynamic::from(table)
}
