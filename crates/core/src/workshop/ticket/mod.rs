//! The weighing ticket: what to weigh, in which order, into how much water.

mod order;

pub use order::{BatchSize, Coarse, Ticket, TicketLine, TicketOrder, ticket};
