//! The script host of Glost: what a script may see, the kinds of scripts, and
//! the bounds that keep a bad one from doing harm.
//!
//! A script is loaded by [`Script::load`] (nothing in it runs) and kept in a
//! [`ScriptStore`]; [`Script::check`], [`Script::limits`], [`Script::swap`],
//! [`Script::blend`] and [`Script::report`] run it on the glazes of a [`Scene`]. Whatever goes wrong
//! comes back as a [`ScriptFailure`] with a place in the script.
//!
//! The crate holds no chemistry and prints nothing.

mod about;
mod about_keys;
mod blending;
mod bounds;
mod caught;
mod checking;
mod clock;
mod command;
mod compiled;
mod cones;
mod editing;
mod engine;
mod entry;
mod failure;
mod faulting;
mod foreign;
mod glance;
mod language;
mod language_page;
mod libraries;
mod limiting;
mod literal;
mod meant;
mod memory;
mod notebook;
mod only_with;
mod options;
mod reading;
mod recovery;
mod reference;
mod report;
mod reporting;
mod rules;
mod running;
mod scene;
mod screening;
mod script;
mod scrutiny;
mod shelf;
mod shipped;
mod sort;
mod store;
mod swapping;
mod tables;
mod testing;
mod thread;
mod tongue;
mod trouble;
mod values;
mod watchdog;
mod wrong_kinds;

use values::kinds;

pub use about::{API, About};
pub use about_keys::{ABOUT_KEYS, AboutKey, OPTION_KEYS};
pub use blending::{PlannedTiles, TileShares};
pub use bounds::{Bound, Bounds, SOURCE_MOST_BYTES};
pub use checking::Checked;
pub use command::{command_begins, command_walks};
pub use cones::{ConeRange, Suits};
pub use editing::{
    Defined, Explained, Libraries, Named, Offer, Offers, What, complete, declared_at, define, explain, lints,
    lints_beside_tests,
};
pub use failure::{Cause, FailureKind, ScriptFailure};
pub use language_page::{AROUND, LANGUAGE, Point, SEALED, bounds_in_words};
pub use memory::CountingAllocator;
pub use notebook::StudioNotebook;
pub use options::{OptionSpec, Settings};
pub use reference::{DEFINITIONS_HEAD, GROUPS, definitions, reference};
pub use report::{Item, Report, ReportColumn, ReportTable};
pub use rules::{ScriptRules, limits_door};
pub use scene::{LimitsDoor, PrintedLines, Request, Scene, TestFailure};
pub use screening::Screening;
pub use script::{Script, hash_of};
pub use shelf::{Entry, Form};
pub use shipped::SHIPPED;
pub use sort::Sort;
pub use store::{Broken, LimitsByFiring, OfKind, ScriptStore, StudioOptions, shipped_text};
pub use swapping::{Proposed, Swapped};
pub use tables::{ColumnKind, ColumnSpec, GivenTable, TableSpec};
pub use testing::TestOutcome;
pub use thread::on_script_thread;
pub use tongue::speak_of_fit;
pub use values::kinds::{Kind, template};
pub use watchdog::{BROKEN_BOUNDS_EXIT_CODE, on_last_words, on_long_scripts};
