use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct LabelOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// Print the page for a browser instead of text
    #[arg(long)]
    pub(crate) html: bool,
    /// Write the page to print into a new file, beside the text
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// The batch's number to print on it
    #[arg(long, value_name = "NUMBER")]
    pub(crate) batch: Option<String>,
    /// How many labels on the page
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=100))]
    pub(crate) copies: u16,
}
