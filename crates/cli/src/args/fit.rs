use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct FitOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// The clay it is on, a file or name [default: the glaze's own]
    #[arg(long, alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// The firing, by its name or cone [default: the glaze's own]
    #[arg(long, value_name = "FIRING")]
    pub(crate) firing: Option<String>,
    /// What it is for: tableware, "wall tile", floor, outdoor, decorative
    /// [default: the glaze's own]
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// Write the picture into a new file: .svg, or .html to print
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
