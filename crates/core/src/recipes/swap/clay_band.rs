//! How much raw clay a recipe should keep, so that it stays afloat and doesn't crawl.

use glost_chemistry::glaze::{Glaze, Ware};
use glost_chemistry::material::Material;

/// Parts of raw clay below and above which nobody would go unasked, and the slack on
/// both sides (common practice, no source).
const AFLOAT_PARTS: f64 = 8.0;
const MUCH_PARTS: f64 = 25.0;
const MORE_PARTS: f64 = 8.0;
const SLACK_PARTS: f64 = 1.5;
/// The same for a glaze on raw ware (common practice, no source).
const ONCE_FIRED_PARTS: (f64, f64) = (20.0, 45.0);
/// Bentonite that a bucket bears, parts of the base (common practice, no source).
const MOST_BENTONITE_PARTS: f64 = 3.0;

/// Bounds on the raw clay of the base, in parts of 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ClayBand {
    pub least_parts: f64,
    pub most_parts: f64,
    pub most_bentonite_parts: f64,
}

impl ClayBand {
    /// Around an old recipe, by whether its ware is raw.
    pub fn around(old: &Glaze) -> ClayBand {
        let sum = |of: &dyn Fn(&Material) -> f64| -> f64 {
            old.base
                .iter()
                .map(|portion| portion.percent * of(&portion.material))
                .sum()
        };
        let clay = sum(&|material| material.raw_clay_fraction);
        let bentonite = sum(&|material| if is_bentonite(material) { 1.0 } else { 0.0 });
        let (least, most) = if old.about.ware == Some(Ware::Raw) {
            // What is fired once must shrink with the ware.
            (clay.min(ONCE_FIRED_PARTS.0), clay.max(ONCE_FIRED_PARTS.1))
        } else {
            (
                clay.min(AFLOAT_PARTS.max(clay / 2.0)),
                (clay + MORE_PARTS).max(MUCH_PARTS),
            )
        };
        ClayBand {
            least_parts: (least - SLACK_PARTS).max(0.0),
            most_parts: most + SLACK_PARTS,
            most_bentonite_parts: bentonite.max(MOST_BENTONITE_PARTS),
        }
    }

    /// Of a recipe for a target that no recipe stands behind.
    pub fn usual() -> ClayBand {
        ClayBand {
            least_parts: AFLOAT_PARTS - SLACK_PARTS,
            most_parts: MUCH_PARTS + SLACK_PARTS,
            most_bentonite_parts: MOST_BENTONITE_PARTS,
        }
    }

    /// Any raw clay, but no more bentonite: nobody could stir it.
    pub fn of_bentonite_alone(self) -> ClayBand {
        ClayBand {
            least_parts: 0.0,
            most_parts: 100.0,
            ..self
        }
    }

    /// Whether shares of raw clay and of bentonite, in parts of 100, lie in it.
    pub fn holds(self, clay_parts: f64, bentonite_parts: f64) -> bool {
        clay_parts >= self.least_parts - 1e-6
            && clay_parts <= self.most_parts + 1e-6
            && bentonite_parts <= self.most_bentonite_parts + 1e-6
    }
}

/// Known by its name alone: its oxides are those of other clays.
pub(super) fn is_bentonite(material: &Material) -> bool {
    let names = std::iter::once(&material.name).chain(&material.other_names);
    names.into_iter().any(|name| name.to_lowercase().contains("bentonite"))
}
