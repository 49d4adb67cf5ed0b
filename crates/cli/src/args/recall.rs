use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct RecallOptions {
    /// A mark on a piece, a lot, a batch's number or id, a firing's name or id
    #[arg(value_name = "MARK|LOT|BATCH|FIRING")]
    pub(crate) what: String,
    /// Which of them is meant, where it is several
    #[arg(long = "as", value_enum)]
    pub(crate) meant: Option<Meant>,
    /// The pictures on a sheet to print, into a new file, .html or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Meant {
    Mark,
    Lot,
    Batch,
    Firing,
}
