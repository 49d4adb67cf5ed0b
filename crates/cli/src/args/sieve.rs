use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct SieveOptions {
    /// A mesh number such as 100, or an opening such as "150 um"; else the table
    pub(crate) sieve: Option<String>,
}
