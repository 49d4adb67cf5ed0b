//! Answers in text, one file a question.

mod due;
mod note;
mod note_blank;
mod notes;
mod run;
mod scripts;
pub(crate) mod swap;

pub(crate) use swap::{beside_the_chemistry, proposal_json, ranges_text};
