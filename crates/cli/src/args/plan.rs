use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct PlanOptions {
    /// A saved plan's name; without one, all of them are listed
    pub(crate) plan: Option<String>,
    /// The graded property to show on the map [default: the first noted]
    #[arg(long, value_name = "PROPERTY")]
    pub(crate) show: Option<String>,
    /// Write the map with its results into a new .html or .svg file
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
