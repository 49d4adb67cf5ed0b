//! Swapping materials while the fired chemistry is held.

mod clay_band;
mod closest;
mod columns;
mod newcomers;
mod one_for_one;
mod proposal;
mod question;
mod reach;
mod sets;
mod split;
mod ties;

pub use closest::{Candidate, closest, reweighed};
pub use newcomers::{allowed, allowed_for_target, colours_or_opacifies};
pub use one_for_one::one_for_one;
pub use proposal::{Comparison, ExpansionMove, Proposal};
pub use question::{SwapQuestion, SwapTrouble};
pub use reach::{ReachQuestion, reach, reach_by_rule};
pub use split::{AlkaliSplit, alkali_split};
