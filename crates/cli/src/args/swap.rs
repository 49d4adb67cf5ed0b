use clap::Args;
use glost_desk::swap;

#[derive(Debug, Args)]
pub(crate) struct SwapOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// The material that is gone (repeatable)
    #[arg(long, value_name = "MATERIAL", required = true)]
    pub(crate) out: Vec<String>,
    /// A newcomer to allow, instead of what is in stock or buyable (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// How many newcomers at most
    #[arg(long, value_name = "N")]
    pub(crate) at_most: Option<usize>,
    /// The swap script
    #[arg(long, value_name = "SCRIPT", default_value = swap::SCRIPT)]
    pub(crate) script: String,
    /// How many proposals to show
    #[arg(long, value_name = "N", default_value = swap::SHOW)]
    pub(crate) show: usize,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = swap::DRY)]
    pub(crate) dry: String,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Show the sum as one does it by hand
    #[arg(long, visible_alias = "by-hand")]
    pub(crate) steps: bool,
}
