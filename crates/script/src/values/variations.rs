//! Recipes made from a recipe.

use std::sync::Arc;

use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::Material;
use glost_core::recipes::swap::Comparison;
use glost_core::workshop::scales::{WeighedLine, weigh_out};
use rhai::{Dynamic, EvalAltResult, Map};

use crate::bounds;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::trouble;

use super::materials::find;
use super::{GlazeValue, unknown_analysis};

type Raised = Box<EvalAltResult>;

impl GlazeValue {
    fn replaced(&self, out: &str, with: &str) -> Result<GlazeValue, Raised> {
        bounds::charge_or_end(50)?;
        let (out, with) = (find(out)?, find(with)?);
        if !self.recipe().holds(&out) {
            return Err(trouble(
                "not-in-recipe",
                format!("`{}` isn't in `{}`", out.name, self.name()),
            ));
        }
        Ok(self.changed(glost_core::recipes::swap::one_for_one(self.recipe(), &out, &with)))
    }

    /// What the scales would show for so many grams of base.
    fn weighed(&self, grams: f64) -> Result<Map, Raised> {
        bounds::charge_or_end(500)?;
        if !(grams > 0.0 && grams <= 1e7) {
            return Err(trouble(
                "wrong-value",
                "a batch weighs something, and ten tonnes at most",
            ));
        }
        let scene = scene::scene()?;
        let glaze = self.recipe();
        let comparison = Comparison::with(glaze, &scene.fluxes).map_err(|why| unknown_analysis(&why))?;
        let comparison = comparison.ok_or_else(|| trouble("no-flux", "a glaze without flux can't be compared"))?;
        let weighed = weigh_out(glaze, &scene.fluxes, comparison.yardstick(), grams, &scene.scales);
        let table = |lines: &[WeighedLine]| -> Map {
            lines
                .iter()
                .map(|line| (line.material.as_str().into(), Dynamic::from(line.grams)))
                .collect()
        };
        let mut found = Map::new();
        found.insert("parts".into(), table(&weighed.base).into());
        found.insert("additions".into(), table(&weighed.additions).into());
        found.insert("distance".into(), weighed.distance.map_or(Dynamic::UNIT, Dynamic::from));
        Ok(found)
    }

    fn with_addition(&self, name: &str, percent: f64) -> Result<GlazeValue, Raised> {
        let material = find(name)?;
        let mut glaze = Glaze::clone(self.recipe());
        set_portion(&mut glaze.additions, material, percent)?;
        Ok(self.changed(glaze))
    }

    fn with_part(&self, name: &str, parts: f64) -> Result<GlazeValue, Raised> {
        let material = find(name)?;
        let mut glaze = Glaze::clone(self.recipe());
        set_portion(&mut glaze.base, material, parts)?;
        let total: f64 = glaze.base.iter().map(|portion| portion.percent).sum();
        if total <= 0.0 {
            return Err(trouble("wrong-value", "nothing is left in the base"));
        }
        for portion in &mut glaze.base {
            portion.percent *= 100.0 / total;
        }
        Ok(self.changed(glaze))
    }
}

fn set_portion(portions: &mut Vec<Portion>, material: Arc<Material>, percent: f64) -> Result<(), Raised> {
    bounds::charge_or_end(50)?;
    if !(0.0..=1e6).contains(&percent) {
        return Err(trouble(
            "wrong-value",
            "an amount can't be negative or beyond a million",
        ));
    }
    match portions
        .iter_mut()
        .find(|portion| portion.material.name == material.name)
    {
        Some(known) => known.percent = percent,
        None => portions.push(Portion { material, percent }),
    }
    Ok(())
}

pub(super) fn register(shelf: &mut Shelf) {
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "named",
            "name",
            Sort::Glaze,
            "The recipe under another name.",
        )
        .example("glaze.named(\"clear\").name == \"clear\""),
        |glaze: &mut GlazeValue, name: &str| -> GlazeValue {
            let mut renamed = Glaze::clone(glaze.recipe());
            renamed.name = name.to_owned();
            glaze.changed(renamed)
        },
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "replace",
            "out, with",
            Sort::Glaze,
            "The recipe with one material taken for another, weight for weight.",
        )
        .example("glaze.replace(\"whiting\", \"wollastonite\")"),
        |glaze: &mut GlazeValue, out: &str, with: &str| glaze.replaced(out, with),
    );
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "with_addition",
            "material, percent",
            Sort::Glaze,
            "The recipe with so much of an addition, in per cent of the base.",
        )
        .example("glaze.with_addition(\"bentonite\", 2)"),
        |glaze: &mut GlazeValue, name: &str, percent: f64| glaze.with_addition(name, percent),
    );
    shelf.also(|glaze: &mut GlazeValue, name: &str, percent: i64| glaze.with_addition(name, percent as f64));
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "with_part",
            "material, parts",
            Sort::Glaze,
            "The recipe with so many parts of a material beside its 100, taken as 100 again.",
        )
        .example("glaze.with_part(\"silica\", 30)"),
        |glaze: &mut GlazeValue, name: &str, parts: f64| glaze.with_part(name, parts),
    );
    shelf.also(|glaze: &mut GlazeValue, name: &str, parts: i64| glaze.with_part(name, parts as f64));
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "weighed",
            "grams",
            Sort::Table,
            "What the studio's scales show for so many grams of base: parts and additions in grams by material, and the distance that rounding makes.",
        )
        .example("glaze.weighed(5000).distance < 1"),
        |glaze: &mut GlazeValue, grams: f64| glaze.weighed(grams),
    );
    shelf.also(|glaze: &mut GlazeValue, grams: i64| glaze.weighed(grams as f64));
    shelf.add(
        Entry::method(
            Sort::Glaze,
            "distance",
            "other",
            Sort::Number,
            "How far another glaze's chemistry is from this one's, in tolerances; to 2 is near, to 10 noticeable.",
        ),
        |glaze: &mut GlazeValue, other: GlazeValue| glaze.distance(&other),
    );
}
