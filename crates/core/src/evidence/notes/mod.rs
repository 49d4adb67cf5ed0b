//! The notebook of results: what was seen on which pieces, when, and what the
//! recipe was then.
//!
//! `notes.jsonl` and `versions.jsonl` hold one JSON object a line and are only
//! ever added to. Reading one gives everything that is whole plus a complaint
//! for each line that isn't; a line is taken back by a later line that says
//! so. Lines count from 1, torn and empty ones included.

mod change;
mod due;
pub(super) mod lines;
mod looked;
mod meaning;
mod note;
mod note_id;
mod pieces;
mod quick;
mod read_part;
mod reading;
mod search;
mod standing;
mod story;
mod version;
mod version_line;
mod version_lots;
mod versions;

pub use change::Change;
pub use due::{Due, LOOK_AT_DAYS, Task, due, due_of, next_look};
pub use looked::{Cause, Looked};
pub use meaning::rate_below_percent;
pub use note::{GRADES, Grade, Note, OLDEST_DAYS, THICKEST_MM, Target, Void};
pub use pieces::{APART_KEY, KILN_KEY, MARK_KEY, MISSED_KEY, OVER_KEY, are_of_lot, two_glazes};
pub use reading::Notes;
pub use search::{PropertySearch, Search};
pub use standing::{Belongs, RecipeStanding, Standings, TodaysRecipes};
pub use story::{Story, StoryOdd, maybe_same_pieces, stories};
pub use version::{Version, VersionMaterial, VersionYield};
pub use version_lots::VersionLots;
pub use versions::Versions;
