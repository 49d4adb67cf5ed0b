use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct ResultsOptions {
    /// Saved plans of the same ends, with the notes about their tiles
    #[arg(value_name = "PLAN", required_unless_present_any = ["data", "all"])]
    pub(crate) plans: Vec<String>,
    /// Everything that was graded in the studio: glazes, versions, tiles of all plans
    #[arg(long, requires = "grade", conflicts_with_all = ["plans", "data"])]
    pub(crate) all: bool,
    /// What was noted of the tiles: a graded property, crazed or shivered
    #[arg(long, value_name = "NAME", conflicts_with = "data")]
    pub(crate) grade: Option<String>,
    /// A table instead: a column for each end's share, one for the result
    #[arg(long, value_name = "FILE", conflicts_with = "plans", requires_all = ["shares", "value"])]
    pub(crate) data: Option<PathBuf>,
    /// The table's columns with the shares, between commas
    #[arg(long, value_name = "NAMES", value_delimiter = ',', requires = "data")]
    pub(crate) shares: Vec<String>,
    /// The table's column with the result: a grade, yes and no, or 2/5
    #[arg(long, value_name = "NAME", requires = "data")]
    pub(crate) value: Option<String>,
    /// How the result may bend between the ends
    #[arg(long, value_enum, default_value_t = ModelOption::Auto)]
    pub(crate) model: ModelOption,
    /// What is wanted: max, least, or a value; of crazed and shivered the least unless said
    #[arg(long, value_name = "GOAL", allow_negative_numbers = true)]
    pub(crate) goal: Option<String>,
    /// Of two ends, the one whose rise lessens the fault that was counted
    #[arg(long, value_name = "END")]
    pub(crate) lowers: Option<String>,
    /// The table's column that is alike where tiles were fired together
    #[arg(long, value_name = "NAME", alias = "firing", requires = "data")]
    pub(crate) fired_together: Option<String>,
    /// Show the fitted model too
    #[arg(long)]
    pub(crate) details: bool,
    /// How many tiles to advise next; 0 for none
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub(crate) next: usize,
    /// Base to weigh the best blend for
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
    /// Write a map of the result into a new file, .html or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
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
