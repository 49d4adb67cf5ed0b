use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct GlazesOptions {
    /// Words of its name, notes, clay or materials
    pub(crate) words: Vec<String>,
    /// That hold this material (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) holds: Vec<String>,
    /// Of this cone
    #[arg(long, value_name = "CONE")]
    pub(crate) cone: Option<String>,
    /// For this clay
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// For this use
    #[arg(long = "use", value_name = "USE")]
    pub(crate) usage: Option<String>,
    /// The nearest to this glaze's chemistry first
    #[arg(long, value_name = "GLAZE")]
    pub(crate) near: Option<String>,
    /// Run the checks over all of them and show what was found
    #[arg(long)]
    pub(crate) problems: bool,
}
