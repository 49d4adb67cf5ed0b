//! Graded tiles, wherever they come from, with how each came to be looked at.

use glost_chemistry::read::folded;

use super::lesson::Outcomes;
use super::tile_reading::TileReading;

/// A table of tiles, read.
#[derive(Debug, Clone)]
pub struct TileTable {
    /// The names of the ends, as the table's head writes them.
    pub ends: Vec<String>,
    /// What was graded, as the table's head writes it.
    pub value: String,
    /// What came out of the kiln, row by row.
    pub outcomes: Outcomes,
    /// What each tile is called: its code, else its line.
    pub names: Vec<String>,
    /// How each tile came to be looked at.
    pub looks: Vec<TileLook>,
    /// Tiles of the plans that nobody has looked at for it yet.
    pub waiting: Vec<WaitingTile>,
    /// What was said about the reading.
    pub assumptions: Vec<TileReading>,
}

/// A planned tile without a note.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitingTile {
    /// What it is called.
    pub name: String,
    /// Shares of the ends.
    pub shares: Vec<f64>,
}

/// What tells one firing of tiles from another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FiredTogether {
    /// What a table's column of firings has.
    Told(String),
    /// The day by number, and the firing's name, folded, where notes say it.
    OnDay(i64, Option<String>),
}

/// How a tile came to be looked at.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TileLook {
    /// What tiles of one firing share, where it is known.
    pub firing: Option<FiredTogether>,
    /// Days since the firing.
    pub age_days: Option<f64>,
    /// The clay's name.
    pub clay: Option<String>,
}

/// A fault of fired pieces that is counted, not graded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Fine cracks in the glaze.
    Crazed,
    /// Glaze that springs off edges.
    Shivered,
}

impl Fault {
    /// The fault that a name means.
    pub fn of(name: &str) -> Option<Fault> {
        match folded(name).as_str() {
            "crazed" => Some(Fault::Crazed),
            "shivered" => Some(Fault::Shivered),
            _ => None,
        }
    }
}

impl TileTable {
    /// Whether it counts pieces with this fault.
    pub fn counts(&self, fault: Fault) -> bool {
        matches!(self.outcomes, Outcomes::Counts(_)) && Fault::of(&self.value) == Some(fault)
    }

    /// Whether it counts pieces with a fault: as few as can be are wanted.
    pub fn counts_a_fault(&self) -> bool {
        self.counts(Fault::Crazed) || self.counts(Fault::Shivered)
    }

    /// Which firing each tile was in, by number: tiles of which nobody knows count as one
    /// firing, for that takes the least for granted.
    pub fn firings(&self) -> Vec<usize> {
        let mut known: Vec<&Option<FiredTogether>> = Vec::new();
        let mut numbers = Vec::with_capacity(self.looks.len());
        for look in &self.looks {
            let place = known.iter().position(|other| **other == look.firing);
            let place = place.unwrap_or(known.len());
            if place == known.len() {
                known.push(&look.firing);
            }
            numbers.push(place);
        }
        numbers
    }
}
