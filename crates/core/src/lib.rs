//! What a studio asks and knows, as plain data: plans, tickets, evidence.
//!
//! Nothing in here touches disk, terminal, clock, environment or the script
//! engine: text comes in, numbers and findings go out.

pub mod evidence;
pub mod intake;
mod line_id;
pub mod recipes;
pub mod renames;
pub mod rules;
pub mod studio;
pub mod tiles;
pub mod workshop;
