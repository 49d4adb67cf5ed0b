use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct StartOptions {
    /// The folder to make
    #[arg(default_value = "studio")]
    pub(crate) dir: PathBuf,
    /// The powder you buy, as on its bag
    #[arg(long, value_name = "NAME", conflicts_with = "recipe")]
    pub(crate) powder: Option<String>,
    /// Or a recipe of your own: a text file as written in your notebook
    #[arg(long, value_name = "FILE")]
    pub(crate) recipe: Option<String>,
    /// Your clay, as on its bag
    #[arg(long, visible_alias = "body", value_name = "NAME")]
    pub(crate) clay: Option<String>,
    /// The glaze firing: "1060 C", "1940 F" or "cone 6"
    #[arg(long, value_name = "PEAK")]
    pub(crate) firing: Option<String>,
    /// Water for a kilo of powder: "5 3/4 cups" or "0.7 l"
    #[arg(long, value_name = "VOLUME")]
    pub(crate) water: Option<String>,
    /// The step your scales read to: "0.1 g", "1 g up to 5 kg"
    #[arg(long, value_name = "STEP")]
    pub(crate) scales: Option<String>,
    /// Powder for the first batch
    #[arg(long, value_name = "WEIGHT", default_value = "1 kg")]
    pub(crate) dry: String,
    /// Write ticket and label as pages to print, into a new file, .html
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
}
