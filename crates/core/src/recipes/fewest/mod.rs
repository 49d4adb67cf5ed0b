//! The fewest materials that keep every glaze of a studio near what it is.
//!
//! Exact, with its proof: see its `search`. Additions and glazes whose chemistry nobody
//! tells stay as they are, with all that is in them.

mod answer;
mod master;
mod next;
mod problem;
mod search;
mod seeker;
mod set;
mod twins;

pub use answer::{AsItIs, Fewest, Kept, KeptGlaze, Next};
pub use problem::{FewestQuestion, FewestTrouble, Year, fewest};
pub use set::MOST_MATERIALS;
