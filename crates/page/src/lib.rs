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
pub mod diagnostic;
pub mod formula;
pub mod init;
pub mod label;
pub mod layout;
pub mod matching;
pub mod materials;
pub mod notebook;
pub mod number;
pub mod over;
pub mod plan;
pub mod reference;
pub mod rescue;
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
