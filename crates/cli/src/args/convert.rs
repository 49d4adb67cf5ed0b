use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ConvertOptions {
    /// How much of what: "1 % cobalt oxide", "2.5 g red iron oxide"
    pub(crate) dose: String,
    /// The form that takes its place: "cobalt carbonate"
    #[arg(long, value_name = "MATERIAL")]
    pub(crate) to: String,
}
