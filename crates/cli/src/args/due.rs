use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct DueOptions {
    /// As seen from this day; else today
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<String>,
}
