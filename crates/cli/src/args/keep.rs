use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct KeepOptions {
    /// What to keep: a saved plan's tile, "PLAN/A3", or "NAME + 3 % rutile"
    pub(crate) from: String,
    /// The new glaze's name
    pub(crate) name: String,
}
