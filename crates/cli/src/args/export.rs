use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ExportOptions {
    /// The folder to make: a new one, or an empty one
    #[arg(value_name = "FOLDER")]
    pub(crate) folder: String,
}
