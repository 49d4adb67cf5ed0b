//! Saved plans that are ladders of one addition, and which end lessens crazing.

use glost_chemistry::material::{Kind, Material};
use glost_chemistry::oxides::Oxide;

use super::recipe::{BlendRecipe, recipe_at};
use crate::tiles::blend::{SavedPlan, SavedTile};

/// Recipes closer than this per cent are the same.
const SAME: f64 = 1e-6;

/// A plan of two ends that differ in one addition.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanLadder {
    /// The end with more of it, by place.
    pub rising: usize,
    /// What is added.
    pub material: String,
    /// How much the other end holds, per cent of the base.
    pub percent_at_foot: f64,
    /// How much the rising end holds.
    pub percent_at_whole: f64,
}

/// What two ends of saved tiles differ in.
#[derive(Debug, Clone, PartialEq)]
pub enum EndsDiffer {
    /// In one addition: a ladder.
    Ladder(PlanLadder),
    /// In several additions at once, by name: which of them does it can't be told.
    Several(Vec<String>),
    /// In their bases; or they aren't two.
    Otherwise,
}

/// What the two ends of saved tiles differ in.
pub fn ends_differ(tiles: &[&SavedTile]) -> EndsDiffer {
    let Some([one, other]) = both_ends(tiles) else {
        return EndsDiffer::Otherwise;
    };
    if !differing(&one.parts, &other.parts).is_empty() {
        return EndsDiffer::Otherwise;
    }
    match differing(&one.additions, &other.additions).as_slice() {
        [] => EndsDiffer::Otherwise,
        [(material, first, second)] => EndsDiffer::Ladder(PlanLadder {
            rising: usize::from(second > first),
            material: material.clone(),
            percent_at_foot: first.min(*second),
            percent_at_whole: first.max(*second),
        }),
        several => EndsDiffer::Several(several.iter().map(|(name, _, _)| name.clone()).collect()),
    }
}

fn both_ends(tiles: &[&SavedTile]) -> Option<[BlendRecipe; 2]> {
    if tiles.iter().any(|tile| tile.shares.len() != 2) {
        return None;
    }
    Some([recipe_at(tiles, &[1.0, 0.0])?, recipe_at(tiles, &[0.0, 1.0])?])
}

/// What two lists hold differently: name, the first's amount, the second's.
fn differing(ours: &[(String, f64)], theirs: &[(String, f64)]) -> Vec<(String, f64, f64)> {
    let percent = |list: &[(String, f64)], name: &str| {
        let found = list.iter().find(|(known, _)| known == name);
        found.map_or(0.0, |(_, percent)| *percent)
    };
    let mut names: Vec<&String> = ours.iter().chain(theirs).map(|(name, _)| name).collect();
    names.sort();
    names.dedup();
    let both = names
        .into_iter()
        .map(|name| (name.clone(), percent(ours, name), percent(theirs, name)));
    both.filter(|(_, ours, theirs)| (ours - theirs).abs() > SAME).collect()
}

/// Puts ladders of one addition on one recipe onto one scale: a ladder's further tiles
/// are a plan of their own, and they are one ladder still. Whether they could be.
pub fn join_ladders(all: &mut [SavedPlan], named: &[usize]) -> bool {
    let mut ladders: Vec<(usize, PlanLadder, BlendRecipe)> = Vec::new();
    for place in named {
        let tiles: Vec<&SavedTile> = all[*place].tiles.iter().collect();
        let (EndsDiffer::Ladder(ladder), Some(ends)) = (ends_differ(&tiles), both_ends(&tiles)) else {
            return false;
        };
        let [one, other] = ends;
        let mut foot = if ladder.rising == 1 { one } else { other };
        foot.additions.retain(|(name, _)| *name != ladder.material);
        ladders.push((*place, ladder, foot));
    }
    let Some((_, first, recipe)) = ladders.first().cloned() else {
        return false;
    };
    let alike = |(_, ladder, foot): &(usize, PlanLadder, BlendRecipe)| {
        ladder.material == first.material
            && differing(&foot.parts, &recipe.parts).is_empty()
            && differing(&foot.additions, &recipe.additions).is_empty()
    };
    if !ladders.iter().all(alike) {
        return false;
    }
    let (mut least, mut most) = (first.percent_at_foot, first.percent_at_whole);
    let mut names = [String::new(), String::new()];
    for (place, ladder, _) in &ladders {
        let ends = &all[*place].ends;
        if ladder.percent_at_foot <= least {
            least = ladder.percent_at_foot;
            names[0].clone_from(&ends[1 - ladder.rising]);
        }
        if ladder.percent_at_whole >= most {
            most = ladder.percent_at_whole;
            names[1].clone_from(&ends[ladder.rising]);
        }
    }
    for (place, ladder, _) in &ladders {
        let plan = &mut all[*place];
        plan.ends = names.to_vec();
        for tile in &mut plan.tiles {
            let rise = ladder.percent_at_whole - ladder.percent_at_foot;
            let percent = ladder.percent_at_foot + rise * tile.shares[ladder.rising];
            let share = (percent - least) / (most - least);
            tile.shares = vec![1.0 - share, share];
        }
    }
    true
}

/// Materials whose addition lessens crazing (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LowersCrazing {
    /// Silica.
    Silica,
    /// Kaolin and clays like it: silica with alumina.
    Kaolin,
    /// A frit with more boron than alkali.
    BoronFrit,
}

/// Whether more of a material lessens crazing.
pub fn lowers_crazing(material: &Material) -> Option<LowersCrazing> {
    const NEARLY_ALL: f64 = 0.90;
    const MOSTLY: f64 = 0.80;
    const BORON: f64 = 0.05;
    let oxides = &material.fired.as_ref()?.oxides;
    let total = oxides.total();
    if total <= 0.0 {
        return None;
    }
    let share = |oxide: Oxide| oxides.get(oxide) / total;
    let alkali = share(Oxide::Li2O) + share(Oxide::Na2O) + share(Oxide::K2O);
    if share(Oxide::SiO2) >= NEARLY_ALL {
        Some(LowersCrazing::Silica)
    } else if material.kind == Kind::Clay && share(Oxide::SiO2) + share(Oxide::Al2O3) >= MOSTLY {
        Some(LowersCrazing::Kaolin)
    } else if material.kind == Kind::Frit && share(Oxide::B2O3) >= BORON && share(Oxide::B2O3) > alkali {
        Some(LowersCrazing::BoronFrit)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tile(share: f64, additions: &[(&str, f64)]) -> SavedTile {
        SavedTile {
            code: String::new(),
            shares: vec![1.0 - share, share],
            parts: vec![("bought clear".to_owned(), 100.0)],
            additions: additions
                .iter()
                .map(|(name, percent)| ((*name).to_owned(), *percent))
                .collect(),
            unity: Vec::new(),
        }
    }

    #[test]
    fn one_addition_that_rises_is_a_ladder_and_two_are_none() {
        let tiles = [
            tile(0.0, &[]),
            tile(0.5, &[("silica", 4.5)]),
            tile(1.0, &[("silica", 9.0)]),
        ];
        let EndsDiffer::Ladder(found) = ends_differ(&tiles.iter().collect::<Vec<_>>()) else {
            panic!("a ladder")
        };
        assert_eq!((found.rising, found.material.as_str()), (1, "silica"));
        assert!(found.percent_at_foot.abs() < 1e-9 && (found.percent_at_whole - 9.0).abs() < 1e-9);
        let two = [
            tile(0.0, &[]),
            tile(0.5, &[("silica", 4.5), ("kaolin", 1.0)]),
            tile(1.0, &[("silica", 9.0), ("kaolin", 2.0)]),
        ];
        let several = EndsDiffer::Several(vec!["kaolin".to_owned(), "silica".to_owned()]);
        assert_eq!(ends_differ(&two.iter().collect::<Vec<_>>()), several);
    }

    #[test]
    fn a_second_ladder_goes_onto_the_first_ones_scale() {
        let plan = |name: &str, ends: [&str; 2], steps: &[f64]| {
            let (least, most) = (steps[0], steps[steps.len() - 1]);
            let tiles: Vec<String> = steps
                .iter()
                .enumerate()
                .map(|(place, percent)| {
                    let share = (percent - least) / (most - least);
                    format!(
                        r#"{{"code": "A{}", "shares": [{}, {share}], "parts": {{"p": 100}}, "additions": {{"silica": {percent}}}}}"#,
                        place + 1,
                        1.0 - share
                    )
                })
                .collect();
            let text = format!(
                r#"{{"ends": ["{}", "{}"], "tiles": [{}]}}"#,
                ends[0],
                ends[1],
                tiles.join(",")
            );
            let source = glost_chemistry::diagnostic::Source::from_text("plans/x.json", &text);
            SavedPlan::read(name, &source).unwrap_or_else(|why| panic!("{why:?}"))
        };
        let mut all = [
            plan("one", ["p", "p + 9 % silica"], &[0.0, 3.0, 6.0, 9.0]),
            plan("two", ["p + 5 % silica", "p + 12 % silica"], &[5.0, 12.0]),
        ];
        assert!(join_ladders(&mut all, &[0, 1]));
        assert_eq!(all[0].ends, all[1].ends);
        assert_eq!(all[1].ends[1], "p + 12 % silica");
        assert!((all[0].tiles[3].shares[1] - 0.75).abs() < 1e-9);
        assert!((all[1].tiles[0].shares[1] - 5.0 / 12.0).abs() < 1e-9);
    }
}
