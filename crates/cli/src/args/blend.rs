use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct BlendOptions {
    /// The design: line, series, triaxial, quadraxial, grid, centroid, first,
    /// silica-alumina, ladder, extremes, or a blend script's name
    pub(crate) kind: String,
    /// The glazes at the ends: files, names, materials, or "NAME + 3 % rutile"
    #[arg(required = true)]
    pub(crate) ends: Vec<String>,
    /// How many tiles a line or series has; steps a side of a triangle [default: 5];
    /// without a number: the sum as with --by-hand
    #[arg(long, value_name = "N", num_args = 0..=1, default_missing_value = glost_desk::blend::BY_HAND)]
    pub(crate) steps: Vec<String>,
    /// Rows of a grid [default: as many as steps]
    #[arg(long, value_name = "N")]
    pub(crate) rows: Option<usize>,
    /// Columns of a grid [default: as many as steps]
    #[arg(long, value_name = "N")]
    pub(crate) columns: Option<usize>,
    /// How many tiles to choose from a region's points (extremes)
    #[arg(long, value_name = "N")]
    pub(crate) tiles: Option<usize>,
    /// A bound on shares (extremes): "end 1 in 20..60 %", "rutile <= 3 %" (repeatable)
    #[arg(long, value_name = "BOUND")]
    pub(crate) within: Vec<String>,
    /// A material that may come into solved recipes (silica-alumina; repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) with: Vec<String>,
    /// What a series adds: "silica 0..9 %", "kaolin 0, 3, 6, 9 %" (repeatable)
    #[arg(long, value_name = "STEPS")]
    pub(crate) add: Vec<String>,
    /// A blend script instead of the one named after the design
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Option<String>,
    /// Base for one tile
    #[arg(long, value_name = "WEIGHT", default_value = glost_desk::blend::DRY, allow_hyphen_values = true)]
    pub(crate) dry: String,
    /// Slurry for one tile, to blend wet
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    pub(crate) volume: Option<String>,
    /// What slurry is measured with, and its mark [default: "60 ml by 1 ml"]
    #[arg(long, value_name = "SYRINGE")]
    pub(crate) syringe: Option<String>,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
    /// Flag tiles outside these limits, and say where rows cross them
    #[arg(long, value_name = "LIMITS")]
    pub(crate) limits: Option<String>,
    /// Share the tiles among so many students
    #[arg(long, value_name = "N")]
    pub(crate) students: Option<usize>,
    /// Keep the plan in the studio under a new name, so that notes find its tiles
    #[arg(long, value_name = "NAME")]
    pub(crate) save: Option<String>,
    /// Write map, mixing sheet, labels, result sheet and key to print, into a
    /// new .html file; or the map alone into a new .svg file
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Write a blank result sheet for `glost note --sheet`, into a new .csv file
    #[arg(long, value_name = "FILE")]
    pub(crate) sheet: Option<PathBuf>,
    /// Density of the slurry in g/ml
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    pub(crate) density: Option<String>,
    /// Set an option of the script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Show the sum as one does it by hand
    #[arg(long)]
    pub(crate) by_hand: bool,
}
