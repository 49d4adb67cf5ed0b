//! What tiles of a saved plan are to whoever looks for evidence: a glaze itself, a base with
//! more of one material, or a recipe of their own.

use glost_chemistry::read::folded;

use crate::evidence::window::{LadderTile, OwnRecipe};

use super::saved::{SavedPlan, SavedTile};

/// A tile that holds less than this of its other ends is the one end itself.
const NOTHING: f64 = 1e-9;

impl SavedPlan {
    /// Each tile with what it was made of.
    pub fn told(&self) -> Vec<LadderTile> {
        let ladder = self.ladder();
        if !ladder.is_empty() {
            return ladder;
        }
        self.tiles.iter().map(|tile| self.tile_told(tile)).collect()
    }

    fn tile_told(&self, tile: &SavedTile) -> LadderTile {
        let name = self.whole_code(tile);
        let whole = tile.shares.iter().position(|share| *share >= 1.0 - NOTHING);
        let end = whole
            .and_then(|end| self.ends.get(end))
            .filter(|end| folded(end) != folded(&name));
        LadderTile {
            base: end.cloned().unwrap_or_else(|| name.clone()),
            tile: name,
            step: None,
            materials: tile.parts.iter().map(|(name, _)| name.clone()).collect(),
            own: end.is_none().then(|| OwnRecipe {
                parts: tile.parts.clone(),
                additions: tile.additions.clone(),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;

    #[test]
    fn a_tile_between_two_glazes_has_a_recipe_of_its_own() {
        let text = r#"{ "kind": "line", "ends": ["Ash", "Clear"], "tiles": [
            { "code": "A1", "shares": [1.0, 0.0], "parts": { "ash": 60.0, "kaolin": 40.0 }, "additions": {} },
            { "code": "A2", "shares": [0.5, 0.5], "parts": { "ash": 30.0, "kaolin": 30.0, "whiting": 40.0 }, "additions": { "rutile": 1.0 } }
        ] }"#;
        let plan = SavedPlan::read("p", &Source::from_text("p.json", text)).unwrap();
        let told = plan.told();
        assert_eq!((told[0].tile.as_str(), told[0].base.as_str()), ("p/A1", "Ash"));
        assert_eq!(told[0].own, None);
        assert_eq!((told[1].base.as_str(), &told[1].step), ("p/A2", &None));
        let own = told[1].own.as_ref().unwrap();
        assert_eq!(own.additions, [("rutile".to_owned(), 1.0)]);
        assert_eq!(own.parts.len(), 3);
    }
}
