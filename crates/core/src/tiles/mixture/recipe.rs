//! The recipe of a blend that no tile of a plan is.
//!
//! Every tile's recipe is its shares of the ends' recipes, so the ends follow from the
//! tiles that were saved, also where a plan made its own ends or a glaze was changed since.

use crate::tiles::blend::SavedTile;

use super::least_squares::Factor;

/// A recipe by names: base in shares of 100, additions in per cent of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BlendRecipe {
    /// The base.
    pub parts: Vec<(String, f64)>,
    /// What comes on top.
    pub additions: Vec<(String, f64)>,
}

/// Amounts smaller than this per cent are rounding.
const NOTHING: f64 = 1e-6;

/// The recipe at these shares; `None` where the tiles don't tell their ends' recipes
/// apart, or hold none.
pub fn recipe_at(tiles: &[&SavedTile], shares: &[f64]) -> Option<BlendRecipe> {
    let columns: Vec<Vec<f64>> = (0..shares.len())
        .map(|end| {
            tiles
                .iter()
                .map(|tile| tile.shares.get(end).copied().unwrap_or(0.0))
                .collect()
        })
        .collect();
    let factor = Factor::of(&columns).ok()?;
    let mixed = |list: fn(&SavedTile) -> &Vec<(String, f64)>| -> Vec<(String, f64)> {
        let mut names: Vec<&str> = Vec::new();
        for (name, _) in tiles.iter().flat_map(|tile| list(tile)) {
            if !names.contains(&name.as_str()) {
                names.push(name);
            }
        }
        let amount = |tile: &SavedTile, name: &str| {
            let found = list(tile).iter().find(|(known, _)| known == name);
            found.map_or(0.0, |(_, percent)| *percent)
        };
        names
            .into_iter()
            .map(|name| {
                let amounts: Vec<f64> = tiles.iter().map(|tile| amount(tile, name)).collect();
                let (ends, _) = factor.solve(&amounts);
                let percent: f64 = ends.iter().zip(shares).map(|(end, share)| end * share).sum();
                (name.to_owned(), percent)
            })
            .filter(|(_, percent)| *percent > NOTHING)
            .collect()
    };
    let recipe = BlendRecipe {
        parts: mixed(|tile| &tile.parts),
        additions: mixed(|tile| &tile.additions),
    };
    (!recipe.parts.is_empty()).then_some(recipe)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tile(shares: [f64; 2], silica: f64, rutile: f64) -> SavedTile {
        SavedTile {
            code: String::new(),
            shares: shares.to_vec(),
            parts: vec![("silica".to_owned(), silica), ("whiting".to_owned(), 100.0 - silica)],
            additions: vec![("rutile".to_owned(), rutile)],
            unity: Vec::new(),
        }
    }

    #[test]
    fn a_blend_between_tiles_is_mixed_from_the_ends_behind_them() {
        let tiles = [tile([0.75, 0.25], 35.0, 1.0), tile([0.25, 0.75], 25.0, 3.0)];
        let tiles: Vec<&SavedTile> = tiles.iter().collect();
        let recipe = recipe_at(&tiles, &[0.9, 0.1]).unwrap_or_else(|| panic!("tiles lie around it"));
        let amount = |list: &[(String, f64)]| list.first().map_or(0.0, |(_, percent)| *percent);
        assert!((amount(&recipe.parts) - 38.0).abs() < 1e-9, "{recipe:?}");
        assert!((amount(&recipe.additions) - 0.4).abs() < 1e-9, "{recipe:?}");
        assert_eq!(recipe_at(&tiles[..1], &[0.9, 0.1]), None);
    }
}
