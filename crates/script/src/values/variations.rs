//! Recipes made from a recipe.

use std::sync::Arc;

use glost_core::glaze::{Glaze, Portion};
use glost_core::material::Material;
use rhai::EvalAltResult;

use crate::bounds;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::trouble::trouble;

use super::GlazeValue;
use super::materials::find;

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
        Ok(self.changed(glost_core::swap::one_for_one(self.recipe(), &out, &with)))
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
            "distance",
            "other",
            Sort::Number,
            "How far another glaze's chemistry is from this one's, in tolerances; to 2 is near, to 10 noticeable.",
        ),
        |glaze: &mut GlazeValue, other: GlazeValue| glaze.distance(&other),
    );
}
