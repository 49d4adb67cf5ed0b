//! What is said of reading graded tiles.

use glost_chemistry::quantity::{Date, DecimalComma};
use serde::Serialize;

/// One thing that a reader of a table or a plan took for granted or left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TileReading {
    /// The shares sum to 100.
    PerCent,
    /// Rows whose shares sum to something else are taken as written.
    AsWritten {
        /// What they sum to.
        sum: f64,
        /// The rows' lines.
        lines: Vec<usize>,
    },
    /// Rows without a value are left out.
    WithoutValue {
        /// The column.
        value: String,
        /// The rows' lines.
        lines: Vec<usize>,
    },
    /// How a number was read, where its reading was a guess.
    Number(DecimalComma),
    /// A column of 0 and 1 is read as no and yes.
    NoAndYes(String),
    /// Of several notes about a tile the latest counts.
    LatestOf {
        /// The tile.
        tile: String,
        /// How many there are.
        notes: usize,
        /// The day of the latest.
        on: Date,
    },
    /// Notes that name a code of several plans are left out, by their lines.
    Unclear(Vec<usize>),
    /// Tiles without a note of the property are left out.
    NotNoted {
        /// The property.
        property: String,
        /// The tiles.
        tiles: Vec<String>,
    },
}
