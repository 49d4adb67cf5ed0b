//! The door and its locks: what a request must be before anything is looked up for it.

mod form;
mod headers;
mod host;
mod locks;
mod peer;
mod phones;
mod pupils;
mod refusal;
mod secrets;
mod upload;
mod visitor;
mod ways;

pub(crate) use form::Form;
pub(crate) use headers::with_headers;
pub(crate) use host::Hosts;
pub(crate) use locks::{Locks, Passed};
pub(crate) use peer::{Whose, whose};
pub(crate) use phones::{Known, Phones};
pub(crate) use pupils::{Pupil, Pupils};
pub(crate) use refusal::Refusal;
pub(crate) use secrets::{Once, Tokens, secret};
pub(crate) use upload::Upload;
pub(crate) use visitor::Visitor;
pub(crate) use ways::Ways;
