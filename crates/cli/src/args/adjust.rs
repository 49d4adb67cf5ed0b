use clap::{Args, ValueEnum};

/// What an adjustment makes least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LeastOption {
    Change,
    Cost,
}

#[derive(Debug, Args)]
pub(crate) struct AdjustOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// What the recipe should meet: "SiO2 >= 3.0", "Al2O3 in 0.35..0.45",
    /// "SiO2:Al2O3 in 7..10", "expansion <= 6.2", "loss on ignition <= 8",
    /// "cost <= 2.10", "whiting <= 15 %", "no barium carbonate",
    /// "keep kaolin", "limits: NAME", "fit: CLAY" (at most 1 piece in 10 crazes
    /// within three years, by the pieces on that clay; "fit: CLAY at 5 %")
    #[arg(value_name = "AIM")]
    pub(crate) aims: Vec<String>,
    /// A material that may come in (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// The firing whose pieces count, for "fit: CLAY"
    #[arg(long, value_name = "FIRING")]
    pub(crate) firing: Option<String>,
    /// What to make least
    #[arg(long, value_enum, default_value_t = LeastOption::Change)]
    pub(crate) least: LeastOption,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
}
