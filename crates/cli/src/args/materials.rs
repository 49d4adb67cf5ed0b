use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct MaterialsOptions {
    /// A material's name
    pub(crate) name: Option<String>,
    /// Work out what a poor bag label means: "kaolin: SiO2 54.0, Al2O3 45.0",
    /// "chalk: calcium carbonate 98.5 %", or a name alone
    #[arg(long, value_name = "WORDS", conflicts_with = "name")]
    pub(crate) label: Option<String>,
    /// Write the entry into this file, which must be new
    #[arg(long, value_name = "FILE", requires = "label")]
    pub(crate) out: Option<PathBuf>,
}
