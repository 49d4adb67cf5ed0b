//! What the checks of many glazes share: read once, not for each of them.

use crate::rulebook::Rulebook;
use crate::{Desk, Failure};

use super::OnClays;

/// The scripts, and what pieces say on all clays.
pub(crate) struct ForMany {
    pub(super) pieces: Option<OnClays>,
    pub(super) book: Rulebook,
}

impl ForMany {
    /// Reads them.
    ///
    /// # Errors
    /// A notebook that can't be read; as [`Rulebook::open`].
    pub(crate) fn read(desk: &Desk) -> Result<ForMany, Failure> {
        let workplace = desk.workplace();
        Ok(ForMany {
            pieces: OnClays::read(desk)?,
            // A glaze may count iron in its own way; what is set of scripts is the studio's.
            book: Rulebook::open(workplace, workplace.settings())?,
        })
    }

    /// Held as long as the desk stands.
    pub(crate) fn put_away(self, desk: &Desk) {
        desk.put_away(self.pieces);
    }
}
