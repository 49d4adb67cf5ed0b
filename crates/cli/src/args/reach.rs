use clap::Args;
use glost_desk::reach;

#[derive(Debug, Args)]
pub(crate) struct ReachOptions {
    /// A glaze's file or name, the target
    #[arg(required_unless_present = "unity", conflicts_with = "unity")]
    pub(crate) glaze: Option<String>,
    /// A target unity formula, any scale: "KNaO 0.3, CaO 0.7, Al2O3 0.5, SiO2 4";
    /// KNaO, R2O and RO are sums, oxides not named are left free
    #[arg(long, value_name = "FORMULA")]
    pub(crate) unity: Option<String>,
    /// A material to choose from (repeatable); without any, the shelf
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// How many materials at most
    #[arg(long, value_name = "N")]
    pub(crate) at_most: Option<usize>,
    /// How many proposals to show
    #[arg(long, value_name = "N", default_value = reach::SHOW)]
    pub(crate) show: usize,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = reach::DRY)]
    pub(crate) dry: String,
}
