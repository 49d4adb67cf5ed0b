use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct SchemaOptions {
    /// studio, material, glaze, clay, note, or a command such as unity; else what there is
    pub(crate) of: Option<String>,
}
