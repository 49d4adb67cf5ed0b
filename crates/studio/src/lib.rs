//! The studio folder of Glost: finding it, loading it, saving into it.
//!
//! All reading and writing of files happens here. There is no chemistry in it
//! and it prints nothing: complaints are handed back as `Diagnostic`s.
//!
//! [`Workplace`] is the door: what a call can see from where it stands. Below it
//! all goes through [`Disk`], and nothing else here knows the machine's files.

mod batch_book;
mod bench;
mod disk;
mod ends;
mod first_files;
mod folder;
mod init;
mod journal;
mod kiln_book;
mod line_file;
mod made_up;
mod new_names;
mod notebook;
mod packages;
mod plans;
mod renaming;
mod save;
mod sheet;
mod shelf;
mod shipped;
mod stock_files;
mod tables;
mod text_file;
mod values;
mod where_made;
mod workplace;

pub use batch_book::{BatchBook, BookRead, Booked, Take, Voided};
pub use bench::{Origin, Recipe};
pub use disk::{About, Disk, DiskFile, EntryKind, Unsaved, real_disk};
pub use ends::FoundEnd;
pub use first_files::{StudioFile, clay_file_text, formula_file_text, powder_file_text, studio_files};
pub use folder::{ScriptFile, find_studio};
pub use glost_chemistry::material::shipped_library;
pub use init::{Created, create, first_files, init};
pub use line_file::tell_of_waiting;
pub use made_up::PlanFile;
pub use new_names::{file_stem, new_name};
pub use packages::{Incoming, Locked, Manifest, Moved, Package, PackageFile, Packages, library_of};
pub use renaming::{NamedIn, RenameDone};
pub use save::{already_there, create_new, create_or_renew, is_there, make_folder, replace};
pub use sheet::{GlazeSheet, MOST_ROW_BYTES, RowBlock, SheetGlaze, SheetRows};
pub use shelf::{BrokenFile, ClayFile, Named, Shelf};
pub use shipped::{EXAMPLE, Embedded, STARTER};
pub use tables::{Holding, MOST_TABLE_BYTES, OwnFile};
pub use text_file::{MOST_TEXT_BYTES, read_text, read_text_on};
pub use values::{AcceptedIn, Change, Changed, Editable, NewLot, OfWhat, OpenedLot, Setting};
pub use where_made::{WhereMade, plain_path};
pub use workplace::{FoundClay, FoundGlaze, KnownGlaze, NotFound, Workplace};
