use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct NotesOptions {
    /// Of this glaze
    pub(crate) glaze: Option<String>,
    /// With this glaze over it; so is "CLEAR over BLUE" as the glaze
    #[arg(long, value_name = "GLAZE")]
    pub(crate) over: Option<String>,
    /// On this clay
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// In this firing
    #[arg(long, value_name = "FIRING")]
    pub(crate) firing: Option<String>,
    /// At this cone
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// Of this batch
    #[arg(long, value_name = "BATCH")]
    pub(crate) batch: Option<String>,
    /// Of this tile
    #[arg(long, value_name = "CODE")]
    pub(crate) tile: Option<String>,
    /// Made of this lot, of whatever material
    #[arg(long, value_name = "LOT")]
    pub(crate) lot: Option<String>,
    /// With a grade of this: gloss, "gloss >= 4"
    #[arg(long, value_name = "PROPERTY")]
    pub(crate) property: Option<String>,
    /// On this day or later
    #[arg(long, value_name = "DATE")]
    pub(crate) since: Option<String>,
    /// On this day or earlier
    #[arg(long, value_name = "DATE")]
    pub(crate) until: Option<String>,
    /// With these words in its text
    #[arg(long, value_name = "WORDS")]
    pub(crate) text: Option<String>,
    /// Only pieces of which some are crazed
    #[arg(long)]
    pub(crate) crazed: bool,
    /// Only pieces of which some have shivered
    #[arg(long)]
    pub(crate) shivered: bool,
    /// Only pieces that had held at this age or later: "6 months"
    #[arg(long, value_name = "AGE")]
    pub(crate) held: Option<String>,
    /// Only laboratories' reports
    #[arg(long)]
    pub(crate) lab: bool,
}
