use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct DueOptions {
    /// As seen from this day; else today
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
    /// Write a calendar into a new file: .html to print, .svg, or .ics
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Write a new .ics file for a calendar programme
    #[arg(long, value_name = "FILE.ics")]
    pub(crate) ics: Option<PathBuf>,
}
