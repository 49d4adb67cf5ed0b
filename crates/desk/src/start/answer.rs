//! A first studio as it is answered.

use serde::Serialize;

use crate::label::{OneLabel, Sheet};
use crate::{PageFile, Said, weigh};

/// A studio that was made, its first ticket and label.
#[derive(Debug, Clone, Serialize, schemars::JsonSchema)]
pub struct Answer {
    /// The folder.
    pub dir: String,
    /// Its files.
    pub files: Vec<String>,
    /// The first ticket.
    pub ticket: weigh::Answer,
    /// The label.
    pub label: OneLabel,
    /// What is uncertain about a recipe that was read.
    pub doubts: Vec<Said>,
    /// The page that was written.
    pub page: Option<String>,
    /// How the label is printed.
    #[serde(skip)]
    pub sheet: Sheet,
    /// The page to print.
    #[serde(skip)]
    pub file: Option<PageFile>,
}

impl crate::Answer for Answer {}
