//! Answers in text, one file a question.

mod adjust;
mod batches;
mod blend;
mod clay;
mod cost;
mod due;
mod fit;
mod init;
pub(crate) mod label;
mod matching;
mod mending;
mod note;
mod note_blank;
mod notes;
mod plan;
mod read;
mod run;
mod scripts;
mod sieve;
mod slurry;
mod start;
mod swap;
pub(crate) mod weigh;
mod weigh_stock;

use swap::{beside_the_chemistry, ranges_text};
