use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ShelfOptions {
    /// Only these glazes are to stay near; else all (repeatable)
    #[arg(long, value_name = "GLAZE")]
    pub(crate) glazes: Vec<String>,
    /// How far a glaze may move, in tolerances; else 2, which reads near
    #[arg(long, value_name = "DISTANCE")]
    pub(crate) within: Option<String>,
    /// A material to keep whatever happens (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) keep: Vec<String>,
    /// A material to do without (repeatable)
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) drop: Vec<String>,
    /// Whether raw clay stays in its band: on, or off for chemistry alone
    #[arg(long, value_name = "on|off")]
    pub(crate) clay_band: Option<String>,
    /// What is to be least: materials, or cost by the last year's batches
    #[arg(long, value_name = "materials|cost")]
    pub(crate) least: Option<String>,
    /// Steps after which the best so far is given
    #[arg(long, value_name = "N")]
    pub(crate) steps: Option<String>,
}
