//! Which oxide a material is weighed in for, and under which names its other
//! forms are sold.

use std::sync::Arc;

use glost_chemistry::material::{Library, Material};
use glost_chemistry::oxides::{Oxide, OxideGrams};
use glost_chemistry::read::folded;

/// From this share of the fired material on, an oxide is one of its main ones.
const MAIN_SHARE: f64 = 0.25;
/// Silica and alumina are in nearly everything; they are what a material is
/// weighed in for only where it is hardly anything else.
const ALONE_SHARE: f64 = 0.90;

/// Oxides that may stand in for one another mole for mole, by name only.
const STAND_INS: [[Oxide; 2]; 1] = [[Oxide::SrO, Oxide::BaO]];

/// Oxides that whiten by staying undissolved: their work is not a sum of moles.
pub(super) const OPACIFIERS: [Oxide; 4] = [Oxide::SnO2, Oxide::ZrO2, Oxide::TiO2, Oxide::CeO2];

/// What two materials have in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shared {
    pub(super) from: Oxide,
    pub(super) to: Oxide,
}

/// The main oxides of a fired material with their shares, the largest first.
pub(super) fn main_oxides(oxides: &OxideGrams) -> Vec<(Oxide, f64)> {
    let total = oxides.total();
    let mut main: Vec<(Oxide, f64)> = oxides
        .iter()
        .map(|(oxide, grams)| (oxide, grams / total))
        .filter(|(oxide, share)| {
            let least = match oxide {
                Oxide::SiO2 | Oxide::Al2O3 => ALONE_SHARE,
                _ => MAIN_SHARE,
            };
            *share >= least
        })
        .collect();
    main.sort_by(|a, b| b.1.total_cmp(&a.1));
    main
}

/// The main oxide that both have most of; else one that may stand in.
pub(super) fn shared(from: &OxideGrams, to: &OxideGrams) -> Option<Shared> {
    let (from, to) = (main_oxides(from), main_oxides(to));
    let share = |list: &[(Oxide, f64)], oxide: Oxide| list.iter().find(|one| one.0 == oxide).map(|one| one.1);
    let mut common: Vec<(Oxide, f64)> = from
        .iter()
        .filter_map(|&(oxide, here)| Some((oxide, here.min(share(&to, oxide)?))))
        .collect();
    common.sort_by(|a, b| b.1.total_cmp(&a.1));
    if let Some((oxide, _)) = common.first() {
        return Some(Shared {
            from: *oxide,
            to: *oxide,
        });
    }
    let pairs = STAND_INS.into_iter().flat_map(|[a, b]| [(a, b), (b, a)]);
    pairs
        .map(|(from, to)| Shared { from, to })
        .find(|pair| share(&from, pair.from).is_some() && share(&to, pair.to).is_some())
}

/// Other formulas sold under nearly the same name: of `cobalt oxide` the `grey
/// cobalt oxide`, of `copper carbonate` the plain one. A name that already says
/// which (`red iron oxide`) has none.
pub(super) fn other_forms(library: &Library, material: &Material, oxide: Oxide) -> Vec<Arc<Material>> {
    let own = folded(&material.name);
    if own.split(' ').count() != 2 {
        return Vec::new();
    }
    library
        .iter()
        .filter(|other| other.formula.is_some())
        .filter(|other| {
            folded(&other.name)
                .strip_suffix(own.as_str())
                .is_some_and(|first| first.ends_with(' '))
        })
        .filter(|other| {
            let fired = other.fired.as_ref();
            fired.is_some_and(|fired| main_oxides(&fired.oxides).iter().any(|main| main.0 == oxide))
        })
        .cloned()
        .collect()
}

/// Names of materials with this oxide as their first main one, at most `most`.
pub(super) fn of_same_metal(library: &Library, oxide: Oxide, but: &str, most: usize) -> Vec<String> {
    library
        .iter()
        .filter(|other| other.name != but)
        .filter(|other| {
            let fired = other.fired.as_ref();
            fired.is_some_and(|fired| main_oxides(&fired.oxides).first().is_some_and(|main| main.0 == oxide))
        })
        .map(|other| other.name.clone())
        .take(most)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_main_oxides_are_those_there_is_much_of() {
        let main = |pairs: &[(Oxide, f64)]| -> Option<Vec<Oxide>> {
            let fired = OxideGrams::new(pairs.iter().copied())?;
            Some(main_oxides(&fired).into_iter().map(|(oxide, _)| oxide).collect())
        };
        let dolomite = [(Oxide::SiO2, 1.0), (Oxide::MgO, 41.0), (Oxide::CaO, 58.0)];
        assert_eq!(main(&dolomite), Some(vec![Oxide::CaO, Oxide::MgO]), "the largest first");
        let flint = [(Oxide::SiO2, 99.5), (Oxide::Al2O3, 0.5)];
        assert_eq!(main(&flint), Some(vec![Oxide::SiO2]));
    }
}
