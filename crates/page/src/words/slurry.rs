//! What to mind in a wet bucket.

use glost_core::workshop::slurry::Caution;

use super::hazards;

/// A caution, without a full stop.
pub(crate) fn caution(caution: &Caution) -> String {
    match caution {
        Caution::SmallJar(millilitres) => {
            format!("a jar of {millilitres:.0} ml is hard to read to 1 %: 250 ml or more tells more")
        }
        Caution::UnusualDensity(density) => {
            format!("{density:.2} g/ml is unusual for a glaze: stirred to the bottom before the jar was filled?")
        }
        Caution::UnknownDose(material) => format!(
            "no material here is called {material}: dosed by weight alone, its metals and its density aren't known"
        ),
        Caution::RoughDose {
            material,
            error_percent,
        } => format!("{material} is weighed only to {error_percent:.0} % of itself"),
        Caution::Substance(substance) => hazards::caution(substance),
        Caution::AnotherGlaze => {
            "it is another glaze then: fit and leach tests of the old one don't carry over".to_owned()
        }
        Caution::MoreThanStandsClear => {
            "more water has to come off than usually stands clear (about half): let it dry, or add powder instead"
                .to_owned()
        }
        Caution::ClearWaterFirst => {
            "take clear water off before the bentonite goes in: afterwards the bucket won't settle clear again"
                .to_owned()
        }
        Caution::SaltsLeave => {
            "clear water carries dissolved salts away: keep it in a marked jar, add it back if the glaze turns thin or stiff"
                .to_owned()
        }
        Caution::Overflows { comes_to, holds } => format!(
            "it comes to {:.1} l and the bucket holds {:.1} l: split it first",
            comes_to / 1000.0,
            holds / 1000.0
        ),
    }
}
