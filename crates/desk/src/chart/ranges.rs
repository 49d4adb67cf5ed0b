//! The limits for a glaze's cone, published ones and the studio's own, with its values.

use std::sync::Arc;

use glost_chemistry::glaze::FluxList;
use glost_chemistry::oxides::OxideMoles;
use glost_core::rules::{LimitSet, Range, Whose};
use glost_studio::FoundGlaze;

use crate::rulebook::{Rulebook, scene_of};
use crate::{Desk, Failure};

/// A list of limits with a glaze's values.
#[derive(Debug, Clone)]
pub struct Within {
    /// The list.
    pub set: LimitSet,
    /// Whose it is.
    pub whose: Whose,
    unity: OxideMoles,
}

impl Within {
    /// Each range with the glaze's value, as the list's author counted; `None` for a ratio
    /// over nothing.
    pub fn values(&self) -> impl Iterator<Item = (&Range, Option<f64>)> {
        let fluxes = FluxList::default();
        let all = self.set.ranges.iter();
        all.map(move |range| (range, range.subject.value(&self.unity, &fluxes)))
    }

    /// Whether it is the studio's own.
    pub fn is_own(&self) -> bool {
        matches!(self.whose, Whose::Yours | Whose::YoursInstead)
    }
}

/// The lists for a glaze's cone that have a range for it, the published ones first.
pub(super) fn within(desk: &Desk, found: &FoundGlaze, unity: &OxideMoles) -> Result<Vec<Within>, Failure> {
    let book = Rulebook::open(desk.workplace(), &found.settings)?;
    let glaze = Arc::new(found.glaze.clone());
    let scene = book.with_limits(scene_of(found));
    let lists = book.store.limits_for(&found.glaze.about);
    desk.tell(lists.broken.into_iter().map(|broken| broken.why));
    let mut all = Vec::new();
    for script in lists.meant {
        let settings = book.settings_of(&script, &[])?;
        let set = script.limits(&glaze, &scene, &settings)?;
        if !set.ranges.is_empty() {
            all.push(Within {
                set,
                whose: script.whose.clone(),
                unity: unity.clone(),
            });
        }
    }
    all.sort_by_key(Within::is_own);
    Ok(all)
}
