use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct ImportOptions {
    /// A CSV file of recipes, materials, stocks or prices; or a folder that `export` wrote
    #[arg(value_name = "FILE.csv|FOLDER")]
    pub(crate) from: String,
    /// Only tell what would be taken in, and what is open
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// What a column, or a name in the table, means: "Quarz=silica", "Farbe=notes", "Nr=skip"
    #[arg(long = "as", value_name = "NAME=MEANING")]
    pub(crate) taken_as: Vec<String>,
    /// Make a new studio of it in this folder
    #[arg(long, value_name = "DIR", conflicts_with = "studio")]
    pub(crate) into: Option<String>,
}
