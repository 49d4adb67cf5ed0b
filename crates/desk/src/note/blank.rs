//! A blank sheet for notes, to type into or to print.

use std::path::{Path, PathBuf};

use super::Draft;
use glost_chemistry::diagnostic::{Diagnostic, of_typed};
use glost_chemistry::quantity::Date;
use serde::Serialize;

use crate::PageFormat;

/// What a blank sheet is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlankForm {
    /// A table to type into.
    Table,
    /// A page to print and write on.
    Page(PageFormat),
}

impl BlankForm {
    /// By the file's ending.
    pub(super) fn of(file: &Path) -> Result<BlankForm, Diagnostic> {
        match file.extension().and_then(|ending| ending.to_str()) {
            Some("csv") => Ok(BlankForm::Table),
            Some("html" | "htm" | "svg") => Ok(BlankForm::Page(PageFormat::of(file)?)),
            _ => {
                let message = of_typed(file.display(), "is neither a .csv nor an .html file");
                Err(Diagnostic::error("bad-option", message)
                    .help("name it such as sheet.csv to type into, or sheet.html to print"))
            }
        }
    }
}

/// What stands on a blank sheet; it is nothing but the file that it becomes.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct BlankSheet {
    /// The file that it goes into.
    #[serde(skip)]
    pub file: PathBuf,
    /// What it is to be.
    #[serde(skip)]
    pub form: BlankForm,
    /// What is known of the pieces already.
    #[serde(skip)]
    pub usual: Draft,
    /// The day today.
    #[serde(skip)]
    pub today: Date,
}
