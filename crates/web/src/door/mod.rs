//! The door and its locks: what a request must be before anything is looked up for it.

mod form;
mod headers;
mod host;
mod locks;
mod peer;
mod refusal;
mod secrets;
mod upload;

pub(crate) use form::Form;
pub(crate) use headers::with_headers;
pub(crate) use host::Hosts;
pub(crate) use locks::{Locks, Passed};
pub(crate) use peer::{Whose, whose};
pub(crate) use refusal::{Refusal, capital};
pub(crate) use secrets::{Once, Session, secret};
pub(crate) use upload::Upload;
