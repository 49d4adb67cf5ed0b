use std::num::NonZeroUsize;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    /// A glaze's file or name
    #[arg(required_unless_present = "over", conflicts_with = "over")]
    pub(crate) glaze: Option<String>,
    /// Check many glazes: a CSV file (a row a glaze, headed `glaze`, `cone`,
    /// `use` and by materials, additions as `+ material`), `-` for CSV on
    /// stdin, or a folder of glaze files; a line for each finding comes out as
    /// CSV, or as JSON with --format json
    #[arg(long, value_name = "FILE.csv|FOLDER|-")]
    pub(crate) over: Option<String>,
    /// One of several parts of the table, such as 2/4: the parts one after
    /// another are the whole
    #[arg(long, value_name = "K/N", requires = "over")]
    pub(crate) part: Option<String>,
    /// Threads for --over; else one for each processor
    #[arg(long, value_name = "N", requires = "over")]
    pub(crate) threads: Option<NonZeroUsize>,
    /// A script to run (repeatable); else every check that says it applies
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Vec<String>,
    /// What the glaze is for: tableware, wall tile, floor, outdoor, decorative
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// The clay it goes on, a file or a name
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// Set a script's option: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Accept a caution, by its rule and what it found: it stays in sight with its
    /// reason, and comes back when recipe, lots, clay, firing, use or rule change
    #[arg(long, value_name = "FINDING", requires_all = ["because", "glaze"])]
    pub(crate) accept: Option<String>,
    /// Why it is accepted
    #[arg(long, value_name = "WHY", requires = "accept")]
    pub(crate) because: Option<String>,
    /// The last day on which it is accepted
    #[arg(long, value_name = "DAY", requires = "accept")]
    pub(crate) until: Option<String>,
}
