use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct CompletionsOptions {
    /// bash, zsh, fish, powershell or elvish
    pub(crate) shell: String,
}

#[derive(Debug, Args)]
pub(crate) struct ManOptions {
    /// The folder, made where it isn't there
    pub(crate) dir: PathBuf,
}
