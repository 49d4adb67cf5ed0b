//! Shapes that several answers share in JSON.

mod amounts;
mod complaint;
mod finding;
mod note;
mod proposal;
mod stress;
mod written_as;

pub use amounts::Amounts;
pub use complaint::{Complaint, incomplete};
pub use finding::{FindingJson, Set, Signed};
pub use note::{NoteJson, Unread, standing_word, unread};
pub use proposal::Offer;
pub(crate) use proposal::OfferJson;
pub use stress::Stress;
pub(crate) use written_as::{one_of, written_as};
