//! A material's share of a recipe, and of everything else in the bucket.

use glost_chemistry::glaze::{Glaze, Portion};

/// A material's place in a recipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RecipeShare {
    /// In the base: per cent of it. On top: per cent on the base.
    pub percent: f64,
    /// Whether it is counted in the base.
    pub in_base: bool,
    /// Share of base in everything else, 0 to 1.
    pub base_share: f64,
}

/// The share of a material (by its name) in a recipe; `None` where it holds none of
/// it, or nothing else.
pub fn recipe_share(glaze: &Glaze, material: &str) -> Option<RecipeShare> {
    let own = |portions: &[Portion]| -> f64 {
        let same = portions.iter().filter(|portion| portion.material.name == material);
        same.map(|portion| portion.percent).sum()
    };
    let total: f64 = glaze.portions().map(|portion| portion.percent).sum();
    let (in_base, on_top) = (own(&glaze.base), own(&glaze.additions));
    let all_base: f64 = glaze.base.iter().map(|portion| portion.percent).sum();
    let (base, percent) = if in_base > 0.0 {
        // What is on top of the same material counts with it.
        let (held, base) = (in_base + on_top, all_base - in_base);
        (base, 100.0 * held / (held + base))
    } else {
        (all_base, on_top)
    };
    let others = total - in_base - on_top;
    (percent > 0.0 && base > 0.0).then(|| RecipeShare {
        percent,
        in_base: in_base > 0.0,
        base_share: base / others,
    })
}

/// A share in per cent as one on the other base: of a base material it is a share of
/// the whole base, of an addition already one on top. `None` for a share that can't
/// be mixed.
pub fn share_on_the_rest(percent: f64, in_base: bool) -> Option<f64> {
    let most = if in_base { 99.9 } else { 100.0 };
    let usable = percent > 0.0 && percent <= most;
    let on_top = if in_base {
        100.0 * percent / (100.0 - percent)
    } else {
        percent
    };
    usable.then_some(on_top)
}

/// Everything else of a recipe, so many grams in all: names and grams.
pub fn everything_else(glaze: &Glaze, material: &str, grams: f64) -> Vec<(String, f64)> {
    let others: Vec<&Portion> = glaze
        .portions()
        .filter(|portion| portion.material.name != material && portion.percent > 0.0)
        .collect();
    let total: f64 = others.iter().map(|portion| portion.percent).sum();
    others
        .iter()
        .map(|portion| (portion.material.name.clone(), grams * portion.percent / total))
        .filter(|(_, grams)| *grams > 0.0)
        .collect()
}
