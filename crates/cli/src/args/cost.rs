use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct CostOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// How much ware to glaze: "4.2 m2", "45 sq ft"
    #[arg(long, value_name = "AREA", conflicts_with = "pieces")]
    pub(crate) area: Option<String>,
    /// Dry glaze on the ware: "0.9 kg/m2"; else common practice
    #[arg(long, value_name = "WEIGHT/AREA")]
    pub(crate) coverage: Option<String>,
    /// Of what is mixed, so much is lost: "20 %"; else common practice
    #[arg(long, value_name = "PERCENT")]
    pub(crate) loss: Option<String>,
    /// How many pieces to glaze
    #[arg(long, value_name = "N")]
    pub(crate) pieces: Option<String>,
    /// Dry glaze on one piece: "40 g"; else common practice
    #[arg(long, value_name = "WEIGHT")]
    pub(crate) per_piece: Option<String>,
    /// Water per dry weight, instead of the glaze's: "0.9 l/kg"
    #[arg(long, value_name = "WATER", conflicts_with = "density")]
    pub(crate) water: Option<String>,
    /// Density to mix to, instead of the glaze's
    #[arg(long, value_name = "DENSITY")]
    pub(crate) density: Option<String>,
}
