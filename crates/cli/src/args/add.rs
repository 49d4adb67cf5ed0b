use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct AddOptions {
    /// What to add: material, clay or glaze; or a new lot of a material
    #[arg(value_name = "material|clay|glaze|lot")]
    pub(crate) sort: String,
    /// Its name; of a lot, the material's
    pub(crate) name: String,
    /// A material: what is in it, "SiO2 67.0, Al2O3 18.0, K2O 10.5, Na2O 3.0, loss 0.4", "CaCO3", or "unknown"
    #[arg(long, value_name = "FIGURES")]
    pub(crate) analysis: Option<String>,
    /// A glaze: what is in it, "feldspar A 38, silica 26, ...", or a text file with the recipe
    #[arg(long, value_name = "RECIPE")]
    pub(crate) recipe: Option<String>,
    /// A glaze: its firing, "cone 6" or "1060 C"
    #[arg(long, value_name = "PEAK")]
    pub(crate) firing: Option<String>,
    /// A glaze: its clay
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// A glaze: water for a kilo of powder, "0.9 l" or "5 3/4 cups"
    #[arg(long, value_name = "VOLUME")]
    pub(crate) water: Option<String>,
    /// A glaze: what it is for
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// A material: its kind
    #[arg(long, value_name = "KIND")]
    pub(crate) kind: Option<String>,
    /// A material: what it costs, "1.60 EUR/kg"
    #[arg(long, value_name = "PRICE")]
    pub(crate) price: Option<String>,
    /// A material or a lot: what you have, "12 kg"
    #[arg(long, value_name = "WEIGHT")]
    pub(crate) stock: Option<String>,
    /// A material: its lot; the lot that is new
    #[arg(long, value_name = "LOT")]
    pub(crate) lot: Option<String>,
    /// A material: whether you can get more, yes or no
    #[arg(long, value_name = "YES|NO")]
    pub(crate) buyable: Option<String>,
    /// A clay: the cone it is fired to
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// A clay or a powder: its expansion as printed, "7.7e-6/K at 20-500 C"
    #[arg(long, value_name = "EXPANSION")]
    pub(crate) expansion: Option<String>,
    /// A clay: how much water it soaks up, wt %, as printed
    #[arg(long, value_name = "PERCENT")]
    pub(crate) absorption: Option<String>,
    /// A material or a clay: where the figures come from
    #[arg(long, value_name = "WORDS")]
    pub(crate) source: Option<String>,
}
