use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct ResultsOptions {
    /// A table of tiles: a column for each end's share, one for the result
    #[arg(long, value_name = "FILE")]
    pub(crate) data: PathBuf,
    /// The columns with the shares, between commas
    #[arg(long, value_name = "NAMES", value_delimiter = ',', required = true)]
    pub(crate) shares: Vec<String>,
    /// The column with the result: a grade, yes and no, or 2/5
    #[arg(long, value_name = "NAME")]
    pub(crate) value: String,
    /// How the result may bend between the ends
    #[arg(long, value_enum, default_value_t = ModelOption::Auto)]
    pub(crate) model: ModelOption,
    /// What is wanted: max, min, or a value
    #[arg(long, value_name = "GOAL", default_value = "max", allow_negative_numbers = true)]
    pub(crate) goal: String,
    /// How many tiles to advise next
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) next: usize,
}

/// A mixture model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ModelOption {
    Linear,
    Quadratic,
    SpecialCubic,
    // The one that best foretells tiles left out.
    Auto,
}
