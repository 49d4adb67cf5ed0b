//! Materials, one and all, and the optimiser that works with them.

use std::sync::Arc;

use glost_chemistry::diagnostic::{is_no, none_called, suggestion};
use glost_chemistry::glaze::NoAnalysis;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::Oxide;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::bounds;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::solving::{candidates, solve};
use super::{GlazeValue, OxidesValue, no_such_name, or_nothing, text_or_nothing, unknown_analysis};

type Raised = Box<EvalAltResult>;

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
        Trouble::new("unknown-material", none_called("material", name))
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
            Trouble::new("unknown-oxide", is_no(name, "oxide that Glost knows"))
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
            "Recipes for `match: glaze` once what is in `without` is gone, best first; `with` names newcomers, `never` who may not come, `aims` and `within` (limits) what they meet, `distance` how far they may be, `least` change, weights, cost or distance. Empty: see `materials.why`.",
        )
        .example("materials.solve(#{ match: glaze, without: [\"feldspar A\"], show: 3 })"),
        |_: &mut MaterialsValue, question: Map| solve(&question),
    );
    shelf.add(
        Entry::method(
            OWNER,
            "candidates",
            "glaze, out",
            Sort::List(&Sort::Material),
            "The materials that may come into a glaze by rule once those in `out` (a name, or a list) are gone: to be had, no hazard to handle, no colour that wasn't there.",
        )
        .example("materials.candidates(glaze, [\"feldspar A\"])"),
        |_: &mut MaterialsValue, glaze: GlazeValue, out: Dynamic| candidates(&glaze, &out),
    );
    shelf.add(
        Entry::property(
            OWNER,
            "why",
            Sort::Text,
            "Why the last `solve` found nothing: the aims that clash, and the nearest miss; `()` where it found something.",
        )
        .example("materials.why == ()"),
        |_: &mut MaterialsValue| -> Result<Dynamic, Raised> {
            scene::present(|run| text_or_nothing(run.why.as_deref()))
        },
    );
}
