//! The chemistry, the optimiser and the plans of Glost, as plain data.
//!
//! Nothing in here touches disk, terminal, clock, environment or the script
//! engine: text comes in, numbers and findings go out.

pub mod adjust;
pub mod affected;
pub mod aims;
pub mod bag;
pub mod batches;
pub mod blend;
pub mod chemistry;
pub mod convert;
pub mod cost;
pub mod diagnostic;
pub mod fit;
pub mod glaze;
pub mod label;
pub mod material;
pub mod mixture;
pub mod notebook;
pub mod notes;
pub mod quantity;
pub mod read;
pub mod rules;
pub mod slurry;
pub mod solve;
pub mod start;
pub mod studio;
pub mod swap;
pub mod ware;
pub mod weigh;
pub mod window;
