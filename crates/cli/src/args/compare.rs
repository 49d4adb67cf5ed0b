use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct CompareOptions {
    /// Two glazes, or three; the others are held against the first
    #[arg(required = true, num_args = 1.., value_name = "GLAZE")]
    pub(crate) glazes: Vec<String>,
    /// Tell what is alike, too
    #[arg(long)]
    pub(crate) all: bool,
}
