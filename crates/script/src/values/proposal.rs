//! A recipe that the optimiser found.

use std::sync::Arc;

use glost_chemistry::diagnostic::suggestion;
use glost_chemistry::distance::Nearness;
use glost_chemistry::glaze::Glaze;
use glost_core::recipes::swap::Candidate;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::scene::{self, Scene, Solved};
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::swapping::Proposed;
use crate::trouble::Trouble;

use super::{GlazeValue, no_such_name};

/// A proposal as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct ProposalValue {
    glaze: GlazeValue,
    distance: f64,
    newcomers: Arc<[ImmutableString]>,
}

impl ProposalValue {
    pub(super) fn new(candidate: Candidate, scene: &Scene) -> ProposalValue {
        ProposalValue {
            distance: candidate.distance,
            newcomers: candidate
                .newcomers
                .iter()
                .map(|material| material.name.as_str().into())
                .collect(),
            glaze: GlazeValue::new(Arc::new(candidate.glaze), scene),
        }
    }
}

/// The recipes that a swap gave back: glazes, proposals or tables, one or a list; none holds
/// what the present run's request says is gone. A text says why there are none, and is kept
/// with the run.
pub(crate) fn recipes(answer: &Dynamic) -> Result<Vec<Proposed>, Box<EvalAltResult>> {
    let text = answer.read_lock::<ImmutableString>().map(|text| text.trim().to_owned());
    if let Some(why) = text.filter(|text| !text.is_empty()) {
        scene::present(|run| {
            run.solved = Solved::default();
            run.why = Some(why);
        })?;
        return Ok(Vec::new());
    }
    let proposed = match answer.read_lock::<Array>() {
        Some(list) => list.iter().map(one).collect::<Result<_, _>>()?,
        None => vec![one(answer)?],
    };
    without_what_is_gone(&proposed)?;
    Ok(proposed)
}

fn without_what_is_gone(proposed: &[Proposed]) -> Result<(), Box<EvalAltResult>> {
    let request = scene::present(|run| run.request.clone())?;
    for (index, one) in proposed.iter().enumerate() {
        let Some(gone) = request.out.iter().find(|gone| one.glaze.holds(gone)) else {
            continue;
        };
        let which = match proposed.len() {
            1 => "the proposed recipe".to_owned(),
            count => format!("proposal {} of {count}", index + 1),
        };
        let message = format!("{which} still holds {}, which is gone", gone.name);
        let help =
            "take it out with `glaze.with_part(name, 0)`, or ask `materials.solve`; `request.out` names what is gone";
        return Err(Trouble::new("still-in-recipe", message).help(help).raise());
    }
    Ok(())
}

/// A recipe, or a table with the recipe under `glaze` and a reason under `why`.
fn one(answer: &Dynamic) -> Result<Proposed, Box<EvalAltResult>> {
    let plain = |glaze: &Arc<Glaze>| Proposed {
        glaze: glaze.clone(),
        why: None,
    };
    if let Some(proposal) = answer.read_lock::<ProposalValue>() {
        return Ok(plain(proposal.glaze.recipe()));
    }
    if let Some(glaze) = answer.read_lock::<GlazeValue>() {
        return Ok(plain(glaze.recipe()));
    }
    if let Some(table) = answer.read_lock::<Map>()
        && let Some(recipe) = table.get("glaze")
    {
        let why = reason(&table)?;
        return Ok(Proposed { why, ..one(recipe)? });
    }
    Err(Trouble::new(
        "stray-value",
        format!(
            "a swap gives back recipes, this is {}",
            Sort::words_for_type(answer.type_name())
        ),
    )
    .help("give back what `materials.solve` found, a list of glazes, `#{ glaze: recipe, why: \"...\" }`, or a text that says why there is none")
    .raise())
}

/// The reason beside a recipe: a text, and nothing else stands there.
fn reason(table: &Map) -> Result<Option<String>, Box<EvalAltResult>> {
    const KEYS: [&str; 2] = ["glaze", "why"];
    if let Some(odd) = table.keys().find(|key| !KEYS.contains(&key.as_str())) {
        let message = format!("a recipe that a swap gives back has no `{}`", odd);
        let near = suggestion(odd, KEYS).unwrap_or_else(|| "it is `#{ glaze: recipe, why: \"...\" }`".to_owned());
        return Err(Trouble::new("unknown-key", message).help(near).raise());
    }
    let Some(why) = table.get("why").filter(|why| !why.is_unit()) else {
        return Ok(None);
    };
    let text = why.read_lock::<ImmutableString>().map(|text| text.to_string());
    text.map(Some).ok_or_else(|| {
        Trouble::new("wrong-kind", "`why` is a text, and this is none")
            .help("put it in quotes")
            .raise()
    })
}

pub(super) fn register(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Proposal;
    shelf.module.set_custom_type::<ProposalValue>(OWNER.words());
    shelf.add(
        Entry::property(OWNER, "glaze", Sort::Glaze, "The recipe."),
        |proposal: &mut ProposalValue| proposal.glaze.clone(),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "distance",
            Sort::Number,
            "How far its chemistry is from the old glaze's, in tolerances.",
        ),
        |proposal: &mut ProposalValue| proposal.distance,
    );
    shelf.add(
        Entry::property(
            OWNER,
            "words",
            Sort::Text,
            "The distance in words: near, noticeable or far.",
        ),
        |proposal: &mut ProposalValue| ImmutableString::from(Nearness::of(proposal.distance).word()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "newcomers",
            Sort::List(&Sort::Text),
            "The materials that the old recipe lacks.",
        ),
        |proposal: &mut ProposalValue| -> Array { proposal.newcomers.iter().cloned().map(Dynamic::from).collect() },
    );
    shelf.silent(
        "index$get$",
        |_: &mut ProposalValue, name: &str| -> Result<Dynamic, Box<EvalAltResult>> {
            Err(no_such_name(
                Sort::Proposal,
                name,
                crate::reference::names_of(Sort::Proposal),
            ))
        },
    );
}
