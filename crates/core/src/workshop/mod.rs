//! The work itself: hazards, scales, water, tickets, buckets, batches, cost, labels.

pub mod batches;
#[cfg(test)]
mod bench;
pub mod cost;
pub mod hazards;
pub mod label;
pub mod scales;
pub mod slurry;
pub mod ticket;
pub mod wetting;
