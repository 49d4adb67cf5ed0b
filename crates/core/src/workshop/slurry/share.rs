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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::bench::{glaze, near};

    fn share(lines: &str, material: &str) -> Option<RecipeShare> {
        recipe_share(&glaze(lines), material)
    }

    const TIN_WHITE: &str = "parts: { silica: 60, whiting: 40 }\nadditions: { tin oxide: 8, cobalt carbonate: 2 }";

    /// On 100 of base lie 8 tin and 2 cobalt: of everything but tin 100 in 102 are base.
    #[test]
    fn an_addition_is_on_the_base_and_a_base_material_in_it() {
        let tin = share(TIN_WHITE, "tin oxide").unwrap();
        assert!(!tin.in_base);
        near(tin.percent, 8.0, "tin on the base");
        near(tin.base_share, 100.0 / 102.0, "base in the rest");
        let silica = share(TIN_WHITE, "silica").unwrap();
        assert!(silica.in_base);
        near(silica.percent, 60.0, "silica in the base");
        near(silica.base_share, 40.0 / 50.0, "whiting in the rest");
        // 60 in the base and 10 on top: 70 of 110.
        let both = share(
            "parts: { silica: 60, whiting: 40 }\nadditions: { silica: 10 }",
            "silica",
        )
        .unwrap();
        near(both.percent, 100.0 * 70.0 / 110.0, "both");
        near(both.base_share, 1.0, "all the rest is base");
        assert_eq!(share(TIN_WHITE, "kaolin"), None);
        assert_eq!(share("parts: { silica: 1 }", "silica"), None);
    }

    /// 20 % of a whole are 25 % on the rest.
    #[test]
    fn a_share_of_the_whole_is_more_on_the_rest() {
        near(share_on_the_rest(20.0, true).unwrap(), 25.0, "in the base");
        assert_eq!(share_on_the_rest(20.0, false), Some(20.0));
        assert!(share_on_the_rest(99.9, true).is_some() && share_on_the_rest(100.0, false).is_some());
        for (percent, in_base) in [(99.95, true), (100.1, false), (0.0, true), (-1.0, false)] {
            assert_eq!(share_on_the_rest(percent, in_base), None, "{percent}");
        }
    }

    #[test]
    fn everything_else_keeps_its_own_proportions() {
        let others = everything_else(&glaze(TIN_WHITE), "tin oxide", 510.0);
        let names: Vec<&str> = others.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["silica", "whiting", "cobalt carbonate"]);
        for ((_, grams), wanted) in others.iter().zip([300.0, 200.0, 10.0]) {
            near(*grams, wanted, "grams");
        }
        assert!(everything_else(&glaze(TIN_WHITE), "silica", 0.0).is_empty());
    }
}
