//! What a glaze costs, and in which bags a material is sold.

use glost_core::workshop::cost::Cost;
use rhai::{Array, Dynamic, EvalAltResult, ImmutableString, Map};

use crate::failure::Cause;
use crate::language::number;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::Trouble;

use super::{GlazeValue, MaterialValue, or_nothing, text_or_nothing};

type Raised = Box<EvalAltResult>;

fn costed(glaze: &GlazeValue) -> Result<Cost, Raised> {
    Ok(Cost::of_glaze(glaze.recipe(), scene::scene()?.currency.as_deref()))
}

/// The cost of a kilogram; an error that names what has no price.
fn per_kg(glaze: &GlazeValue) -> Result<f64, Raised> {
    let cost = costed(glaze)?;
    if let (true, Some(amount)) = (cost.is_whole(), cost.per_kg()) {
        return Ok(amount);
    }
    let unpriced: Vec<String> = cost.unknown.iter().map(ToString::to_string).collect();
    let mut trouble = Trouble::new(
        "no-price",
        format!(
            "what `{}` costs can't be told: {} {} no price that counts",
            glaze.name(),
            unpriced.join(" and "),
            if unpriced.len() == 1 { "has" } else { "have" }
        ),
    )
    .help("write `price: 8 EUR per 5 kg` into its entry, in the studio's currency; `glaze.unpriced` asks first");
    trouble.cause = cost
        .unknown
        .first()
        .map(|one| Cause::UnknownMaterial(one.material.clone()));
    Err(trouble.raise())
}

/// A kilogram at other prices; `()` where a price is missing.
fn cost_at(glaze: &GlazeValue, prices: &Map) -> Result<Dynamic, Raised> {
    let cost = costed(glaze)?;
    let mut sum = 0.0;
    for line in &cost.lines {
        let price = match prices.get(line.material.as_str()) {
            Some(price) if price.is_unit() => None,
            Some(price) => Some(number(price).filter(|price| price.is_finite()).ok_or_else(|| {
                Trouble::new(
                    "wrong-value",
                    format!("the price of {} should be a number", line.material),
                )
                .raise()
            })?),
            None => line.price_per_kg,
        };
        let Some(price) = price else {
            return Ok(Dynamic::UNIT);
        };
        sum += price * line.grams;
    }
    Ok(Dynamic::from(sum / cost.grams()))
}

/// Grams of each material in so much dry glaze.
fn grams_in(glaze: &GlazeValue, dry: f64) -> Result<Map, Raised> {
    let cost = costed(glaze)?;
    let whole = cost.grams();
    if !(dry.is_finite() && dry >= 0.0) || whole <= 0.0 {
        return Err(Trouble::new("wrong-value", "how much of it? a number of grams, not negative").raise());
    }
    let lines = cost.lines.into_iter();
    Ok(lines
        .map(|line| (line.material.into(), Dynamic::from(dry * line.grams / whole)))
        .collect())
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "cost",
            Sort::Number,
            "What a kilogram of it costs, dry with its additions, in the studio's currency; an error that names the material where a price is missing, see `unpriced`.",
        )
        .example("if glaze.unpriced.is_empty() { glaze.cost } else { () }"),
        |glaze: &mut GlazeValue| per_kg(glaze),
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "unpriced",
            Sort::List(&Sort::Text),
            "The materials in it without a price, or with one in another currency than the rest.",
        ),
        |glaze: &mut GlazeValue| -> Result<Array, Raised> {
            let names = costed(glaze)?.unknown.into_iter().map(|one| one.material);
            Ok(names.map(|name| Dynamic::from(ImmutableString::from(name))).collect())
        },
    );
    shelf.add(
        Entry::property(
            Sort::Glaze,
            "currency",
            Sort::Text,
            "The currency of `cost`: the studio's, else that of the first price in it; `()` where there is none.",
        ),
        |glaze: &mut GlazeValue| -> Result<Dynamic, Raised> { Ok(text_or_nothing(costed(glaze)?.currency.as_deref())) },
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "grams_in",
            "dry",
            Sort::Table,
            "Grams of each material in so many grams of it, dry with its additions: a table by name.",
        )
        .example("glaze.grams_in(1000)[\"whiting\"] > 0"),
        |glaze: &mut GlazeValue, dry: f64| grams_in(glaze, dry),
    );
    shelf.also(|glaze: &mut GlazeValue, dry: i64| grams_in(glaze, dry as f64));
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "cost_at",
            "prices",
            Sort::Any,
            "What a kilogram of it costs at these prices per kilogram (a table by material), its materials' own for the rest; `()` where one is missing.",
        )
        .example("glaze.cost_at(#{ \"whiting\": 1.2 }) == () || glaze.unpriced.is_empty()"),
        |glaze: &mut GlazeValue, prices: Map| cost_at(glaze, &prices),
    );
    shelf.add(
        Entry::property(
            Sort::Material,
            "bag",
            Sort::Number,
            "Grams in the bag that its price is for (`8 EUR per 5 kg`); `()` where it is priced by weight or not at all.",
        ),
        |material: &mut MaterialValue| {
            or_nothing(material.0.price.as_ref().and_then(|price| price.bag_grams))
        },
    );
    shelf.add(
        Entry::property(
            Sort::Material,
            "buyable",
            Sort::YesNo,
            "Whether its file says that it can be bought.",
        ),
        |material: &mut MaterialValue| material.0.buyable,
    );
    shelf.add(
        Entry::property(
            Sort::Material,
            "mixed_from",
            Sort::List(&Sort::Text),
            "The materials that a pre-mix or a home-made frit is mixed from; empty for anything else.",
        ),
        |material: &mut MaterialValue| -> Array {
            let parts = material.0.mixed_from.iter();
            parts
                .map(|(name, _)| Dynamic::from(ImmutableString::from(name.as_str())))
                .collect()
        },
    );
}
