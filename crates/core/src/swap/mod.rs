//! Swapping materials while the fired chemistry is held.

mod closest;
mod matching;
mod newcomers;
mod proposal;
mod sets;
mod split;
mod ties;
mod yardstick;

pub use closest::{Candidate, SwapQuestion, SwapTrouble, closest, one_for_one, reweighed};
pub use matching::{MatchQuestion, match_target};
pub use newcomers::{allowed, colours_or_opacifies};
pub use proposal::{Comparison, ExpansionMove, Proposal};
pub use split::{AlkaliSplit, alkali_split};
pub use yardstick::{NEAR, NOTICEABLE, STAND_INS, Yardstick, in_words};
