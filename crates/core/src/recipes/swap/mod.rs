//! Swapping materials while the fired chemistry is held.

mod beside;
mod choice;
mod clay_band;
mod closest;
mod columns;
mod from_set;
mod newcomers;
mod one_for_one;
mod opacifiers;
mod proposal;
mod question;
mod reach;
mod sets;
mod split;
mod ties;

pub use beside::{ClayOut, ClaySide, ColourBase, CompanyMove};
pub use closest::{Candidate, closest, reweighed};
pub use from_set::{FromSet, counts_in_bases, may_join_glaze, of_the_shelf};
pub use newcomers::{allowed, allowed_for_target, colours_or_opacifies, fluorine_in_batch};
pub use one_for_one::one_for_one;
pub use opacifiers::{StandIn, stand_ins};
pub use proposal::{Comparison, ExpansionMove, Proposal};
pub use question::{SwapQuestion, SwapTrouble};
pub use reach::{ReachQuestion, reach, reach_by_rule};
pub use split::{AlkaliSplit, alkali_split};
