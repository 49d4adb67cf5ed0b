//! The desk of Glost: one file a question, the same answer through every door.
//!
//! A question comes in as [`Words`], the values as somebody typed them, whether at
//! a terminal or on a page; [`Question::from_words`] reads them into types, and
//! [`Question::ask`] answers with plain data that serialises as the contract's
//! JSON. Defaults, limits, who may come in and what is looked up where are decided
//! here or deeper. The desk reads no arguments, formats nothing, prints nothing and
//! has no clock: it is handed the day.

pub mod blend;
pub mod booked;
pub mod clay;
mod desk;
pub mod due;
pub mod editor;
pub mod exercises;
pub mod expect;
pub mod export;
mod failure;
mod file_schemas;
pub mod fit;
pub mod looked;
mod lookup;
mod lost_plan;
mod making;
pub mod melt;
pub mod note;
mod notebook;
pub mod notes;
mod page_file;
mod pieces;
pub mod plan;
mod question;
mod said;
mod words;

pub mod add;
pub mod adjust;
pub mod affected;
pub mod batches;
pub mod by_hand;
pub mod card;
pub mod chart;
pub mod check;
pub mod compare;
pub mod convert;
pub mod cost;
pub mod fault;
pub mod formula;
pub mod glazes;
pub mod habits;
pub mod history;
pub mod import;
pub mod init;
pub mod keep;
pub mod kiln;
pub mod lab;
pub mod label;
pub mod materials;
mod names;
pub mod reach;
pub mod read;
pub mod recall;
mod recorded;
pub mod rename;
pub mod results;
mod rulebook;
pub mod run;
pub mod schema;
pub mod scripts;
pub mod sensitivity;
pub mod set;
mod settled;
pub mod shelf;
pub mod sieve;
pub mod slurry;
pub mod start;
pub mod swap;
mod trouble;
pub mod unity;
pub mod weigh;
pub mod wire;
pub mod year;

pub use desk::{Aside, Calendar, Desk, Place, Progress};
pub use failure::Failure;
pub use making::AskedWater;
pub use names::NamesOf;
pub use page_file::{PageFile, PageFormat};
pub use question::{Answer, Question};
pub use said::{Said, Tongue, speak_with};
pub use words::{Words, bad_option};
