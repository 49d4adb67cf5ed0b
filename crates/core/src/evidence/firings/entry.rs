//! What stands in a kiln.

use serde::Serialize;
use serde_json::{Map, Value};

use glost_chemistry::read::folded;

use super::firing::Firing;

/// What pieces were glazed with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Put {
    /// A booked batch: its number, and its booking's id where numbers may clash.
    Batch {
        /// The number.
        number: String,
        /// The booking's id.
        booking: Option<String>,
    },
    /// A glaze of which no batch is told.
    Glaze(String),
    /// A tile of a saved plan, `PLAN/A1`.
    Tile(String),
    /// Bare ware, in a biscuit firing.
    Ware(String),
}

impl Put {
    /// The key of the book that it stands under.
    fn key(&self) -> &'static str {
        match self {
            Put::Batch { .. } => "batch",
            Put::Glaze(_) => "glaze",
            Put::Tile(_) => "tile",
            Put::Ware(_) => "ware",
        }
    }

    /// Its number or name.
    pub fn name(&self) -> &str {
        match self {
            Put::Batch { number, .. } => number,
            Put::Glaze(name) | Put::Tile(name) | Put::Ware(name) => name,
        }
    }

    /// Whether it is the same.
    fn is(&self, other: &Put) -> bool {
        let booking = |put: &Put| match put {
            Put::Batch { booking, .. } => booking.clone(),
            Put::Glaze(_) | Put::Tile(_) | Put::Ware(_) => None,
        };
        self.key() == other.key() && folded(self.name()) == folded(other.name()) && booking(self) == booking(other)
    }
}

/// One entry of a load: pieces of one kind on one shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What they were glazed with.
    pub put: Put,
    /// The glaze that lies over it.
    pub over: Option<String>,
    /// Their clay.
    pub clay: Option<String>,
    /// How many.
    pub pieces: u32,
    /// Where in the kiln.
    pub shelf: Option<String>,
    /// How the glaze was put on: `1 dip`.
    pub coat: Option<String>,
    /// The mark scratched or stamped on them.
    pub mark: Option<String>,
    /// Anything else.
    pub text: Option<String>,
}

impl Entry {
    /// Its keys in the order of the file, without those that say nothing.
    pub fn fields(&self) -> Map<String, Value> {
        let mut fields = Map::new();
        fields.insert(self.put.key().to_owned(), Value::from(self.put.name()));
        if let Put::Batch {
            booking: Some(booking), ..
        } = &self.put
        {
            fields.insert("booking".to_owned(), Value::from(booking.as_str()));
        }
        let texts = [
            ("over", &self.over),
            ("clay", &self.clay),
            ("shelf", &self.shelf),
            ("coat", &self.coat),
            ("mark", &self.mark),
            ("text", &self.text),
        ];
        fields.insert("pieces".to_owned(), Value::from(self.pieces));
        for (key, text) in texts {
            if let Some(text) = text {
                fields.insert(key.to_owned(), Value::from(text.as_str()));
            }
        }
        fields
    }
}

/// Pieces of one kind on one clay that one firing gave, on whatever shelves.
#[derive(Debug, Clone, PartialEq)]
pub struct Group<'a> {
    /// The firing.
    pub firing: &'a Firing,
    /// What they were glazed with.
    pub put: &'a Put,
    /// The glaze that lies over it.
    pub over: Option<&'a str>,
    /// Their clay.
    pub clay: Option<&'a str>,
    /// How many.
    pub pieces: u32,
    /// The shelves that are told.
    pub shelves: Vec<&'a str>,
    /// Their marks, as far as told.
    pub marks: Vec<&'a str>,
}

impl Firing {
    /// The pieces by what they were glazed with and by clay, in the order of the load.
    pub fn groups(&self) -> Vec<Group<'_>> {
        let mut groups: Vec<Group<'_>> = Vec::new();
        for entry in &self.load {
            let clay = entry.clay.as_deref();
            let over = entry.over.as_deref();
            let same = |group: &&mut Group<'_>| {
                group.put.is(&entry.put)
                    && group.clay.map(folded) == clay.map(folded)
                    && group.over.map(folded) == over.map(folded)
            };
            let place = match groups.iter_mut().find(same) {
                Some(known) => {
                    known.pieces = known.pieces.saturating_add(entry.pieces);
                    known
                }
                None => {
                    groups.push(Group {
                        firing: self,
                        put: &entry.put,
                        over,
                        clay,
                        pieces: entry.pieces,
                        shelves: Vec::new(),
                        marks: Vec::new(),
                    });
                    let last = groups.len() - 1;
                    &mut groups[last]
                }
            };
            place.shelves.extend(entry.shelf.as_deref());
            place.marks.extend(entry.mark.as_deref());
        }
        groups
    }
}
