//! The oxides that a fired glaze is counted in, in one fixed order.
//!
//! The order is that of a unity formula read from left to right: fluxes,
//! amphoterics, glass formers and opacifiers. It never changes, so every
//! table, every JSON object and every sum runs in the same order.

use std::fmt;
use std::sync::LazyLock;

use serde::{Serialize, Serializer};

use super::formula::Formula;

macro_rules! oxides {
    ($($name:ident $metal:literal $metals:literal $oxygens:literal),+ $(,)?) => {
        /// An oxide as it is counted after firing in air.
        #[allow(missing_docs)]
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[repr(u8)]
        pub enum Oxide { $($name),+ }

        /// How many oxides there are.
        pub const OXIDE_COUNT: usize = [$(Oxide::$name),+].len();

        impl Oxide {
            /// All oxides in the fixed order.
            pub const ALL: [Oxide; OXIDE_COUNT] = [$(Oxide::$name),+];

            /// The formula as the trade writes it, `Al2O3`.
            pub const fn formula(self) -> &'static str {
                match self { $(Oxide::$name => stringify!($name)),+ }
            }

            /// The symbol of its metal (or half-metal), `Al`.
            pub const fn metal(self) -> &'static str {
                match self { $(Oxide::$name => $metal),+ }
            }

            /// Atoms of the metal in one formula unit, 2 for `Al2O3`.
            pub const fn metal_atoms(self) -> f64 {
                match self { $(Oxide::$name => $metals),+ }
            }

            /// Atoms of oxygen in one formula unit, 3 for `Al2O3`.
            pub const fn oxygen_atoms(self) -> f64 {
                match self { $(Oxide::$name => $oxygens),+ }
            }
        }
    };
}

oxides! {
    Li2O "Li" 2.0 1.0, Na2O "Na" 2.0 1.0, K2O "K" 2.0 1.0, Rb2O "Rb" 2.0 1.0, Cs2O "Cs" 2.0 1.0,
    BeO "Be" 1.0 1.0, MgO "Mg" 1.0 1.0, CaO "Ca" 1.0 1.0, SrO "Sr" 1.0 1.0, BaO "Ba" 1.0 1.0,
    ZnO "Zn" 1.0 1.0, PbO "Pb" 1.0 1.0, CdO "Cd" 1.0 1.0, MnO "Mn" 1.0 1.0, CoO "Co" 1.0 1.0,
    CuO "Cu" 1.0 1.0, NiO "Ni" 1.0 1.0, Ag2O "Ag" 2.0 1.0, HgO "Hg" 1.0 1.0, Tl2O "Tl" 2.0 1.0,
    B2O3 "B" 2.0 3.0, Al2O3 "Al" 2.0 3.0, Fe2O3 "Fe" 2.0 3.0, Cr2O3 "Cr" 2.0 3.0, Ga2O3 "Ga" 2.0 3.0,
    Sb2O3 "Sb" 2.0 3.0, As2O3 "As" 2.0 3.0, Bi2O3 "Bi" 2.0 3.0, In2O3 "In" 2.0 3.0, Sc2O3 "Sc" 2.0 3.0,
    Y2O3 "Y" 2.0 3.0, La2O3 "La" 2.0 3.0, Nd2O3 "Nd" 2.0 3.0, Sm2O3 "Sm" 2.0 3.0, Eu2O3 "Eu" 2.0 3.0,
    Gd2O3 "Gd" 2.0 3.0, Dy2O3 "Dy" 2.0 3.0, Ho2O3 "Ho" 2.0 3.0, Er2O3 "Er" 2.0 3.0, Yb2O3 "Yb" 2.0 3.0,
    Pr6O11 "Pr" 6.0 11.0, Tb4O7 "Tb" 4.0 7.0,
    SiO2 "Si" 1.0 2.0, TiO2 "Ti" 1.0 2.0, ZrO2 "Zr" 1.0 2.0, HfO2 "Hf" 1.0 2.0, SnO2 "Sn" 1.0 2.0,
    CeO2 "Ce" 1.0 2.0, GeO2 "Ge" 1.0 2.0, SeO2 "Se" 1.0 2.0, TeO2 "Te" 1.0 2.0, ThO2 "Th" 1.0 2.0,
    P2O5 "P" 2.0 5.0, V2O5 "V" 2.0 5.0, Nb2O5 "Nb" 2.0 5.0, Ta2O5 "Ta" 2.0 5.0,
    MoO3 "Mo" 1.0 3.0, WO3 "W" 1.0 3.0, U3O8 "U" 3.0 8.0,
}

static GRAMS_PER_MOLE: LazyLock<[f64; OXIDE_COUNT]> = LazyLock::new(|| {
    Oxide::ALL.map(|oxide| Formula::parse(oxide.formula()).map_or(f64::NAN, |formula| formula.grams_per_mole()))
});

/// Sorted by their formulas: rules look oxides up by name again and again.
static BY_FORMULA: LazyLock<[Oxide; OXIDE_COUNT]> = LazyLock::new(|| {
    let mut known = Oxide::ALL;
    known.sort_by_key(|oxide| oxide.formula());
    known
});

impl Oxide {
    /// The fluxes that sum to 1 in a unity formula unless a studio sets others.
    pub const USUAL_FLUXES: [Oxide; 9] = [
        Oxide::Li2O,
        Oxide::Na2O,
        Oxide::K2O,
        Oxide::MgO,
        Oxide::CaO,
        Oxide::SrO,
        Oxide::BaO,
        Oxide::ZnO,
        Oxide::PbO,
    ];

    /// Oxides that colour or opacify: they move a glaze in small amounts.
    pub const COLOURING: [Oxide; 11] = [
        Oxide::TiO2,
        Oxide::ZrO2,
        Oxide::SnO2,
        Oxide::P2O5,
        Oxide::Fe2O3,
        Oxide::MnO,
        Oxide::CoO,
        Oxide::CuO,
        Oxide::Cr2O3,
        Oxide::NiO,
        Oxide::V2O5,
    ];

    /// Position in the fixed order, 0 to [`OXIDE_COUNT`] - 1.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Molar mass in g/mol, computed from the atomic weights.
    pub fn grams_per_mole(self) -> f64 {
        GRAMS_PER_MOLE[self.index()]
    }

    /// The oxide with exactly this formula (`SiO2`), if it is one of ours.
    pub fn from_formula(formula: &str) -> Option<Oxide> {
        let known = &*BY_FORMULA;
        let place = known.binary_search_by(|oxide| oxide.formula().cmp(formula));
        place.ok().map(|place| known[place])
    }

    /// The oxide that this element is counted as after firing in air.
    pub fn of_element(symbol: &str) -> Option<Oxide> {
        Oxide::ALL.into_iter().find(|oxide| oxide.metal() == symbol)
    }
}

impl Serialize for Oxide {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.formula())
    }
}

impl fmt::Display for Oxide {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.formula())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_oxide_has_a_molar_mass_and_finds_itself() {
        for oxide in Oxide::ALL {
            assert!(oxide.grams_per_mole() > 20.0, "{oxide}");
            assert_eq!(Oxide::from_formula(oxide.formula()), Some(oxide));
            assert_eq!(Oxide::ALL[oxide.index()], oxide);
            let formula = Formula::parse(oxide.formula()).map(|formula| {
                let count = |symbol| formula.atoms_of(symbol);
                (count(oxide.metal()), count("O"))
            });
            assert_eq!(
                formula.ok(),
                Some((oxide.metal_atoms(), oxide.oxygen_atoms())),
                "{oxide}"
            );
        }
    }

    #[test]
    fn silica_weighs_60_083_grams_a_mole() {
        assert!((Oxide::SiO2.grams_per_mole() - 60.083).abs() < 1e-9);
    }
}
