//! Everything that a person or a program reads: text for a terminal, JSON.
//!
//! Takes results from `core` and lays them out; reads no files and computes no
//! chemistry. JSON keeps full precision, text rounds.

pub mod adjust;
pub mod affected;
mod amounts;
mod answers;
pub mod bag;
pub mod batch;
pub mod batch_difference;
pub mod batches;
pub mod blend;
pub mod check;
pub mod clay;
pub mod convert;
pub mod cost;
pub mod diagnostic;
pub mod due;
mod face;
pub mod fit;
mod flow;
pub mod formula;
pub mod grid;
pub mod grid_words;
pub mod init;
pub mod label;
mod label_face;
pub mod label_sheet;
pub mod layout;
mod looking;
pub mod matching;
pub mod materials;
pub mod melt;
pub mod note;
pub mod note_sheet;
pub mod notebook;
pub mod notes;
pub mod number;
pub mod over;
pub mod paper;
pub mod plan;
pub mod powder_ladders;
pub mod qr;
pub mod reference;
pub mod rescue;
pub mod results;
mod ruled;
pub mod run;
pub mod scripts;
pub mod sensitivity;
pub mod sheet;
pub mod sieve;
pub mod slurry;
pub mod start;
pub mod stress;
pub mod svg;
mod ticket_sheet;
mod ticket_stock;
pub mod unity;
pub mod ways;
pub mod weigh;
pub mod words;

use layout::Style;

/// An answer that a person can read.
pub trait Shown {
    /// For a terminal.
    fn text(&self, style: Style) -> String;
}
