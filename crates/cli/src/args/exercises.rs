use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ExercisesOptions {
    /// What is practised: unity, weigh, slurry or blend
    pub(crate) kind: String,
    /// How many
    #[arg(long, value_name = "N", default_value = glost_desk::exercises::COUNT)]
    pub(crate) count: String,
    /// Which sheet: the same number gives the same sheet
    #[arg(long, value_name = "NUMBER", default_value = glost_desk::exercises::SEED)]
    pub(crate) seed: String,
    /// Write the sheet to print into a new file, .html, its key on a page of its own
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
