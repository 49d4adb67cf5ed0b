//! The names that a studio knows, for whoever offers them while a call is typed.

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
}

impl Desk {
    /// All names of a sort, those of files that can't be read left out.
    pub fn names(&self, of: NamesOf) -> Vec<String> {
        let workplace = self.workplace();
        match of {
            NamesOf::Glazes => {
                let glazes = workplace.all_glazes().0.into_iter();
                glazes.map(|found| found.glaze.name).collect()
            }
            NamesOf::Materials => {
                let materials = workplace.library().iter();
                materials.map(|material| material.name.clone()).collect()
            }
            NamesOf::Clays => {
                let clays = workplace.all_clays().0.into_iter();
                clays.map(|found| found.clay.name).collect()
            }
            NamesOf::Scripts => {
                let store = Rulebook::unsettled(workplace);
                store.names().into_iter().map(str::to_owned).collect()
            }
        }
    }
}
