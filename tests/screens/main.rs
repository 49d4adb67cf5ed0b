//! What people see: the text of every command and of every error, pinned.

mod bench;
mod buckets;
mod day_one;
mod errors;
mod over;
mod plans;
mod readme;
mod screens;
mod scripts;
