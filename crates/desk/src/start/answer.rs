//! A first studio as it is answered.

use std::path::PathBuf;

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
    /// Ticket and label as pages to print.
    pub page: Option<String>,
    /// How the label is printed.
    #[serde(skip)]
    pub sheet: Sheet,
    /// The page to print.
    #[serde(skip)]
    pub file: PageFile,
    /// Whether the call named that page.
    #[serde(skip)]
    pub asked_for_page: bool,
    /// Ticket and label as text, to be read at leisure.
    #[serde(skip)]
    pub reading: PathBuf,
}

impl crate::Answer for Answer {}
