//! A plan's file.

use std::path::Path;

use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::Date;
use serde_json::{Map, Value, json};

use super::BlendPage;
use crate::layout::paragraph;

/// What a saved plan holds beside the plan.
#[derive(Debug, Clone)]
pub struct Saved<'a> {
    /// Its name.
    pub name: &'a str,
    /// The day.
    pub on: Date,
    /// The call that made it.
    pub call: &'a str,
}

/// What to say once a plan is saved.
pub fn saved_words(path: &Path, name: &str, page: &BlendPage<'_>) -> String {
    let first = page.plan.tiles.first().map_or("A1", |tile| tile.code.as_str());
    paragraph(
        &format!(
            "Saved as {}. Notes by tile: glost note --tile \"{name}/{first}\" --grade gloss=4; its map: glost plan \"{name}\".",
            path.display()
        ),
        0,
    )
}

impl BlendPage<'_> {
    /// The text of the plan's file: what the command answers as JSON, with its
    /// name, the day and how it was made before it.
    pub fn saved(&self, saved: &Saved<'_>) -> String {
        let mut map = Map::new();
        map.insert("plan".to_owned(), json!(saved.name));
        map.insert("on".to_owned(), json!(saved.on.to_string()));
        map.insert("call".to_owned(), json!(saved.call));
        map.insert("clay".to_owned(), json!(self.same(|end| end.about.clay.clone())));
        map.insert("cone".to_owned(), json!(self.same(|end| end.about.cone.clone())));
        map.insert("firing".to_owned(), json!(self.same(|end| end.about.firing.clone())));
        map.insert("dry".to_owned(), json!(self.dry_grams));
        map.insert("volume".to_owned(), json!(self.volume_millilitres));
        if let Value::Object(plan) = self.json() {
            map.extend(plan);
        }
        let text = serde_json::to_string_pretty(&Value::Object(map)).unwrap_or_default();
        format!("{text}\n")
    }

    /// What all ends that say it say alike.
    fn same(&self, of: impl Fn(&Glaze) -> Option<String>) -> Option<String> {
        let mut said = self.ends.iter().filter_map(of);
        let first = said.next()?;
        said.all(|other| other == first).then_some(first)
    }
}
