//! The weighing ticket: what to weigh, in which order, into how much water.

#[allow(clippy::module_inception)]
mod ticket;

pub use ticket::{BatchSize, Coarse, Ticket, TicketLine, TicketOrder, ticket};
