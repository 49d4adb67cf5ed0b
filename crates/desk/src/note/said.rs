//! What is noticed or taken for granted when pieces are noted.

use glost_chemistry::quantity::Date;
use serde::Serialize;

use crate::booked::Amiss;

/// Something to be said beside a note.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Noticed {
    /// The clay is the one that the glaze's file names.
    ClayOfGlaze {
        /// The clay.
        clay: String,
    },
    /// The clay is the one that the tile's plan names.
    ClayOfPlan {
        /// The clay.
        clay: String,
    },
    /// The firing is the one that the glaze's file names.
    FiringOfGlaze {
        /// The firing.
        firing: Option<String>,
        /// The cone.
        cone: Option<String>,
    },
    /// No file describes the glaze.
    NoFile {
        /// The glaze.
        glaze: String,
    },
    /// The glaze's recipe can't be worked out now.
    NotWorkedOut {
        /// The glaze.
        glaze: String,
        /// What is wrong, with its place.
        why: String,
    },
    /// The batch is not booked for this glaze.
    Batch(Amiss),
    /// What the book of batches says of the pieces.
    AsBooked {
        /// The batch.
        batch: String,
        /// The day it was mixed.
        on: Date,
        /// Its glaze.
        glaze: String,
        /// The lots that it was weighed from.
        lots: Vec<(String, String)>,
        /// The clay, where it was taken from there.
        clay: Option<String>,
        /// The cone, where it was taken from there.
        cone: Option<String>,
        /// The version of its recipe.
        version: Option<String>,
    },
    /// The lots that are open today.
    OpenLots {
        /// Each material's.
        lots: Vec<(String, String)>,
    },
    /// What the kiln's book says of the pieces.
    FromKiln {
        /// The firing's id.
        id: String,
        /// Its name.
        firing: Option<String>,
        /// The day it was opened.
        opened: Date,
        /// The clay.
        clay: Option<String>,
        /// The cone.
        cone: Option<String>,
        /// How many were loaded.
        pieces: u32,
        /// Their age on the day they were looked at.
        age_days: i64,
    },
    /// The cones of the firing missed.
    ConesMissed {
        /// By so many, above zero where hotter.
        cones: f64,
        /// The cone that was meant.
        meant: String,
        /// Whether she named the firing, so that its pieces count with it all the same.
        pooled: bool,
    },
    /// The kiln's book has no firing of that name or id.
    UnknownFiring {
        /// As said.
        firing: String,
        /// One that is near.
        near: Option<String>,
    },
    /// The pieces stand in a kiln that nobody opened.
    NotOpened {
        /// The firing's id.
        id: String,
        /// Its name.
        firing: Option<String>,
    },
    /// A picture that isn't there.
    NoPhoto {
        /// Its path.
        photo: String,
    },
    /// Two glazes on one piece.
    Over {
        /// The one on top.
        over: String,
    },
    /// What was done to the pieces before they were looked at.
    TestCare,
    /// No plan is kept that would tell what is on a tile.
    NoPlan {
        /// The tile.
        tile: String,
    },
    /// Another version was the recipe when the pieces were fired.
    MaybeOlder {
        /// The version that they are noted as.
        version: String,
        /// The one before.
        older: String,
    },
    /// The recipe was recorded long after they were fired.
    FiredLongBefore,
    /// Rows of a table in which nothing was written.
    RowsLeftOut {
        /// How many.
        rows: usize,
    },
}
