use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct BlendOptions {
    /// The design: line, or a blend script's name
    pub(crate) kind: String,
    /// The glazes at the ends, files or names
    #[arg(required = true)]
    pub(crate) ends: Vec<String>,
    /// How many tiles a line has, its ends included
    #[arg(long, value_name = "N", default_value_t = 5)]
    pub(crate) steps: usize,
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
