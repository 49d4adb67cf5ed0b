//! Which firing of some bars would tell more.

use glost_chemistry::quantity::FiringPeak;
use serde::Serialize;

use super::clay::Clay;

/// Below this, wt %, a hotter firing has little left to close and may bloat the clay instead.
const TIGHT_PERCENT: f64 = 1.0;

/// What to do with bars of the clay next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum BarAdvice {
    /// Weigh some: its absorption isn't known.
    WeighFirst,
    /// It is tight: weigh some from the coolest place.
    TightAlready,
    /// Fire some hotter.
    Hotter,
}

/// A firing to try with bars of the clay.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextFiring {
    /// What to do.
    pub advice: BarAdvice,
    /// The cones to try, one and two hotter, with the end points of self-supporting cones at
    /// 60 C/h in deg C; empty where no cone is known.
    pub cones: Vec<(&'static str, f64)>,
}

/// The next firing to try: one and two cones hotter where the clay still drinks, the same
/// again where it is tight.
pub fn next_firing(clay: &Clay) -> NextFiring {
    let known = clay.cone.as_deref().and_then(|cone| FiringPeak::parse(cone).ok());
    let cone = match known {
        Some(FiringPeak::Cone(cone, _)) => Some(cone),
        _ => None,
    };
    let advice = match clay.absorption() {
        None => BarAdvice::WeighFirst,
        Some(percent) if percent <= TIGHT_PERCENT => BarAdvice::TightAlready,
        Some(_) => BarAdvice::Hotter,
    };
    let hotter = (1..=2)
        .filter_map(|steps| cone?.hotter(steps))
        .filter_map(|hotter| Some((hotter.name(), hotter.end_point(None, None)?.celsius)));
    NextFiring {
        cones: if advice == BarAdvice::Hotter {
            hotter.collect()
        } else {
            Vec::new()
        },
        advice,
    }
}
