//! Answers in text, one file a question.

mod adjust;
mod clay;
mod due;
mod fit;
mod matching;
mod note;
mod note_blank;
mod notes;
mod plan;
mod read;
mod run;
mod scripts;
mod swap;

use swap::{beside_the_chemistry, ranges_text};
