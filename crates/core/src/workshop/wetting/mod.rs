//! How wet a glaze is mixed: the powder's own density, the water, and what can't be mixed.

mod assumption;
mod powder;
mod water;

pub use assumption::Assumption;
pub use powder::powder_density;
pub use water::{NoTicket, WaterAim, densest, mixable, water_per_gram};
