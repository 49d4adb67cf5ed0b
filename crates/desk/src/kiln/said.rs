//! What is to be said beside a firing.

use glost_chemistry::glaze::Atmosphere;
use glost_chemistry::quantity::Date;
use glost_core::evidence::firings::Put;
use glost_core::workshop::hazards::KilnCaution;
use serde::Serialize;

/// Something to be said beside a firing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KilnSaid {
    /// What a firing brings.
    Caution(KilnCaution),
    /// The clay of entries is the one that book, glaze or plan name.
    ClayFromFile {
        /// The entries.
        what: Vec<Put>,
        /// The clay.
        clay: String,
    },
    /// Nothing says on which clay an entry's pieces are.
    NoClay {
        /// The entry.
        what: Put,
    },
    /// The cone is the one that the glazes name.
    ConeOfGlazes {
        /// The cone.
        cone: String,
    },
    /// The atmosphere is the one that the glazes' files say.
    AtmosphereOfGlazes {
        /// The atmosphere.
        atmosphere: Atmosphere,
    },
    /// These glazes are fired so far above their own cones that they may run off.
    RunsOff {
        /// The cone that is meant.
        cone: String,
        /// Their names, each with its own cone.
        glazes: Vec<(String, String)>,
    },
    /// These glazes are fired so far below their own cones that they may stay dry.
    StaysDry {
        /// The cone that is meant.
        cone: String,
        /// Their names, each with its own cone.
        glazes: Vec<(String, String)>,
    },
    /// No cone is meant, and those of the glazes are far apart.
    ConesApart {
        /// Their names, each with its own cone.
        glazes: Vec<(String, String)>,
    },
    /// These glazes' files say another atmosphere than the firing has, or each another.
    OtherAtmosphere {
        /// The firing's; none: not said.
        fired: Option<Atmosphere>,
        /// Their names, each with its own.
        glazes: Vec<(String, Atmosphere)>,
    },
    /// Nothing says which cone is meant.
    NoCone,
    /// Another load of that name isn't opened yet.
    SameName {
        /// The name.
        name: String,
        /// Its id.
        id: String,
        /// The day it was loaded.
        on: Date,
    },
    /// A batch was mixed after the load.
    MixedLater {
        /// The batch.
        batch: String,
        /// The day it was mixed.
        on: Date,
    },
    /// The cones missed by one or more.
    Missed {
        /// By so many, above zero where hotter.
        cones: f64,
        /// The cone that was meant.
        meant: String,
        /// The cone that bent.
        bent: String,
    },
    /// The peak is far from the heat at which the cone bends.
    PeakFarFromCone {
        /// The peak, deg C.
        peak_celsius: f64,
        /// The cone.
        cone: String,
        /// The heat at which it bends, deg C.
        cone_celsius: f64,
    },
    /// Nobody said which cone bent: the pieces count as fired to the one that was meant.
    BentUnsaid {
        /// The cone that was meant.
        meant: Option<String>,
    },
    /// Notes name a firing that is taken back: they stand as they are.
    NotesStand {
        /// Their lines.
        lines: Vec<usize>,
    },
}

/// A peak so far from its cone's end point may be a slip of the pen, or of the unit, deg C.
pub const MAYBE_A_SLIP_CELSIUS: f64 = 100.0;
/// Cones missed by so many may be a slip of the pen.
pub const MAYBE_A_SLIP_CONES: f64 = 3.0;
