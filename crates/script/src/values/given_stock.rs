//! Prices and stock that a test gives its materials.

use std::sync::Arc;

use glost_chemistry::diagnostic::suggestion;
use glost_chemistry::glaze::{Glaze, Portion};
use glost_chemistry::material::{Library, Material};
use glost_chemistry::quantity::{Grams, Price};
use rhai::{Dynamic, EvalAltResult, ImmutableString, Map};

use crate::language::number;
use crate::trouble::{Trouble, trouble};

use super::materials::find;

type Raised = Box<EvalAltResult>;

const KEYS: [&str; 3] = ["price", "stock", "buyable"];

/// The materials of `#{ "silica": #{ price: "11 EUR per 10 kg", stock: 5000, buyable: true } }`:
/// those of the scene with these prices and stocks (grams).
pub(super) fn stocked(given: &Dynamic) -> Result<Vec<Material>, Raised> {
    let table = given.read_lock::<Map>().ok_or_else(|| {
        trouble(
            "wrong-kind",
            "`materials` is a table by name: `#{ \"silica\": #{ stock: 5000 } }`",
        )
    })?;
    table.iter().map(|(name, about)| one(name, about)).collect()
}

fn one(name: &str, about: &Dynamic) -> Result<Material, Raised> {
    let wrong = |message: String| trouble("wrong-value", message);
    let about = about.read_lock::<Map>().ok_or_else(|| {
        trouble(
            "wrong-kind",
            format!("`{name}` should have a table: `#{{ stock: 5000 }}`"),
        )
    })?;
    if let Some(odd) = about.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(
            Trouble::new("unknown-key", format!("a material in a test has no `{odd}`"))
                .maybe_help(suggestion(odd, KEYS))
                .raise(),
        );
    }
    let mut material = Material::clone(&*find(name)?);
    if let Some(price) = about.get("price") {
        let text = price
            .read_lock::<ImmutableString>()
            .ok_or_else(|| wrong(format!("the price of `{name}` is a text: \"1.60 EUR/kg\"")))?;
        material.price = Some(
            Price::parse(&text).map_err(|bad| Trouble::new("wrong-value", bad.message).maybe_help(bad.help).raise())?,
        );
    }
    if let Some(stock) = about.get("stock") {
        let grams = number(stock).and_then(Grams::new);
        material.stock = Some(grams.ok_or_else(|| wrong(format!("the stock of `{name}` is a number of grams")))?);
    }
    if let Some(buyable) = about.get("buyable") {
        material.buyable = buyable
            .as_bool()
            .map_err(|_| wrong(format!("`buyable` of `{name}` is true or false")))?;
    }
    Ok(material)
}

/// A glaze with its materials as this library has them.
pub(super) fn restocked(glaze: &Arc<Glaze>, library: &Library) -> Arc<Glaze> {
    let mut glaze = Glaze::clone(glaze);
    let again = |portion: &mut Portion| {
        if let Some(material) = library.find(&portion.material.name) {
            portion.material = material.clone();
        }
    };
    glaze.base.iter_mut().chain(&mut glaze.additions).for_each(again);
    Arc::new(glaze)
}
