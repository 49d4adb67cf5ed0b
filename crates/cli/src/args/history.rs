use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct HistoryOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
}
