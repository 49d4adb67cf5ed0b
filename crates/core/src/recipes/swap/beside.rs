//! What a new recipe changes that no sum of oxides tells: who keeps it afloat, what
//! leaves it as gas, in whose company its colours stand.

use glost_chemistry::distance::{own_tolerance, summed_tolerance};
use glost_chemistry::glaze::Glaze;
use glost_chemistry::material::Material;
use glost_chemistry::oxides::{Oxide, OxideMoles};

use super::clay_band::{ClayBand, is_bentonite};
use crate::recipes::aims::R2O;

/// Parts of kaolin or ball clay that one of bentonite keeps afloat like (common practice,
/// no source).
const BENTONITE_SUSPENDS: f64 = 5.0;
/// A fall of what keeps a glaze afloat that is said: more than a third (common practice,
/// no source).
const FALL_IS_SAID_FROM: f64 = 1.0 / 3.0;
/// A move of a colour's company that is said, as a part of what was there.
const COMPANY_MOVES_FROM: f64 = 0.1;
/// A colourant below this colours nothing, moles of the unity formula.
const COLOURS_FROM_MOLES: f64 = 0.0005;

/// Colours that hang on a base oxide (colour handbooks, from memory): chrome beside zinc
/// turns brown, copper is turquoise by alkali, cobalt violet by magnesia.
const COMPANY: [(Oxide, ColourBase); 3] = [
    (Oxide::Cr2O3, ColourBase::Oxide(Oxide::ZnO)),
    (Oxide::CuO, ColourBase::Alkalis),
    (Oxide::CoO, ColourBase::Oxide(Oxide::MgO)),
];

/// What a colour hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColourBase {
    /// One oxide.
    Oxide(Oxide),
    /// Li2O, Na2O and K2O together.
    Alkalis,
}

impl ColourBase {
    /// Its formula, `R2O` for the alkalis.
    pub const fn formula(self) -> &'static str {
        match self {
            ColourBase::Oxide(oxide) => oxide.formula(),
            ColourBase::Alkalis => "R2O",
        }
    }

    fn moles(self, unity: &OxideMoles) -> f64 {
        match self {
            ColourBase::Oxide(oxide) => unity.get(oxide),
            ColourBase::Alkalis => unity.sum_of(&R2O),
        }
    }

    fn tolerance(self, moles: f64) -> f64 {
        match self {
            ColourBase::Oxide(_) => own_tolerance(Oxide::MgO, moles),
            ColourBase::Alkalis => summed_tolerance(moles),
        }
    }
}

/// A base on which a colour hangs moves, in moles of the unity formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompanyMove {
    /// The colouring oxide.
    pub colour: Oxide,
    /// The base.
    pub base: ColourBase,
    /// Before.
    pub before_moles: f64,
    /// After.
    pub after_moles: f64,
}

/// How a glaze's colours lose or change their company.
pub(super) fn company_moves(old: &OxideMoles, new: &OxideMoles) -> Vec<CompanyMove> {
    let coloured = COMPANY
        .into_iter()
        .filter(|(colour, ..)| new.get(*colour) > COLOURS_FROM_MOLES);
    let moves = coloured.map(|(colour, base)| CompanyMove {
        colour,
        base,
        before_moles: base.moles(old),
        after_moles: base.moles(new),
    });
    moves.filter(CompanyMove::is_said).collect()
}

impl CompanyMove {
    fn is_said(&self) -> bool {
        let tolerance = self.base.tolerance(self.before_moles);
        let moved = (self.after_moles - self.before_moles).abs();
        moved > tolerance && moved > COMPANY_MOVES_FROM * self.before_moles
    }
}

/// Parts of kaolin that would keep a glaze's base and additions afloat as well.
fn suspending_parts(glaze: &Glaze) -> f64 {
    let of = |material: &Material| {
        if is_bentonite(material) {
            BENTONITE_SUSPENDS
        } else {
            material.raw_clay_fraction
        }
    };
    let portions = glaze.portions();
    portions.map(|portion| portion.percent * of(&portion.material)).sum()
}

/// What keeps a glaze afloat, before and after, in parts of kaolin, where it falls by
/// more than a third.
pub(super) fn suspending_falls(old: &Glaze, new: &Glaze) -> Option<(f64, f64)> {
    let (before, after) = (suspending_parts(old), suspending_parts(new));
    (after < (1.0 - FALL_IS_SAID_FROM) * before).then_some((before, after))
}

/// Which side of its band raw clay is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClaySide {
    /// Too little to stay afloat.
    Below,
    /// So much that it shrinks and crawls.
    Above,
    /// More bentonite than a bucket bears.
    Bentonite,
}

/// Raw clay, or bentonite, outside its band, in parts of 100 of the base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClayOut {
    /// Which way.
    pub side: ClaySide,
    /// What the recipe has.
    pub parts: f64,
    /// The bound that it passes.
    pub bound_parts: f64,
}

/// Where a recipe's raw clay leaves the band of the one that it stands in for.
pub(super) fn clay_out(old: Option<&Glaze>, new: &Glaze) -> Option<ClayOut> {
    let band = old.map_or_else(ClayBand::usual, ClayBand::around);
    let sum = |of: &dyn Fn(&Material) -> f64| -> f64 {
        let base = new.base.iter();
        base.map(|portion| portion.percent * of(&portion.material)).sum()
    };
    let clay_parts = sum(&|material| material.raw_clay_fraction);
    let bentonite = sum(&|material| f64::from(u8::from(is_bentonite(material))));
    if band.holds(clay_parts, bentonite) {
        return None;
    }
    let (side, parts, bound_parts) = if clay_parts < band.least_parts {
        (ClaySide::Below, clay_parts, band.least_parts)
    } else if clay_parts > band.most_parts {
        (ClaySide::Above, clay_parts, band.most_parts)
    } else {
        (ClaySide::Bentonite, bentonite, band.most_bentonite_parts)
    };
    Some(ClayOut {
        side,
        parts,
        bound_parts,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_chemistry::diagnostic::Source;
    use glost_chemistry::glaze::read_glaze;
    use glost_chemistry::material::{Library, read_materials};
    use glost_chemistry::quantity::Millilitres;

    const SHELF: &str = "materials:
  - { name: kaolin, kind: clay, basis: as supplied, source: x, analysis: { SiO2: 46.5, Al2O3: 39.5 }, loss_on_ignition: 14 }
  - { name: silica, formula: SiO2, source: x }
";

    fn with_kaolin(percent: u32) -> Glaze {
        let mut library = Library::default();
        library.add_layer(read_materials(&Source::from_text("m.yaml", SHELF)).0, false);
        let recipe = format!("glaze: A\nparts: {{ kaolin: {percent}, silica: {} }}\n", 100 - percent);
        read_glaze(&Source::from_text("g.yaml", &recipe), Millilitres::METRIC_CUP)
            .map_err(|error| vec![error])
            .and_then(|file| file.resolve(&library))
            .unwrap_or_else(|why| panic!("{why:?}"))
    }

    /// Two thirds of 21 parts of kaolin are 14.
    #[test]
    fn that_a_glaze_will_settle_is_said_where_more_than_a_third_of_its_clay_goes() {
        let falls = |after: u32| suspending_falls(&with_kaolin(21), &with_kaolin(after));
        assert_eq!([falls(30), falls(21), falls(15)], [None; 3]);
        let (before, after) = falls(13).unwrap_or_else(|| panic!("not said"));
        assert!((before - 21.0).abs() < 1e-9 && (after - 13.0).abs() < 1e-9);
    }
}
