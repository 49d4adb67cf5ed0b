//! Whether a batch was booked.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::read::folded;
use glost_core::workshop::batches::{Batch, Booking, NotOne};
use glost_studio::Workplace;
use serde::Serialize;

/// What the book says of a batch's number.
#[derive(Debug, Clone, PartialEq)]
pub enum Booked {
    /// Nothing: no batch was ever booked here.
    NoBook,
    /// It stands there, for this glaze.
    Here(Box<Booking>),
    /// It doesn't.
    Amiss(Amiss),
}

/// Why a batch isn't booked for a glaze.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Amiss {
    /// Its number is in no booking.
    NeverBooked {
        /// The number.
        batch: String,
    },
    /// Its booking was taken back.
    TakenBack {
        /// The number.
        batch: String,
    },
    /// Two clones of the studio gave its number.
    Shared {
        /// The number.
        batch: String,
        /// The ids of the bookings.
        ids: Vec<String>,
    },
    /// It was booked for another glaze.
    OfAnother {
        /// The number.
        batch: String,
        /// The glaze of the booking.
        booked_as: String,
        /// The glaze that was meant.
        glaze: String,
    },
}

impl Amiss {
    /// As what stops a question that would print the batch's number.
    pub(crate) fn refused(&self) -> Diagnostic {
        let error = |message: String| Diagnostic::error("unknown-batch", format!("--batch: {message}"));
        match self {
            Amiss::NeverBooked { batch } => error(format!("batch {batch} was never booked"))
                .help("`glost batches` lists those that were; leave --batch out to write its number in by hand"),
            Amiss::TakenBack { batch } => {
                error(format!("the booking of batch {batch} was taken back")).help("`glost batches` lists what stands")
            }
            Amiss::Shared { batch, ids } => error(format!("{} batches are called {batch}", ids.len()))
                .help(format!("name one by its id: {}", ids.join(" or "))),
            Amiss::OfAnother {
                batch,
                booked_as,
                glaze,
            } => error(format!("batch {batch} was booked as {booked_as}, not as {glaze}"))
                .help(format!("glost label \"{booked_as}\" --batch {batch}")),
        }
    }
}

/// Looks a batch up; a book that can't be read is as good as none here.
pub fn booked(workplace: &Workplace, number: &str, glaze: &str) -> Booked {
    // Whoever reads the book for its own sake complains about it.
    let read = workplace.batch_book().and_then(|book| book.read().ok());
    let Some(journal) = read
        .map(|read| read.journal)
        .filter(|journal| !journal.batches.is_empty())
    else {
        return Booked::NoBook;
    };
    let batch = number.to_owned();
    let found = match journal.only(number) {
        Ok(batch) => Some(batch),
        Err(NotOne::Unknown) => None,
        Err(NotOne::Several(batches)) => {
            let of_glaze = |batch: &&&Batch| folded(&batch.booking.glaze) == folded(glaze);
            let mut fitting = batches.iter().filter(of_glaze);
            match (fitting.next(), fitting.next()) {
                (Some(one), None) => Some(*one),
                _ => {
                    let ids = batches.iter().map(|batch| batch.booking.id.clone());
                    return Booked::Amiss(Amiss::Shared {
                        batch,
                        ids: ids.collect(),
                    });
                }
            }
        }
    };
    match found {
        None => Booked::Amiss(Amiss::NeverBooked { batch }),
        Some(known) if !known.stands() => Booked::Amiss(Amiss::TakenBack { batch }),
        Some(known) if folded(&known.booking.glaze) != folded(glaze) => Booked::Amiss(Amiss::OfAnother {
            batch,
            booked_as: known.booking.glaze.clone(),
            glaze: glaze.to_owned(),
        }),
        Some(known) => Booked::Here(known.booking.clone()),
    }
}
