use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct BlendOptions {
    /// The design: line, series, triaxial, quadraxial, grid, centroid, or a
    /// blend script's name
    pub(crate) kind: String,
    /// The glazes at the ends: files, names, materials, or "NAME + 3 % rutile"
    #[arg(required = true)]
    pub(crate) ends: Vec<String>,
    /// How many tiles a line or series has; steps a side of a triangle [default: 5]
    #[arg(long, value_name = "N")]
    pub(crate) steps: Option<usize>,
    /// Rows of a grid [default: as many as steps]
    #[arg(long, value_name = "N")]
    pub(crate) rows: Option<usize>,
    /// Columns of a grid [default: as many as steps]
    #[arg(long, value_name = "N")]
    pub(crate) columns: Option<usize>,
    /// What a series adds: "silica 0..9 %", "kaolin 0, 3, 6, 9 %" (repeatable)
    #[arg(long, value_name = "STEPS")]
    pub(crate) add: Vec<String>,
    /// A blend script instead of the one named after the design
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Option<String>,
    /// Base for one tile
    #[arg(long, value_name = "WEIGHT", default_value = "100 g")]
    pub(crate) dry: String,
    /// Slurry for one tile, to blend wet
    #[arg(long, value_name = "VOLUME")]
    pub(crate) volume: Option<String>,
    /// Density of the slurry in g/ml
    #[arg(long, value_name = "DENSITY")]
    pub(crate) density: Option<String>,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}
