//! Shapes that several answers share in JSON.

mod amounts;
mod proposal;

pub use amounts::Amounts;
pub use proposal::Offer;
