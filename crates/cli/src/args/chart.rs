use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ChartOptions {
    /// Glazes to mark; else all
    #[arg(value_name = "GLAZE")]
    pub(crate) glazes: Vec<String>,
    /// Draw what was graded for this property; else gloss, where it was
    #[arg(long, value_name = "NAME")]
    pub(crate) grade: Option<String>,
    /// Write the chart into a new file, .svg, or .html to print
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
