use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct FormulaOptions {
    /// A formula such as "Al2Si2O5(OH)4"
    pub(crate) formula: String,
}
