//! Materials, one and all, and the optimiser that works with them.

use std::sync::Arc;

use glost_core::chemistry::Oxide;
use glost_core::diagnostic::suggestion;
use glost_core::glaze::NoAnalysis;
use glost_core::material::Material;
use glost_core::swap::{SwapQuestion, SwapTrouble, closest};
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::{Trouble, trouble};

use super::{GlazeValue, OxidesValue, ProposalValue, no_such_name, or_nothing, text_or_nothing, unknown_analysis};

type Raised = Box<EvalAltResult>;

/// Steps that one question to the optimiser counts for.
const SOLVE_STEPS: u64 = 2_000;

/// A material as scripts see it.
#[derive(Debug, Clone)]
pub(crate) struct MaterialValue(pub(crate) Arc<Material>);

/// All materials in sight; looks into the present run's scene.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MaterialsValue;

/// The material of this name in the scene.
pub(crate) fn find(name: &str) -> Result<Arc<Material>, Raised> {
    let library = &scene::scene()?.library;
    library.find(name).cloned().ok_or_else(|| {
        Trouble::new("unknown-material", format!("no material is called `{name}`"))
            .maybe_help(library.suggestion(name))
            .raise()
    })
}

impl MaterialValue {
    fn unknown(&self) -> Raised {
        unknown_analysis(&NoAnalysis::Unknown(vec![self.0.name.clone()]))
    }

    fn oxides(&self) -> Result<OxidesValue, Raised> {
        let fired = self.0.fired.as_ref().ok_or_else(|| self.unknown())?;
        Ok(OxidesValue::new(fired.oxides.as_slice(), &scene::scene()?.fluxes))
    }

    fn contains(&self, name: &str) -> Result<bool, Raised> {
        let oxide = Oxide::from_formula(name).ok_or_else(|| {
            Trouble::new("unknown-oxide", format!("`{name}` is no oxide that Glost knows"))
                .maybe_help(suggestion(name, Oxide::ALL.map(Oxide::formula)))
                .raise()
        })?;
        let fired = self.0.fired.as_ref().ok_or_else(|| self.unknown())?;
        Ok(fired.oxides.get(oxide) > 0.0)
    }
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.module.set_custom_type::<MaterialValue>(Sort::Material.words());
    shelf.module.set_custom_type::<MaterialsValue>(Sort::Materials.words());
    shelf.entries.push(Entry::global(
        "materials",
        Sort::Materials,
        "All materials in sight: the studio's and the shipped ones.",
    ));
    one(shelf);
    stock(shelf);
    all(shelf);
}

fn one(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Material;
    shelf.add(
        Entry::property(OWNER, "name", Sort::Text, "Its name."),
        |material: &mut MaterialValue| ImmutableString::from(material.0.name.as_str()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "kind",
            Sort::Text,
            "mineral, clay, frit, glass, chemical, colourant, stain, gum, textbook or powder.",
        ),
        |material: &mut MaterialValue| ImmutableString::from(material.0.kind.word()),
    );
    shelf.add(
        Entry::property(OWNER, "known", Sort::YesNo, "Whether its analysis is known."),
        |material: &mut MaterialValue| material.0.fired.is_some(),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "oxides",
            Sort::Oxides,
            "Fired oxides in grams from 100 g as supplied; an error where the analysis isn't known.",
        ),
        |material: &mut MaterialValue| material.oxides(),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "contains",
            "oxide",
            Sort::YesNo,
            "Whether there is any of an oxide in it; an error where the analysis isn't known.",
        )
        .example("materials[\"whiting\"].contains(\"CaO\")"),
        |material: &mut MaterialValue, oxide: &str| material.contains(oxide),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "loss_on_ignition",
            Sort::Number,
            "Loss on ignition in wt % as supplied; an error where the analysis isn't known.",
        ),
        |material: &mut MaterialValue| -> Result<f64, Raised> {
            let fired = material.0.fired.as_ref().ok_or_else(|| material.unknown())?;
            Ok(fired.loss_grams)
        },
    );
    shelf.add(
        Entry::property(OWNER, "raw_clay", Sort::Number, "The share of raw clay in it, 0 to 1."),
        |material: &mut MaterialValue| material.0.raw_clay_fraction,
    );
    shelf.add(
        Entry::property(
            OWNER,
            "soluble",
            Sort::YesNo,
            "Whether it is marked as soluble in water.",
        ),
        |material: &mut MaterialValue| material.0.soluble,
    );
    shelf.add(
        Entry::property(
            OWNER,
            "toxic",
            Sort::YesNo,
            "Whether it is marked as poisonous to handle.",
        ),
        |material: &mut MaterialValue| material.0.toxic,
    );
    shelf.silent(
        "index$get$",
        |_: &mut MaterialValue, name: &str| -> Result<Dynamic, Raised> {
            Err(no_such_name(
                Sort::Material,
                name,
                crate::reference::names_of(Sort::Material),
            ))
        },
    );
}

fn stock(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Material;
    shelf.add(
        Entry::property(
            OWNER,
            "price",
            Sort::Number,
            "Its price for a kilogram; `()` where none is given.",
        ),
        |material: &mut MaterialValue| or_nothing(material.0.price.as_ref().map(|price| price.per_kg)),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "currency",
            Sort::Text,
            "The currency of its price; `()` where none is given.",
        ),
        |material: &mut MaterialValue| text_or_nothing(material.0.price.as_ref().map(|price| price.currency.as_str())),
    );
    shelf.add(
        Entry::property(OWNER, "stock", Sort::Number, "Grams in stock; `()` where nobody says."),
        |material: &mut MaterialValue| or_nothing(material.0.stock.map(|stock| stock.grams())),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "to_be_had",
            Sort::YesNo,
            "Whether it is in stock or can be bought.",
        ),
        |material: &mut MaterialValue| material.0.to_be_had(),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "lot",
            Sort::Text,
            "The supplier's lot; `()` where none is given.",
        ),
        |material: &mut MaterialValue| text_or_nothing(material.0.lot.as_deref()),
    );
    shelf.add(
        Entry::property(OWNER, "source", Sort::Text, "Where its data come from."),
        |material: &mut MaterialValue| ImmutableString::from(material.0.provenance.as_str()),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "shipped",
            Sort::YesNo,
            "Whether it came with Glost rather than from the studio.",
        ),
        |material: &mut MaterialValue| material.0.shipped,
    );
}

fn all(shelf: &mut Shelf) {
    const OWNER: Sort = Sort::Materials;
    shelf.add(
        Entry::index(
            OWNER,
            "name",
            Sort::Material,
            "The material of a name, any of its names, without regard to capitals.",
        )
        .example("materials[\"whiting\"]"),
        |_: &mut MaterialsValue, name: &str| find(name).map(MaterialValue),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "contains",
            "name",
            Sort::YesNo,
            "Whether there is a material of that name.",
        ),
        |_: &mut MaterialsValue, name: &str| -> Result<bool, Raised> {
            Ok(scene::scene()?.library.find(name).is_some())
        },
    );
    shelf.add(
        Entry::property(OWNER, "list", Sort::List(&Sort::Material), "All of them."),
        |_: &mut MaterialsValue| -> Result<Array, Raised> {
            let scene = scene::scene()?;
            let list: Array = scene
                .library
                .iter()
                .take(bounds::ITEMS_MOST)
                .map(|material| Dynamic::from(MaterialValue(material.clone())))
                .collect();
            bounds::charge_or_end(list.len() as u64)?;
            Ok(list)
        },
    );
    shelf.add(
        Entry::method(
            OWNER,
            "solve",
            "question",
            Sort::List(&Sort::Proposal),
            "Recipes nearest in chemistry to `match: glaze` once the materials in `without` are gone; `with` names the only newcomers, `at_most` how many, `show` how many recipes.",
        )
        .example("materials.solve(#{ match: glaze, without: [\"feldspar A\"], show: 3 })"),
        |_: &mut MaterialsValue, question: Map| solve(&question),
    );
}

const KEYS: [&str; 5] = ["match", "without", "with", "at_most", "show"];

fn solve(question: &Map) -> Result<Array, Raised> {
    bounds::charge_or_end(SOLVE_STEPS)?;
    if let Some(odd) = question.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(Trouble::new("unknown-key", format!("`solve` takes no `{odd}`"))
            .maybe_help(suggestion(odd, KEYS))
            .raise());
    }
    let glaze = question
        .get("match")
        .and_then(|value| value.read_lock::<GlazeValue>().map(|glaze| glaze.clone()))
        .ok_or_else(|| trouble("missing-key", "`solve` needs a glaze: `match: glaze`"))?;
    let scene = scene::scene()?;
    let answer = closest(&SwapQuestion {
        glaze: glaze.recipe(),
        library: &scene.library,
        fluxes: &scene.fluxes,
        out: named(question, "without")?,
        with: named(question, "with")?,
        at_most: count(question, "at_most", 0)?,
        show: count(question, "show", 1)?.unwrap_or(3),
        shipped_may_come: scene.shipped_may_come,
    });
    let found = answer.map_err(|why| no_swap(&why))?;
    Ok(found
        .into_iter()
        .map(|candidate| Dynamic::from(ProposalValue::new(candidate, &scene)))
        .collect())
}

/// The materials that a list of names (or materials) means.
fn named(question: &Map, key: &str) -> Result<Vec<Arc<Material>>, Raised> {
    let list = match question.get(key) {
        None => return Ok(Vec::new()),
        Some(value) if value.is_unit() => return Ok(Vec::new()),
        Some(value) => value
            .read_lock::<Array>()
            .ok_or_else(|| trouble("wrong-kind", format!("`{key}` should be a list of materials' names")))?,
    };
    list.iter()
        .map(|item| {
            if let Some(material) = item.read_lock::<MaterialValue>() {
                return Ok(material.0.clone());
            }
            let name = item.read_lock::<ImmutableString>();
            let name =
                name.ok_or_else(|| trouble("wrong-kind", format!("`{key}` should be a list of materials' names")))?;
            find(&name)
        })
        .collect()
}

fn count(question: &Map, key: &str, least: i64) -> Result<Option<usize>, Raised> {
    match question.get(key) {
        None => Ok(None),
        Some(value) if value.is_unit() => Ok(None),
        Some(value) => match value.as_int() {
            Ok(count) if (least..=100).contains(&count) => Ok(Some(count as usize)),
            _ => Err(trouble(
                "wrong-value",
                format!("`{key}` should be a whole number from {least} to 100"),
            )),
        },
    }
}

fn no_swap(why: &SwapTrouble) -> Raised {
    match why {
        SwapTrouble::UnknownAnalysis(names) => unknown_analysis(&NoAnalysis::Unknown(names.clone())),
        SwapTrouble::NotInRecipe(name) => trouble("not-in-recipe", format!("`{name}` isn't in the recipe")),
        SwapTrouble::NoFlux => trouble(
            "no-flux",
            "the glaze has no flux, so there is no unity formula to match",
        ),
        SwapTrouble::NothingToSwapTo => Trouble::new("nothing-to-swap-to", "nothing is to be had that could come in")
            .help("mark materials as buyable or in stock, or name newcomers")
            .raise(),
        SwapTrouble::NotANewcomer(name) => trouble(
            "not-a-newcomer",
            format!("`{name}` can't come in: it is gone itself, or in the recipe already"),
        ),
        SwapTrouble::TooManySets { newcomers, at_most } => Trouble::new(
            "too-many-sets",
            format!("at most {at_most} of {newcomers} newcomers are more combinations than can all be tried"),
        )
        .help("ask for fewer at most, or name fewer newcomers")
        .raise(),
        SwapTrouble::Unsolvable => trouble("unsolvable", "these numbers are beyond what can be solved"),
    }
}
