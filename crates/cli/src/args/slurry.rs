use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct SlurryOptions {
    /// A glaze's file or name: its powder's own density and its recipe count
    pub(crate) glaze: Option<String>,
    /// A jar of it, the jar's own weight taken off: "500 ml = 735 g", or a
    /// density (repeat for buckets poured together)
    #[arg(long, value_name = "VOLUME = WEIGHT", required = true)]
    pub(crate) jar: Vec<String>,
    /// The bucket with the slurry in it (repeatable)
    #[arg(long, value_name = "WEIGHT", conflicts_with = "volume")]
    pub(crate) gross: Vec<String>,
    /// The empty bucket (repeatable)
    #[arg(long, value_name = "WEIGHT", conflicts_with = "volume")]
    pub(crate) tare: Vec<String>,
    /// How much slurry, instead of its weight (repeatable)
    #[arg(long, value_name = "VOLUME")]
    pub(crate) volume: Vec<String>,
    /// What to add, counted on the dry powder: "0.4 % cobalt carbonate"
    /// (repeatable)
    #[arg(long, value_name = "DOSE")]
    pub(crate) add: Vec<String>,
    /// The density to reach
    #[arg(long, value_name = "DENSITY")]
    pub(crate) to: Option<String>,
    /// The dry powder's own density: "2.6 +/- 0.1" g/ml
    #[arg(long, value_name = "DENSITY")]
    pub(crate) powder_density: Option<String>,
    /// What went wrong and is in already: "51 g cobalt carbonate", "0.77 %
    /// cobalt carbonate", or of a batch since used: "2600 g silica of 7340 g"
    #[arg(long, value_name = "DOSE")]
    pub(crate) holds: Option<String>,
    /// What there should be of it: "0.4 %"; else as the glaze's recipe says
    #[arg(long, value_name = "PERCENT", requires = "holds")]
    pub(crate) wanted: Option<String>,
    /// A slip at the scales that is suspected: "silica 10x", "whiting left out"
    #[arg(long, value_name = "MATERIAL TIMES", conflicts_with = "holds")]
    pub(crate) suspect: Option<String>,
    /// What the bucket holds when full
    #[arg(long, value_name = "VOLUME")]
    pub(crate) bucket: Option<String>,
    /// Other scales than the studio's: "1 g to 15 kg"
    #[arg(long, value_name = "SCALES")]
    pub(crate) scales: Option<String>,
    /// Show the sum as one does it by hand
    #[arg(long, visible_alias = "by-hand")]
    pub(crate) steps: bool,
}
