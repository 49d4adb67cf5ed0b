//! Batches that were mixed: what was weighed, from which lots, what left the shelf.
//!
//! `batches.jsonl` holds one JSON object a line, appended and never rewritten.
//! A booking's line holds its stock moves and is written first; then the stock in
//! the studio's YAML changes; then a line says that it is done. Whoever finds a
//! booking without that line finishes it: a stock that still shows the text from
//! before gets the text from after, any other is left as it is. So a move is made
//! once, whenever the power goes.

mod booking;
mod containers;
mod difference;
mod holding;
mod journal;
mod restate;
mod shelf;
mod shortfall;

pub use booking::{BatchNumber, BookedLine, Booking, MixedFrom, StockMove, Void};
pub use containers::Containers;
pub use difference::{About, Difference, Differences, Ranked, What, differences};
pub use holding::{Holding, Wanted, holdings, lots_of};
pub use journal::{Batch, Journal, NotOne, Unfinished, finished_line, read_journal, void_finished_line, void_line};
pub use restate::restated;
pub use shelf::{NewStock, StatedStock, of_lot, restock, stated_stocks};
pub use shortfall::{OnShelf, on_shelf};
