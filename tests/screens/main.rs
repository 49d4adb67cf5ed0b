//! What people see: the text of every command and of every error, pinned.

mod bench;
mod day_one;
mod errors;
mod readme;
mod screens;
