use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct RunOptions {
    /// The script, a name or a file
    pub(crate) script: String,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Hand over a table that the script reads: name=FILE.csv (repeatable)
    #[arg(long, value_name = "NAME=FILE.csv")]
    pub(crate) table: Vec<String>,
}
