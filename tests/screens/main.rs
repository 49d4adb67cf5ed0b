//! What people see: the text of every command and of every error, pinned.

mod batches;
mod bench;
mod buckets;
mod changed;
mod clay;
mod conversions;
mod costs;
mod day_one;
mod effects;
mod errors;
mod fit;
mod fit_aims;
mod judged;
mod kiln;
mod made_up;
mod notes;
mod notes_kept;
mod over;
mod plans;
mod plugins;
mod readme;
mod results;
mod screens;
mod script_pieces;
mod scripts;
mod tables;
