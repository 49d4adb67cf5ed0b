//! The notebook of results: what was seen on which pieces, when, and what the
//! recipe was then.
//!
//! `notes.jsonl` and `versions.jsonl` hold one JSON object a line and are only
//! ever added to. Reading one gives everything that is whole plus a complaint
//! for each line that isn't; a line is taken back by a later line that says
//! so. Lines count from 1, torn and empty ones included.

mod lines;
mod note;
mod reading;
mod version;
mod versions;

pub use note::{GRADES, Grade, Note, Void};
pub use reading::Notes;
pub use version::{Change, Version, VersionMaterial, VersionYield};
pub use versions::Versions;
