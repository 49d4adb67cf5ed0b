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
pub mod matching;
pub mod materials;
pub mod melt;
pub mod notebook;
pub mod number;
pub mod over;
pub mod paper;
mod plan_map;
pub mod powder_ladders;
pub mod qr;
pub mod reference;
pub mod rescue;
pub mod results;
pub mod run;
pub mod scripts;
pub mod sensitivity;
pub mod sheet;
pub mod sieve;
pub mod slurry;
pub mod start;
pub mod stress;
pub mod svg;
pub mod swap;
mod ticket_sheet;
pub mod unity;
pub mod ways;
pub mod weigh;
