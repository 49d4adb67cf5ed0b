use clap::Args;
use glost_desk::matching;

#[derive(Debug, Args)]
pub(crate) struct MatchOptions {
    /// A glaze's file or name, the target
    #[arg(required_unless_present = "unity", conflicts_with = "unity")]
    pub(crate) glaze: Option<String>,
    /// A target unity formula: "K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4"
    #[arg(long, value_name = "FORMULA")]
    pub(crate) unity: Option<String>,
    /// A material to choose from (repeatable)
    #[arg(long, value_name = "MATERIAL", required = true)]
    pub(crate) with: Vec<String>,
    /// How many materials at most
    #[arg(long, value_name = "N")]
    pub(crate) at_most: Option<usize>,
    /// How many proposals to show
    #[arg(long, value_name = "N", default_value = matching::SHOW)]
    pub(crate) show: usize,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = matching::DRY)]
    pub(crate) dry: String,
}
