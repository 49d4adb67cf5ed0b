//! Everything that a person or a program reads: text for a terminal, JSON.
//!
//! Takes results from `core` and lays them out; reads no files and computes no
//! chemistry. JSON keeps full precision, text rounds.

pub mod adjust;
pub mod affected;
mod amounts;
pub mod bag;
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
pub mod note;
pub mod note_sheet;
pub mod notebook;
pub mod notes;
pub mod number;
pub mod over;
pub mod paper;
pub mod plan;
pub mod qr;
pub mod reference;
pub mod rescue;
pub mod results;
mod ruled;
pub mod run;
pub mod scripts;
pub mod sheet;
pub mod sieve;
pub mod slurry;
pub mod start;
pub mod svg;
pub mod swap;
mod ticket_sheet;
pub mod unity;
pub mod weigh;
