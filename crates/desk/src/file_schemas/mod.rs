//! The JSON Schema of each file of a studio, made from the keys that its reader knows.

mod files;
mod for_editors;
mod keys;

pub use files::StudioFile;
pub(crate) use for_editors::with_schemas;
