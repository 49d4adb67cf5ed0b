use clap::{Args, ValueEnum};
use glost_desk::adjust;

/// What an adjustment makes least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LeastOption {
    /// What is fired moves least
    Change,
    /// The weights move least
    Weights,
    /// Cost per kg of dry batch
    Cost,
}

#[derive(Debug, Args)]
pub(crate) struct AdjustOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// What the recipe should meet.
    /// Oxides: "SiO2 >= 3.0", "Al2O3 in 0.35..0.45", "CaO + MgO <= 0.8",
    /// "SiO2:Al2O3 in 7..10", "K2O:Na2O >= 1", "R2O:RO <= 0.4" (R2O: Li2O + Na2O +
    /// K2O; RO: the other fluxes; KNaO: Na2O + K2O), "hold CaO" (within its
    /// tolerance), "hold colour", "colour x 1.5".
    /// Materials: "whiting <= 15 %", "whiting + dolomite <= 20 %",
    /// "no barium carbonate", "keep kaolin", "raw clay in 10..25 %",
    /// "red iron oxide <= 6 %" (an addition), "use ash >= 5 kg in 20 kg".
    /// The rest: "expansion <= 6.2", "loss on ignition <= 8", "cost <= 2.10",
    /// "distance <= 2", "limits: NAME", "cone 6" (as stiff at cone 6 as the old one
    /// at its own cone), "melt 1240 C" (10^3 Pa s there), "melt: same", "fit: CLAY" (at most 1 piece in 10 crazes
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
    /// How sure each aim should be while the sheets vary by their tolerances: "90 %"
    #[arg(long, value_name = "CHANCE")]
    pub(crate) sure: Option<String>,
    /// Grams of base for the weighed column
    #[arg(long, value_name = "WEIGHT", default_value = adjust::DRY)]
    pub(crate) dry: String,
}
