use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct InitOptions {
    /// The folder to make
    pub(crate) dir: PathBuf,
    /// Copy the example studio into it
    #[arg(long)]
    pub(crate) example: bool,
}
