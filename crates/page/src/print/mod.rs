//! What is printed: drawings, sheets of labels, tickets; and the files to be
//! written beside an answer.

pub(crate) mod card_sheet;
pub(crate) mod contact_sheet;
pub(crate) mod face;
pub(crate) mod flow;
pub(crate) mod kiln_sheet;
mod label_face;
pub(crate) mod label_sheet;
pub mod qr;
pub(crate) mod ruled;
pub mod sheet;
pub(crate) mod strip;
pub mod svg;
pub(crate) mod ticket_sheet;

use std::path::PathBuf;

use glost_chemistry::diagnostic::Diagnostic;
use glost_desk::PageFile;
use serde_json::Value;

use sheet::Pages;

/// A file to be written beside an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// Its path, as named in the call.
    pub path: PathBuf,
    /// All of its text.
    pub text: String,
}

/// What is printed of an answer beside its text and its JSON.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Printed {
    /// Files that aren't there yet.
    pub files: Vec<File>,
    /// What is said of them below the answer's text.
    pub said: String,
    /// What JSON says of them beside the answer's own keys.
    pub json: Vec<(&'static str, Value)>,
    /// What takes the place of the whole text, where that is asked for.
    pub instead: Option<String>,
}

impl Printed {
    /// Pages in the file asked for, and the line that says so.
    ///
    /// # Errors
    /// More pages than the file holds.
    pub fn pages(file: &PageFile, pages: &Pages, said: String) -> Result<Printed, Diagnostic> {
        Ok(Printed {
            files: vec![File {
                path: file.path.clone(),
                text: pages.file(file.format)?,
            }],
            said,
            ..Printed::default()
        })
    }
}
