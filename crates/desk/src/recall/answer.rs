//! What a recall answers.

use std::collections::BTreeMap;
use std::path::PathBuf;

use glost_core::evidence::firings::Firing;
use glost_core::evidence::notes::Note;
use glost_core::workshop::batches::{Batch, Booking};
use serde::{Serialize, Serializer};
use serde_json::Value;

use super::FoundAs;
use crate::kiln::{FiringJson, load_json};
use crate::wire::NoteJson;
use crate::{PageFile, due};

/// Everything that belongs to a mark, a lot, a batch or a firing.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What was asked for.
    pub what: String,
    /// As what it was found.
    pub found_as: Vec<FoundAs>,
    /// The batches.
    pub batches: Vec<Batch>,
    /// The firings.
    pub firings: Vec<Firing>,
    /// Each material's lots in the batches; several joined by commas.
    pub lots: Vec<(String, String)>,
    /// The materials that the lot asked for is of.
    pub lot_of: Vec<String>,
    /// Batches that share the mark, where one was asked for.
    pub marked: Vec<String>,
    /// Every look at the pieces.
    pub notes: Vec<Note>,
    /// The pieces, those that belong together as one.
    pub sisters: Vec<Sisters>,
    /// Pieces that may be of the lot: of glazes that it is in, fired since it came into use, and
    /// their notes name no lot.
    pub may_be: Vec<Sisters>,
    /// How many pieces there are that surely belong to it, as far as anybody counted.
    pub pieces_out: u64,
    /// What to look at now, and next.
    pub due: Vec<due::Due>,
    /// Pictures of the pieces.
    pub photos: Vec<Photo>,
    /// The contact sheet to print.
    pub page: Option<PageFile>,
}

impl crate::Answer for Answer {}

/// Pieces of one batch, clay and firing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sisters {
    /// Their glaze.
    pub glaze: Option<String>,
    /// Their tile's code.
    pub tile: Option<String>,
    /// Their batch.
    pub batch: Option<String>,
    /// Their clay.
    pub clay: Option<String>,
    /// Their firing's name.
    pub firing: Option<String>,
    /// Its id in the kiln's book.
    pub firing_id: Option<String>,
    /// The day their kiln was opened.
    pub opened_on: Option<String>,
    /// How many.
    pub pieces: Option<u32>,
    /// Crazed of so many, by the latest count.
    pub crazed: Option<(u32, u32)>,
    /// How many have shivered.
    pub shivered: Option<u32>,
    /// How many cracked through.
    pub dunted: Option<u32>,
    /// Tests that crazed some.
    pub failed_tests: Vec<String>,
    /// The greatest age at which they were looked at, days.
    pub age_days: Option<f64>,
    /// Where they are.
    pub kept: Option<String>,
    /// Their marks.
    pub marks: Vec<String>,
    /// The notebook's lines about them.
    pub lines: Vec<usize>,
    /// Whether anybody looked at them yet.
    pub looked: bool,
}

/// A picture of pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// The note's line.
    pub line: usize,
    /// Its path, as noted.
    pub photo: String,
    /// Where it lies; none: it is gone.
    pub at: Option<PathBuf>,
    /// The note.
    pub caption: Note,
}

#[derive(Serialize)]
struct BatchJson<'a> {
    #[serde(flatten)]
    booking: &'a Booking,
    taken_back: bool,
}

#[derive(Serialize)]
struct FiredJson<'a> {
    #[serde(flatten)]
    firing: FiringJson<'a>,
    load: Vec<Value>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct PhotoJson<'a> {
    line: usize,
    photo: &'a str,
    is_there: bool,
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    what: &'a str,
    #[schemars(with = "Vec<String>")]
    found_as: &'a [FoundAs],
    #[schemars(with = "Vec<serde_json::Value>")]
    batches: Vec<BatchJson<'a>>,
    #[schemars(with = "Vec<serde_json::Value>")]
    firings: Vec<FiredJson<'a>>,
    lots: BTreeMap<&'a str, &'a str>,
    lot_of: &'a [String],
    #[schemars(with = "Vec<serde_json::Value>")]
    notes: Vec<NoteJson<'a>>,
    pieces_out: u64,
    #[schemars(with = "Vec<serde_json::Value>")]
    pieces: &'a [Sisters],
    #[schemars(with = "Vec<serde_json::Value>")]
    may_be: &'a [Sisters],
    due: &'a [due::Due],
    photos: Vec<PhotoJson<'a>>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            what: &self.what,
            found_as: &self.found_as,
            batches: self
                .batches
                .iter()
                .map(|batch| BatchJson {
                    booking: &batch.booking,
                    taken_back: !batch.stands(),
                })
                .collect(),
            firings: self
                .firings
                .iter()
                .map(|firing| FiredJson {
                    firing: FiringJson(firing),
                    load: load_json(firing),
                })
                .collect(),
            lots: self
                .lots
                .iter()
                .map(|(name, lot)| (name.as_str(), lot.as_str()))
                .collect(),
            lot_of: &self.lot_of,
            notes: self.notes.iter().map(NoteJson).collect(),
            pieces_out: self.pieces_out,
            pieces: &self.sisters,
            may_be: &self.may_be,
            due: &self.due,
            photos: self
                .photos
                .iter()
                .map(|photo| PhotoJson {
                    line: photo.line,
                    photo: &photo.photo,
                    is_there: photo.at.is_some(),
                })
                .collect(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
