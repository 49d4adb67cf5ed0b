//! Materials: what is weighed into a glaze, and what it leaves when fired.

mod deviation;
mod entry;
mod expected_loss;
mod fired_yield;
mod free_silica;
mod hazard;
mod kind;
mod known_hazards;
mod library;
mod mix;
mod open_lot;
mod sheets;
mod shipped;

pub use deviation::Deviation;
pub use entry::{MATERIAL_KEYS, Makeup, MaterialEntry, read_materials};
pub use expected_loss::{ExpectedLoss, expected_loss};
pub use fired_yield::{FiredYield, LossStanding, PrintedAnalysis, SUM_ACCEPTED, SUM_UNQUESTIONED, Verdict};
pub use free_silica::FreeSilica;
pub use hazard::Hazard;
pub use kind::Kind;
pub use library::{Library, Material};
pub use open_lot::{LOT_KEYS, OpenLot, first_open};
pub use sheets::{BrokenSheet, Sheets, read_sheets};
pub use shipped::{SHIPPED_FILES, shipped_library};
