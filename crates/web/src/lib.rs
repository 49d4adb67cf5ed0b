//! The bench in a browser: the same desk through a second door.
//!
//! One studio, one folder, one user: pages and an API on the own machine's loopback
//! address, locked against other pages, other users and other machines. Nothing is
//! decided here; what is asked goes to the same commands as at a terminal.

mod api;
mod command;
mod door;
mod keeping;
mod pages;
mod photo;
mod serve;

pub use api::AS_IT_IS;
pub use command::{Command, Key, Program, Takes};
pub use keeping::Keeping;
pub use pages::ICON;
pub use serve::{Addresses, ForPhones, Opening, open};
