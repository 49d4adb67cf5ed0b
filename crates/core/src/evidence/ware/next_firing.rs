//! Which firing of some bars would tell more.

use glost_chemistry::quantity::{Cone, FiringPeak};

use super::clay::Clay;

/// Below this, wt %, a hotter firing has little left to close and may bloat the clay instead.
const TIGHT_PERCENT: f64 = 1.0;

/// A firing to try with bars of the clay.
#[derive(Debug, Clone, PartialEq)]
pub struct NextFiring {
    /// The cones to try, one and two hotter, with the end points of self-supporting cones at
    /// 60 C/h in deg C; empty where no cone is known.
    pub cones: Vec<(&'static str, f64)>,
    /// What to do.
    pub words: String,
}

/// The next firing to try: one and two cones hotter where the clay still drinks, the same
/// again where it is tight.
pub fn next_firing(clay: &Clay) -> NextFiring {
    let known = clay.cone.as_deref().and_then(|cone| FiringPeak::parse(cone).ok());
    let cone = match known {
        Some(FiringPeak::Cone(cone, _)) => Some(cone),
        _ => None,
    };
    match clay.absorption() {
        None => NextFiring {
            cones: Vec::new(),
            words: "Fire three bars as you fire your ware; weigh them dry, after 24 h in cold water, and after 5 h of boiling."
                .to_owned(),
        },
        Some(percent) if percent <= TIGHT_PERCENT => NextFiring {
            cones: Vec::new(),
            words: "It is tight at this firing; hotter may bloat or slump it. Weigh three bars from the coolest shelf, for that is where it drinks first."
                .to_owned(),
        },
        Some(_) => hotter(cone),
    }
}

fn hotter(cone: Option<Cone>) -> NextFiring {
    const HEED: &str = "weigh, measure and look for bloating, glaze on one of each for colour; stay within what the clay's maker allows";
    let cones: Vec<(&'static str, f64)> = (1..=2)
        .filter_map(|steps| cone?.hotter(steps))
        .filter_map(|hotter| Some((hotter.name(), hotter.end_point(None, None)?.celsius)))
        .collect();
    let words = match cones.as_slice() {
        [] => format!("Fire three bars about 20 C and three about 40 C hotter: {HEED}."),
        [(name, celsius)] => format!("Fire three bars to cone {name} (about {celsius:.0} C): {HEED}."),
        [(one, at_one), (two, at_two), ..] => format!(
            "Fire three bars to cone {one} (about {at_one:.0} C) and three to cone {two} (about {at_two:.0} C; self-supporting cones at 60 C/h): {HEED}."
        ),
    };
    NextFiring { cones, words }
}
