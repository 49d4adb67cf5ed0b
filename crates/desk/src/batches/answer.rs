//! What the book of batches answers.

use glost_chemistry::quantity::Date;
use glost_core::workshop::batches::{
    About, Batch, BatchNumber, BookedLine, Booking, Difference, Differences, StockMove, Void, What,
};
use serde::{Serialize, Serializer};

use crate::Said;

/// What the book says.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The batches that fit, those taken back too.
    List {
        /// The batches, the newest last.
        batches: Vec<Listed>,
        /// The material asked for, by its own name.
        material: Option<String>,
        /// The lot asked for.
        lot: Option<String>,
        /// The glaze asked for.
        glaze: Option<String>,
        /// The lots of the material that were ever booked.
        lots: Vec<String>,
        /// How many bookings the book holds in all.
        booked: usize,
    },
    /// One batch in full.
    One(Batch),
    /// Two batches compared.
    Difference(Compared),
    /// A booking taken back.
    TakenBack {
        /// The booking.
        booking: Box<Booking>,
        /// How it was taken back.
        void: Void,
    },
}

/// A batch in the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// The batch.
    pub batch: Batch,
    /// The weighed lines that fit; empty where neither material nor lot is asked for.
    pub lines: Vec<BookedLine>,
    /// Whether all that fits came in through mixes: likely, not known.
    pub through_a_mix: bool,
    /// What was seen of its pieces, where any were noted.
    pub seen: Option<SeenOfBatch>,
}

/// What was seen of a batch's pieces, by the latest look at each.
#[derive(Debug, Clone, PartialEq, Serialize, schemars::JsonSchema)]
pub struct SeenOfBatch {
    /// How many looks are noted.
    pub looks: usize,
    /// Pieces that were looked at for crazing.
    pub pieces: u32,
    /// How many of them are crazed.
    pub crazed: u32,
    /// Torture tests that crazed some.
    pub failed_tests: Vec<String>,
    /// How many have shivered.
    pub shivered: u32,
    /// The greatest age at which they were looked at, days.
    pub age_days: Option<f64>,
}

/// Two batches compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The first batch.
    pub before: BatchNumber,
    /// The second.
    pub after: BatchNumber,
    /// What differs.
    pub found: Differences,
}

impl Compared {
    /// What goes with the numbers.
    pub fn assumptions(&self) -> Vec<Said> {
        self.found.ranked.into_iter().map(Said::Ranked).collect()
    }
}

impl crate::Answer for Answer {
    fn long_json(&self) -> Option<serde_json::Result<String>> {
        Some(serde_json::to_string_pretty(self))
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct ListJson<'a> {
    material: &'a Option<String>,
    lot: &'a Option<String>,
    glaze: &'a Option<String>,
    batches: Vec<BatchJson<'a>>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct BatchesJson<'a> {
    batches: [BatchJson<'a>; 1],
}

#[derive(Serialize, schemars::JsonSchema)]
struct BatchJson<'a> {
    #[serde(flatten)]
    #[schemars(with = "serde_json::Value")]
    booking: &'a Booking,
    void: Option<VoidJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    through_a_mix: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seen: Option<SeenOfBatch>,
}

#[derive(Serialize, schemars::JsonSchema)]
struct VoidJson<'a> {
    #[schemars(with = "String")]
    on: Date,
    text: &'a Option<String>,
    #[schemars(with = "Vec<serde_json::Value>")]
    stock: &'a [StockMove],
}

#[derive(Serialize, schemars::JsonSchema)]
struct DifferenceJson<'a> {
    #[schemars(with = "String")]
    before: &'a BatchNumber,
    #[schemars(with = "String")]
    after: &'a BatchNumber,
    differences: Vec<RowJson<'a>>,
    together: Option<f64>,
    assumptions: Vec<Said>,
}

#[derive(Serialize, schemars::JsonSchema)]
#[serde(tag = "what", rename_all = "snake_case")]
enum RowJson<'a> {
    Weight {
        material: &'a str,
        before: f64,
        after: f64,
        effect: Option<f64>,
    },
    Lot {
        material: &'a str,
        before: &'a Option<String>,
        after: &'a Option<String>,
        per_base: f64,
    },
    #[serde(rename = "water_millilitres_per_100_grams")]
    Water {
        before: f64,
        after: f64,
    },
    Density {
        before: f64,
        after: f64,
    },
    #[serde(untagged)]
    Words {
        #[schemars(with = "String")]
        what: About,
        before: &'a Option<String>,
        after: &'a Option<String>,
    },
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Answer::List {
                batches,
                material,
                lot,
                glaze,
                ..
            } => {
                let batches = batches.iter().map(|one| BatchJson {
                    through_a_mix: Some(one.through_a_mix),
                    seen: one.seen.clone(),
                    ..batch_json(&one.batch)
                });
                ListJson {
                    material,
                    lot,
                    glaze,
                    batches: batches.collect(),
                }
                .serialize(to)
            }
            Answer::One(batch) => BatchesJson {
                batches: [batch_json(batch)],
            }
            .serialize(to),
            Answer::TakenBack { booking, void } => BatchesJson {
                batches: [BatchJson {
                    booking,
                    void: Some(void_json(void)),
                    through_a_mix: None,
                    seen: None,
                }],
            }
            .serialize(to),
            Answer::Difference(compared) => DifferenceJson {
                before: &compared.before,
                after: &compared.after,
                differences: compared.found.rows.iter().map(row_json).collect(),
                together: compared.found.together,
                assumptions: compared.assumptions(),
            }
            .serialize(to),
        }
    }
}

crate::wire::written_as!(Answer: ListJson<'_>, BatchesJson<'_>, DifferenceJson<'_>);

fn batch_json(batch: &Batch) -> BatchJson<'_> {
    BatchJson {
        booking: &batch.booking,
        void: batch.void.as_ref().map(void_json),
        through_a_mix: None,
        seen: None,
    }
}

fn void_json(void: &Void) -> VoidJson<'_> {
    VoidJson {
        on: void.on,
        text: &void.text,
        stock: &void.stock,
    }
}

fn row_json(row: &Difference) -> RowJson<'_> {
    match &row.what {
        What::Weight {
            material,
            per_base,
            effect,
        } => RowJson::Weight {
            material,
            before: per_base.0,
            after: per_base.1,
            effect: *effect,
        },
        What::Lot {
            material,
            lots,
            per_base,
        } => RowJson::Lot {
            material,
            before: &lots.0,
            after: &lots.1,
            per_base: *per_base,
        },
        What::Water(before, after) => RowJson::Water {
            before: *before,
            after: *after,
        },
        What::Density(before, after) => RowJson::Density {
            before: *before,
            after: *after,
        },
        What::Words { about, texts } => RowJson::Words {
            what: *about,
            before: &texts.0,
            after: &texts.1,
        },
    }
}
