//! Under which version the notebook has today's recipe.

use glost_chemistry::glaze::Glaze;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::Version;

use crate::said::words_of;
use crate::{Desk, Said};

/// A version as a line of the notebook, with what it takes for granted in the words of this
/// process: the record is to be read by people, too.
pub(crate) fn version_line(version: &Version) -> String {
    version.to_line(&|assumed| words_of(&Said::from(assumed)))
}

/// The version that a recipe is recorded as; none where no note or batch has recorded it.
/// What can't be read of the notebook is told aside: a recipe can be weighed without it.
pub(crate) fn recorded_version(desk: &Desk, glaze: &Glaze, today: Date) -> Option<String> {
    match desk.workplace().versions() {
        Ok((versions, unread)) => {
            desk.tell(unread);
            let now = Version::of(glaze, "", today);
            versions.same_as(&now).map(|version| version.version.clone())
        }
        Err(error) => {
            desk.tell([error]);
            None
        }
    }
}
