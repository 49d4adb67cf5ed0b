use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct YearOptions {
    /// Which; else this one
    pub(crate) year: Option<String>,
    /// Write the year as a page to print into a new file, .html or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
