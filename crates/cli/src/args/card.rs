use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct CardOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// Write the card as a page to print, into a new file, .html or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// The card's size: A6 (unless said) or A5
    #[arg(long, value_name = "SIZE", requires = "page")]
    pub(crate) paper: Option<String>,
}
