use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct SetOptions {
    /// A glaze's, a material's or a clay's name; or `studio`
    pub(crate) name: String,
    /// What to change: "price=2.10 EUR/kg", "stock=12 kg", "analysis.SiO2=67.2"
    #[arg(required = true, value_name = "KEY=VALUE")]
    pub(crate) setting: Vec<String>,
    /// Which is meant where several have that name: glaze, material or clay
    #[arg(long, value_name = "SORT")]
    pub(crate) of: Option<String>,
}
