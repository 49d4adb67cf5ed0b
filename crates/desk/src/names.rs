//! The names that a studio knows, for whoever offers them while a call is typed.

use glost_studio::Workplace;

use crate::Desk;
use crate::rulebook::Rulebook;

/// Names of what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NamesOf {
    /// Glazes.
    Glazes,
    /// Materials.
    Materials,
    /// Clays.
    Clays,
    /// Scripts.
    Scripts,
    /// Glazes, materials and clays.
    Any,
}

impl Desk {
    /// All names of a sort, those of files that can't be read left out.
    pub fn names(&self, of: NamesOf) -> Vec<String> {
        let workplace = self.workplace();
        match of {
            NamesOf::Glazes => glazes(workplace).collect(),
            NamesOf::Materials => {
                let materials = workplace.library().iter();
                materials.map(|material| material.name.clone()).collect()
            }
            NamesOf::Clays => clays(workplace).collect(),
            NamesOf::Scripts => {
                let store = Rulebook::unsettled(workplace);
                store.names().into_iter().map(str::to_owned).collect()
            }
            NamesOf::Any => [NamesOf::Glazes, NamesOf::Materials, NamesOf::Clays]
                .into_iter()
                .flat_map(|of| self.names(of))
                .collect(),
        }
    }
}

/// The names of glazes whose files can be read.
pub(crate) fn glazes(workplace: &Workplace) -> impl Iterator<Item = String> {
    workplace
        .all_recipes()
        .0
        .into_iter()
        .map(|recipe| recipe.glaze.name.clone())
}

/// The names of clays whose files can be read.
pub(crate) fn clays(workplace: &Workplace) -> impl Iterator<Item = String> {
    workplace.all_clays().0.into_iter().map(|found| found.clay.name)
}
