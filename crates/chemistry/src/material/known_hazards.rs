//! Hazards that follow from what a material is, whether or not its file marks them.

use std::sync::LazyLock;

use crate::oxides::{Formula, Oxide};

use super::fired_yield::FiredYield;
use super::kind::Kind;

/// From this share of the fired part on, wt %, alkalis and boron alone say that a powder dissolves.
const NOTHING_ELSE_PERCENT: f64 = 95.0;
/// Two formulas are one when their atoms agree to this share.
const SAME_ATOMS: f64 = 1e-6;

/// What a material's makeup says of handling it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct KnownHazards {
    /// Dissolves in water.
    pub soluble: bool,
    /// Poisonous to handle.
    pub toxic: bool,
}

/// Atoms by symbol, without the water, for one atom in all.
type Atoms = Vec<(&'static str, f64)>;

static TABLE: LazyLock<Vec<(Atoms, KnownHazards)>> = LazyLock::new(|| {
    let lines = include_str!("../../data/hazards_by_formula.csv").lines();
    let lines = lines.filter(|line| !line.starts_with('#') && *line != "formula,dissolves,poisonous");
    let row = |line: &str| {
        let mut cells = line.split(',');
        let atoms = dehydrated(cells.next()?)?;
        let hazards = KnownHazards {
            soluble: cells.next()? == "soluble",
            toxic: cells.next()? == "toxic",
        };
        Some((atoms, hazards))
    };
    lines.filter_map(row).collect()
});

/// By the formula where there is one, else by what an unmelted chemical leaves in the fire.
pub(super) fn of(formula: Option<&str>, kind: Kind, fired: Option<&FiredYield>) -> KnownHazards {
    if kind.already_melted() || matches!(kind, Kind::Stain | Kind::Clay) {
        return KnownHazards::default();
    }
    match (formula, fired) {
        (Some(formula), _) => by_formula(formula),
        (None, Some(fired)) => by_oxides(fired),
        (None, None) => KnownHazards::default(),
    }
}

fn by_formula(formula: &str) -> KnownHazards {
    let Some(own) = dehydrated(formula) else {
        return KnownHazards::default();
    };
    let same = |known: &Atoms| {
        known.len() == own.len()
            && known.iter().all(|(symbol, count)| {
                own.iter()
                    .any(|(other, own)| symbol == other && (count - own).abs() < SAME_ATOMS)
            })
    };
    TABLE
        .iter()
        .find(|(known, _)| same(known))
        .map_or_else(KnownHazards::default, |(_, hazards)| *hazards)
}

/// Soda ash, pearl ash, borax and their kin leave nothing but alkali and boron.
fn by_oxides(fired: &FiredYield) -> KnownHazards {
    let total = fired.oxides.total();
    if total <= 0.0 {
        return KnownHazards::default();
    }
    let percent = |oxides: &[Oxide]| 100.0 * oxides.iter().map(|oxide| fired.oxides.get(*oxide)).sum::<f64>() / total;
    let soluble = percent(&[Oxide::Na2O, Oxide::K2O, Oxide::Li2O, Oxide::B2O3]) >= NOTHING_ELSE_PERCENT;
    let poisons = [
        Oxide::CoO,
        Oxide::NiO,
        Oxide::PbO,
        Oxide::CdO,
        Oxide::V2O5,
        Oxide::MnO,
        Oxide::BaO,
    ];
    KnownHazards {
        soluble,
        toxic: soluble && percent(&[Oxide::Li2O, Oxide::B2O3]) > 10.0 || percent(&poisons) >= NOTHING_ELSE_PERCENT,
    }
}

/// `None` for a formula that can't be read, or water alone.
fn dehydrated(formula: &str) -> Option<Atoms> {
    // An unreadable formula was complained about where it was read.
    let formula = Formula::parse(formula).ok()?;
    let water = formula.atoms_of("H") / 2.0;
    let atoms: Atoms = formula
        .atoms()
        .map(|(element, count)| (element.symbol(), count))
        .filter(|(symbol, _)| *symbol != "H")
        .map(|(symbol, count)| (symbol, if symbol == "O" { count - water } else { count }))
        .filter(|(_, count)| *count > SAME_ATOMS)
        .collect();
    let all: f64 = atoms.iter().map(|atom| atom.1).sum();
    (all > 0.0).then(|| atoms.into_iter().map(|(symbol, count)| (symbol, count / all)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hazards(formula: &str) -> (bool, bool) {
        let found = of(Some(formula), Kind::Chemical, None);
        (found.soluble, found.toxic)
    }

    #[test]
    fn salts_dissolve_with_any_water_and_minerals_stay() {
        for salt in [
            "Na2CO3",
            "Na2CO3·10H2O",
            "Na2CO3.H2O",
            "K2CO3",
            "KNO3",
            "MgSO4·7H2O",
            "NaCl",
        ] {
            assert_eq!(hazards(salt), (true, false), "{salt}");
        }
        for poison in [
            "Li2CO3",
            "Na2B4O7·10H2O",
            "Na2O·2B2O3·5H2O",
            "H3BO3",
            "CoSO4·7H2O",
            "K2Cr2O7",
        ] {
            assert_eq!(hazards(poison), (true, true), "{poison}");
        }
        for powder in ["Co3O4", "CoCO3", "BaCO3", "MnO2", "NiO", "Pb3O4", "V2O5", "CdS"] {
            assert_eq!(hazards(powder), (false, true), "{powder}");
        }
        for mineral in [
            "SiO2",
            "CaCO3",
            "KAlSi3O8",
            "LiAlSi2O6",
            "BaSO4",
            "Ca2B6O11·5H2O",
            "Na3AlF6",
            "H2O",
            "Na2(",
        ] {
            assert_eq!(hazards(mineral), (false, false), "{mineral}");
        }
    }

    #[test]
    fn no_line_of_the_table_is_lost() {
        let lines = include_str!("../../data/hazards_by_formula.csv").lines();
        assert_eq!(TABLE.len(), lines.filter(|line| !line.starts_with('#')).count() - 1);
    }

    /// A chemical known by its analysis alone, oxides in grams left by 100 g.
    fn by_sheet(kind: Kind, oxides: &[(Oxide, f64)]) -> (bool, bool) {
        let formula = crate::oxides::fire(&Formula::parse("SiO2").unwrap()).unwrap();
        let mut fired = FiredYield::from_formula("x", &formula);
        fired.oxides = crate::oxides::OxideGrams::new(oxides.iter().copied()).unwrap();
        let found = of(None, kind, Some(&fired));
        (found.soluble, found.toxic)
    }

    #[test]
    fn alkali_and_boron_alone_dissolve_and_metals_alone_are_poisonous() {
        let chemical = |oxides: &[(Oxide, f64)]| by_sheet(Kind::Chemical, oxides);
        assert_eq!(chemical(&[(Oxide::Na2O, 58.0)]), (true, false));
        assert_eq!(chemical(&[(Oxide::K2O, 60.0), (Oxide::Na2O, 8.0)]), (true, false));
        // Borax; boric acid; lithium carbonate.
        assert_eq!(chemical(&[(Oxide::Na2O, 16.0), (Oxide::B2O3, 37.0)]), (true, true));
        assert_eq!(chemical(&[(Oxide::B2O3, 56.0)]), (true, true));
        assert_eq!(chemical(&[(Oxide::Li2O, 40.0)]), (true, true));
        // A tenth of boron in soda is the border, and silica makes a frit's powder of it.
        assert_eq!(chemical(&[(Oxide::Na2O, 90.0), (Oxide::B2O3, 10.0)]), (true, false));
        assert_eq!(chemical(&[(Oxide::Na2O, 89.0), (Oxide::B2O3, 11.0)]), (true, true));
        assert_eq!(chemical(&[(Oxide::Na2O, 95.0), (Oxide::SiO2, 5.0)]), (true, false));
        assert_eq!(chemical(&[(Oxide::Na2O, 94.0), (Oxide::SiO2, 6.0)]), (false, false));
        for poison in [
            Oxide::CoO,
            Oxide::NiO,
            Oxide::PbO,
            Oxide::CdO,
            Oxide::V2O5,
            Oxide::MnO,
            Oxide::BaO,
        ] {
            assert_eq!(chemical(&[(poison, 70.0)]), (false, true), "{poison}");
            assert_eq!(
                chemical(&[(poison, 90.0), (Oxide::SiO2, 10.0)]),
                (false, false),
                "{poison}"
            );
        }
        assert_eq!(chemical(&[(Oxide::CaO, 56.0)]), (false, false));
        assert_eq!(chemical(&[]), (false, false));
        // What is melted, a stain or a clay is judged by its file alone.
        for kind in [Kind::Frit, Kind::Glass, Kind::Stain, Kind::Clay] {
            assert_eq!(by_sheet(kind, &[(Oxide::PbO, 99.0)]), (false, false), "{kind:?}");
        }
        assert_eq!(of(None, Kind::Chemical, None), KnownHazards::default());
    }
}
