//! What the checks of many glazes share: read once, not for each of them.

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_studio::FoundGlaze;

use crate::rulebook::Rulebook;
use crate::{Desk, Failure};

use super::OnClays;

/// The scripts, and what pieces say on all clays.
pub(crate) struct ForMany {
    pub(super) pieces: Option<OnClays>,
    /// As the studio has set them.
    book: Rulebook,
    /// The file that says how; `None` where there is none.
    set_in: Option<Source>,
}

impl ForMany {
    /// Reads them.
    ///
    /// # Errors
    /// A notebook that can't be read; as [`Rulebook::open`].
    pub(crate) fn read(desk: &Desk) -> Result<ForMany, Failure> {
        let workplace = desk.workplace();
        let settings = workplace.settings();
        Ok(ForMany {
            pieces: OnClays::read(desk)?,
            book: Rulebook::open(workplace, settings)?,
            set_in: settings.source.clone(),
        })
    }

    /// The scripts as they are set for a glaze of this studio, which may count iron in its own
    /// way; `None` for one of another studio, such as the example.
    pub(super) fn book(&self, found: &FoundGlaze) -> Option<&Rulebook> {
        let same = match (&self.set_in, &found.settings.source) {
            (Some(here), Some(there)) => Arc::ptr_eq(&here.text, &there.text),
            (None, None) => true,
            _ => false,
        };
        same.then_some(&self.book)
    }

    /// Held as long as the desk stands.
    pub(crate) fn put_away(self, desk: &Desk) {
        desk.put_away(self.pieces);
    }
}
