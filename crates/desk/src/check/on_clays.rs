//! What pieces of all clays say, read once for many glazes.

use std::borrow::Cow;
use std::collections::HashSet;
use std::sync::Arc;

use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::read::{folded, folding};
use glost_core::evidence::window::any_piece_speaks;
use glost_script::StudioNotebook;

use crate::pieces::Pieces;
use crate::{Desk, Failure};

/// The notebook for checks that need pieces.
pub(crate) struct OnClays {
    pub(super) notebook: Arc<StudioNotebook>,
    /// The clays that pieces in it are on, folded.
    clays: HashSet<String>,
}

impl OnClays {
    /// Reads the notebook where some script asks for pieces and some were looked at.
    pub(crate) fn read(desk: &Desk) -> Result<Option<OnClays>, Failure> {
        let read = desk.workplace().notes()?;
        let clays: HashSet<String> = read
            .0
            .standing()
            .filter_map(|note| note.clay.as_deref())
            .map(folding)
            .collect::<HashSet<_>>()
            .into_iter()
            .map(Cow::into_owned)
            .collect();
        if clays.is_empty() {
            return Ok(None);
        }
        let notebook = Pieces::with(desk, read)?.for_scripts(desk.workplace().settings());
        Ok(Some(OnClays {
            notebook: Arc::new(notebook),
            clays,
        }))
    }

    /// Whether a piece on this clay at the glaze's firing was looked at, as
    /// [`Pieces::that_speak`] asks of one glaze.
    pub(super) fn speak(&self, glaze: &Glaze, clay: &str, fluxes: &FluxList) -> bool {
        self.clays.contains(&folded(clay)) && any_piece_speaks(&self.notebook.as_asked(fluxes), glaze, clay)
    }
}
