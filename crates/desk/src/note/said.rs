//! What is noticed or taken for granted when pieces are noted.

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
    /// The batch is not booked for this glaze.
    Batch(Amiss),
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
