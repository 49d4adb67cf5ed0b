use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ReadOptions {
    /// The page as a text file, or - for stdin
    #[arg(value_name = "FILE|-")]
    pub(crate) file: String,
    /// Write the glaze into this file, which must be new
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Read other words in place of some on the page: "OLD=NEW" (repeatable)
    #[arg(long, value_name = "OLD=NEW")]
    pub(crate) instead: Vec<String>,
}
