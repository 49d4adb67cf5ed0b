use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ExpectOptions {
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// The property that was graded: gloss, opacity ...
    #[arg(long, value_name = "NAME")]
    pub(crate) grade: String,
    /// On this clay, instead of its own
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// With a coat this thick: 0.6 mm
    #[arg(long, value_name = "LENGTH")]
    pub(crate) coat: Option<String>,
}
