use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct WeighOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// How much base; additions come on top
    #[arg(long, value_name = "WEIGHT", required_unless_present = "bucket")]
    pub(crate) dry: Option<String>,
    /// How much slurry to make; with --dry, what the bucket holds
    #[arg(long, value_name = "VOLUME")]
    pub(crate) bucket: Option<String>,
    /// Water per dry weight, instead of the glaze's: "0.9 l/kg", "5 3/4 cups/kg"
    #[arg(long, value_name = "WATER", conflicts_with = "density")]
    pub(crate) water: Option<String>,
    /// Density to mix to, instead of the glaze's
    #[arg(long, value_name = "DENSITY")]
    pub(crate) density: Option<String>,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
    /// Out of which open lot a material is taken, instead of the oldest: "kaolin=L2"
    #[arg(long = "lot", value_name = "MATERIAL=LOT")]
    pub(crate) lots: Vec<String>,
    /// What it is filled into: "5 bottles", "1 bucket"
    #[arg(long, value_name = "CONTAINERS")]
    pub(crate) into: Option<String>,
    /// Write the ticket as a page to print, into a new file, .html or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Book it: written down in batches.jsonl, taken off the stated stock
    #[arg(long)]
    pub(crate) commit: bool,
    /// The batch's number, printed on the ticket; with --commit the next unless said
    #[arg(long, value_name = "NUMBER")]
    pub(crate) batch: Option<String>,
    /// The day it was mixed, instead of today: 2026-11-24
    #[arg(long, value_name = "DATE", requires = "commit")]
    pub(crate) on: Option<String>,
    /// Who mixed it
    #[arg(long, value_name = "NAME", requires = "commit")]
    pub(crate) by: Option<String>,
    /// The mark scratched or stamped on its pieces
    #[arg(long, value_name = "MARK", requires = "commit")]
    pub(crate) mark: Option<String>,
    /// Show the sum as one does it by hand
    #[arg(long, visible_alias = "by-hand")]
    pub(crate) steps: bool,
}
