//! From shares to weights: rounding to the scales, and the whole ticket.

mod handling;
mod rounding;
mod scales;
mod ticket;
mod way_out;

pub use handling::{LOCKED, handling, locked_metal, substances};
pub(crate) use handling::{METALS, TRACE};
pub use rounding::{Weighed, WeighedLine, to_step, weigh_out};
pub use scales::{MOST_WEIGHINGS, parse_scales, weighings};
pub(crate) use ticket::water_per_gram;
pub use ticket::{BatchSize, Coarse, NoTicket, Ticket, TicketLine, TicketOrder, WaterAim, ticket};
pub use way_out::{FINE_WEIGHING_ERROR, MOST_WEIGHING_ERROR, Premix, StrongBatch, WayOut, way_out};
