use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct FaultOptions {
    /// What is seen, such as "pinholes"
    pub(crate) fault: String,
    /// A glaze's file or name
    pub(crate) glaze: String,
    /// Where it sits: all over, rims, thick, thin, foot, one shelf, one clay, one batch
    #[arg(long = "where", value_name = "PLACE")]
    pub(crate) spot: Option<String>,
    /// The clay it goes on, a file or a name
    #[arg(long, visible_alias = "body", value_name = "CLAY")]
    pub(crate) clay: Option<String>,
    /// A script of kind fault; else every one that knows the fault
    #[arg(long, value_name = "SCRIPT")]
    pub(crate) script: Option<String>,
    /// Set an option of that script: name=value (repeatable)
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}
