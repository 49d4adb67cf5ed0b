//! A studio in tables: recipes, materials, clays, stocks and prices from a
//! spreadsheet, and a whole studio written as tables and read back.
//!
//! A table tells by its headings what it is about. What isn't known is never
//! guessed in silence: it is an open question, and what hangs on it is left out.

mod amount;
mod cells;
mod draft;
mod entries;
mod heading;
mod journal;
mod keys;
mod ready;
mod recipes;
mod sort;
mod written;
pub mod yaml;

pub use cells::{MOST_CELLS, MOST_COLUMNS, Table};
pub use draft::{At, ColumnTaken, Count, EntryDraft, Gathered, GlazeDraft, Open, RecipeLine, What};
pub use heading::TakenAs;
pub use journal::{is_journal, journal_table, journal_text};
pub use ready::{Known, Ready, ReadyClay, ReadyGlaze, ReadyMaterial, read_tables};
pub use sort::{Otherwise, PASS, Sort};
pub use written::{
    Entry, Row, TableText, clay_row, entry, glaze_row, list_entries, material_row, recipe_rows, settings_rows,
};
