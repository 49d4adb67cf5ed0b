//! What the studio learnt from its pieces, handed to scripts as plain data.

use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::material::Library;
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::notes::{Note, Notes, Versions};
use glost_core::evidence::ware::Clay;
use glost_core::evidence::window::{LadderTile, LearntTables, Notebook, WindowSettings};

/// The notebook of results with what is needed to read it.
#[derive(Debug, Clone, Default)]
pub struct StudioNotebook {
    /// The notes.
    pub notes: Notes,
    /// What versions of glazes were.
    pub versions: Versions,
    /// Today's recipes.
    pub glazes: Vec<Arc<Glaze>>,
    /// Tiles of saved plans that are steps of a ladder.
    pub ladders: Vec<LadderTile>,
    /// The materials that additions are looked up in.
    pub library: Library,
    /// Names of firings that the studio keeps files of.
    pub firings: Vec<String>,
    /// Priors and assumptions of the window.
    pub settings: WindowSettings,
    /// The day today, where that matters.
    pub today: Option<Date>,
    /// What was worked out for glazes asked about before.
    pub learnt: LearntTables,
}

impl StudioNotebook {
    /// As core asks for it.
    pub fn as_asked<'a>(&'a self, fluxes: &'a FluxList) -> Notebook<'a> {
        Notebook {
            notes: &self.notes,
            versions: &self.versions,
            glazes: &self.glazes,
            ladders: &self.ladders,
            library: &self.library,
            firings: &self.firings,
            fluxes,
            settings: &self.settings,
            learnt: &self.learnt,
        }
    }

    /// The notes that nobody has taken back, each with its place among all.
    pub(crate) fn standing(&self) -> impl Iterator<Item = (usize, &Note)> {
        let all = self.notes.all().iter().enumerate();
        all.filter(|(_, note)| note.void.is_none() && note.twin.is_none())
    }

    /// The note of a place.
    pub(crate) fn note(&self, place: usize) -> Arc<Note> {
        Arc::new(self.notes.all()[place].clone())
    }

    /// A clay that has no file but stands in the notebook: nothing else is known of it.
    pub(crate) fn noted_clay(&self, name: &str) -> Option<Clay> {
        let mut noted = self.notes.standing().filter_map(|note| note.clay.as_deref());
        let found = noted.find(|noted| folded(noted) == folded(name))?;
        Some(Clay {
            name: found.to_owned(),
            ..Clay::unnamed()
        })
    }
}
