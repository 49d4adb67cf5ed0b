use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct RenameOptions {
    /// The name of a glaze, a material or a clay
    pub(crate) old: String,
    /// Its new name
    pub(crate) new: String,
    /// Which is meant where several have that name: glaze, material or clay
    #[arg(long, value_name = "SORT")]
    pub(crate) of: Option<String>,
}
