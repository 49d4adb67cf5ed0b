//! Shapes that several answers share in JSON.

mod amounts;
mod complaint;
mod proposal;

pub use amounts::Amounts;
pub use complaint::Complaint;
pub use proposal::Offer;
