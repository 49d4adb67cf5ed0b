//! What is taken for granted of powder and water.

use glost_chemistry::quantity::PowderDensity;
use glost_core::workshop::wetting::Assumption;

pub(crate) fn assumption(assumption: &Assumption) -> String {
    match assumption {
        Assumption::UsualGrains(names) => format!(
            "no density is given for {}: taken as {} +/- {} g/ml (M. Cardew, Pioneer Pottery, 1969: most are 2.5 to 2.6)",
            names.join(", "),
            PowderDensity::UNKNOWN.value(),
            PowderDensity::UNKNOWN.plus_minus(),
        ),
        Assumption::UsualPowder => format!(
            "the powder's own density isn't known: {} +/- {} g/ml (M. Cardew, Pioneer Pottery, 1969)",
            PowderDensity::UNKNOWN.value(),
            PowderDensity::UNKNOWN.plus_minus(),
        ),
        Assumption::WaterUnsaid => {
            "neither the glaze nor the call says how wet: as much water as powder by weight, a start (common practice)"
                .to_owned()
        }
    }
}
