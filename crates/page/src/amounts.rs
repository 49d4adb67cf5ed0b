//! Recipes as JSON maps in their own order.

use glost_chemistry::glaze::Portion;
use glost_core::workshop::scales::WeighedLine;
use serde_json::{Map, Value, json};

fn map(pairs: impl IntoIterator<Item = (String, f64)>) -> Value {
    let mut map = Map::new();
    for (name, amount) in pairs {
        map.insert(name, json!(amount));
    }
    Value::Object(map)
}

/// Materials that are there, with their shares.
pub(crate) fn portions(portions: &[Portion]) -> Value {
    map(portions
        .iter()
        .filter(|portion| portion.percent > 0.0)
        .map(|portion| (portion.material.name.clone(), portion.percent)))
}

pub(crate) fn weights(lines: &[WeighedLine]) -> Value {
    map(lines
        .iter()
        .filter(|line| line.grams > 0.0)
        .map(|line| (line.material.clone(), line.grams)))
}
