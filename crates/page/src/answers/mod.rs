//! Answers in text, one file a question.

mod adjust;
mod affected;
mod bag;
mod batches;
mod blend;
mod check;
mod clay;
mod convert;
mod cost;
mod due;
mod fit;
mod formula;
mod init;
mod keep;
pub(crate) mod label;
mod materials;
mod melt;
mod mending;
mod note;
mod note_blank;
mod notes;
mod plan;
mod reach;
mod read;
mod results;
mod run;
mod scripts;
mod sensitivity;
mod sieve;
mod slurry;
mod start;
mod swap;
mod unity;
pub(crate) mod weigh;
mod weigh_stock;

use swap::{beside_the_chemistry, ranges_text};
